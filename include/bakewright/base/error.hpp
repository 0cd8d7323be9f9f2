// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <limits>
#include <optional>
#include <source_location>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

namespace bakewright {

/// Process exit statuses, the same for every command.
enum class ExitStatus {
    fine = 0,          ///< done, and the answer is yes where there was a question
    answer_is_no = 1,  ///< done, and the answer is no: under-cured, over-baked, infeasible
    input_wrong = 2,   ///< the user's file, argument or log is wrong
    not_done = 3,      ///< solver, book or disk could not do the work
    our_fault = 4      ///< a promise of the program itself is broken
};

/// A number outside of what is accepted, in SI. Kept beside the sentence about it, so that whoever knows how the number was
/// written can answer in that unit (out_of_range_text() in quantity.hpp).
struct OutOfRange {
    double value = 0.0;
    double least = -std::numeric_limits<double>::infinity();
    double most = std::numeric_limits<double>::infinity();
    bool above_least = false;  ///< the least itself is not accepted
    std::string accepted{};    ///< the same in words and usual units, for a number without a unit
    std::string why{};         ///< why there is that range, where it is not plain; may be empty
};

/// One thing wrong in something the user wrote, and where.
struct Problem {
    std::string file;                   ///< as the user named it; empty for the command line
    int line = 0;                       ///< 1-based; 0 where there is no line
    std::string key;                    ///< dotted key, column or option; may be empty
    std::string message;                ///< what is wrong and what is accepted
    std::optional<OutOfRange> range{};  ///< where that is a number's range

    /// "file:line: key: message", leaving out what is empty.
    [[nodiscard]] std::string text() const;
};

/// The user's file, argument or log is wrong. Holds every problem found, not only the first. Exit status 2.
class InputError : public std::runtime_error {
public:
    explicit InputError(std::vector<Problem> problems);
    explicit InputError(Problem problem);
    [[nodiscard]] const std::vector<Problem>& problems() const noexcept { return problems_; }

private:
    std::vector<Problem> problems_;
};

/// Of an option or a key that came from no file. @throws InputError
[[noreturn]] void refuse_option(std::string option, std::string message);

/// The numbers gave out: no step was accepted, or a state is not finite. Exit status 3.
class SolveError : public std::runtime_error {
public:
    using std::runtime_error::runtime_error;
};

/// The book, or another file, could not be read or written. what() names the file, what was tried and what stands. Exit status 3.
class BookError : public std::runtime_error {
public:
    using std::runtime_error::runtime_error;
};

/// The disk or the file system refused: names the file and the reason of the operating system. Exit status 3.
class FileError : public std::runtime_error {
public:
    using std::runtime_error::runtime_error;
};

/// A promise of our own is broken. Exit status 4.
class PromiseError : public std::logic_error {
public:
    using std::logic_error::logic_error;
};

/// Checks a promise of our own; always on. @throws PromiseError with the promise and its place.
void ensure(bool condition, std::string_view promise, std::source_location where = std::source_location::current());

/// The known name nearest to a mistyped one, by edit distance at most a third of its length; empty where none is near.
[[nodiscard]] std::string nearest_name(std::string_view typed, const std::vector<std::string>& known);

/// What goes behind "... is not known": ". Did you mean 'x'?" with the nearest_name(), or `otherwise` where none is near.
[[nodiscard]] std::string did_you_mean(std::string_view typed, const std::vector<std::string>& known,
                                       std::string_view otherwise = {});

}  // namespace bakewright
