// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <boost/program_options.hpp>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "bakewright/bake/booth.hpp"
#include "bakewright/base/error.hpp"
#include "bakewright/base/format.hpp"
#include "bakewright/base/quantity.hpp"
#include "bakewright/book/book.hpp"
#include "bakewright/plan/plan.hpp"
#include "bakewright/profile/library.hpp"
#include "bakewright/profile/located.hpp"
#include "bakewright/profile/shell_profile.hpp"
#include "bakewright/services/stored_bake.hpp"

namespace bakewright::cli {

/// The options of one command: its own beside those that every command takes, and the words they were given.
/// Every reading throws InputError that names the option.
class Options {
public:
    /// @param usage  the line after "usage: bakewright "; @param about  what the command does, in a few lines
    Options(std::string usage, std::string about);

    /// The command's own options are added here, before read().
    boost::program_options::options_description_easy_init add() { return own_.add_options(); }
    /// Words without an option's name, in this order; the last may repeat where count is -1.
    void positional(const char* name, int count) { positional_.add(name, count); }

    /// Adds --details, with the names of the parts that the command's answers have.
    void parts(std::span<const std::string_view> names);

    /// What of "shell", "booth" and "coating" is not given comes from the job that is set (`bakewright use`), and that is said.
    void takes_job_at_hand() { takes_job_ = true; }

    /// Reads the words. False where help was asked for and printed: the command is done.
    /// @throws InputError for an unknown option (with the nearest one), a missing value, too many arguments
    [[nodiscard]] bool read(const std::vector<std::string>& words);

    [[nodiscard]] bool has(const char* name) const { return values_.count(name) > 0; }
    [[nodiscard]] bool flag(const char* name) const;
    [[nodiscard]] std::string text(const char* name) const;  ///< @throws InputError where it was not given
    [[nodiscard]] std::string text_or(const char* name, const std::string& otherwise) const;
    [[nodiscard]] std::vector<std::string> texts(const char* name) const;
    /// A quantity with its unit. @throws InputError for a bare number
    [[nodiscard]] std::optional<double> quantity(const char* name, Dimension dimension) const;
    [[nodiscard]] std::optional<double> number(const char* name) const;
    /// The same error; what is out of range is told in the unit that its option was given in.
    [[nodiscard]] InputError as_written(const InputError& error) const;

    [[nodiscard]] bool json() const { return flag("json"); }
    /// "all", names of parts separated by commas, or empty where --details was not given.
    [[nodiscard]] std::string details() const { return text_or("details", ""); }
    /// --units, $BAKEWRIGHT_UNITS, what `bakewright units` keeps, or metric.
    [[nodiscard]] Units units() const;
    /// A temperature without a unit gets the one that the user has stated somewhere. @throws InputError where none is stated
    [[nodiscard]] std::string with_unit(const std::string& text, Dimension dimension, const std::string& option) const;
    [[nodiscard]] profile::Library library() const;
    /// --book, $BAKEWRIGHT_BOOK, or the user's own.
    [[nodiscard]] std::string book_path() const;
    /// That book. What a reader of the answer should know of it stands on standard error. @throws as book::Book::open()
    [[nodiscard]] book::Book open_book(book::Mode mode, bool salvage = false) const;

private:
    [[nodiscard]] std::optional<std::string> stated_units() const;

    void add_job_at_hand();

    bool takes_job_ = false;
    std::string usage_, about_;
    boost::program_options::options_description own_, common_;
    boost::program_options::positional_options_description positional_;
    std::vector<std::string> parts_;
    boost::program_options::variables_map values_;
    mutable std::map<std::string, Dimension> quantities_;  ///< that were read
};

/// $USER, $LOGNAME or "unknown".
[[nodiscard]] std::string user_name();

/// A problem of one option. @param option  with its dashes
[[noreturn]] void wrong_option(const std::string& option, const std::string& message);

/// The name of the units that `bakewright units` keeps for this user; nothing where none are kept.
[[nodiscard]] std::optional<std::string> kept_units();

/// "45 min", or "30 to 90 min": from and to, the same where one quantity is given. The first number may do without its unit.
/// @param option  with its dashes, for messages @throws InputError
[[nodiscard]] std::pair<double, double> range_of(const std::string& text, Dimension dimension, const std::string& option);

/// "45 degC, 20 min": set point and hold. @throws InputError
[[nodiscard]] plan::Step step_of(const std::string& text, const std::string& option);
[[nodiscard]] std::vector<plan::Step> steps_of(const std::vector<std::string>& texts, const std::string& option);

/// The names in lists separated by commas, without the spaces round them.
[[nodiscard]] std::vector<std::string> names_in(const std::vector<std::string>& lists);

/// The shell or booth of an option: a profile's name or file, or else one of that name kept in the book (such as a tuned one; the
/// newest counts). @throws InputError where neither has it
[[nodiscard]] profile::Located<profile::ShellProfile> shell_of(const Options& options, const char* option = "shell");
[[nodiscard]] profile::Located<bake::Booth> booth_of(const Options& options, const char* option = "booth");
/// The booth that is named, or else the one a bake was kept with. @param remedy  what to do where there is neither
[[nodiscard]] bake::Booth booth_for(const Options& options, const services::StoredBake& bake, const char* remedy);

}  // namespace bakewright::cli
