// SPDX-License-Identifier: Apache-2.0
#include "options.hpp"

#include <fmt/core.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <cstdlib>
#include <sstream>

#include "bakewright/base/error.hpp"
#include "bakewright/book/book.hpp"
#include "bakewright/report/plain_text.hpp"
#include "bakewright/services/files.hpp"
#include "bakewright/services/job_at_hand.hpp"
#include "bakewright/services/stored_bake.hpp"
#include "description.hpp"

namespace bakewright::cli {

namespace po = boost::program_options;

namespace {

std::vector<std::string> long_names(const po::options_description& description) {
    std::vector<std::string> names;
    for (const auto& option : description.options()) names.push_back("--" + option->long_name());
    return names;
}

bool is_bare_number(const std::string& text) { return text.find_first_not_of("0123456789.+- ") == std::string::npos; }

std::string environment(const char* name) {
    const char* value = std::getenv(name);
    return value == nullptr ? std::string{} : std::string(value);
}

std::vector<OptionDescription> described(const po::options_description& description) {
    std::vector<OptionDescription> options;
    for (const auto& option : description.options()) {
        const auto& semantic = *option->semantic();
        OptionDescription one{.name = option->long_name(), .value = {}, .text = option->description()};
        const std::string shown = option->canonical_display_name(po::command_line_style::allow_dash_for_short);
        if (shown.size() == 2 && shown[0] == '-') one.letter = shown[1];
        if (semantic.max_tokens() > 0) one.value = semantic.name();
        one.repeats = semantic.is_composing();
        options.push_back(std::move(one));
    }
    return options;
}

}  // namespace

void wrong_option(const std::string& option, const std::string& message) { throw InputError(Problem{{}, 0, option, message}); }

namespace {

/// Help fits into the smallest usual terminal.
constexpr unsigned kHelpColumns = 79;

/// Sentences of a help text, each line of which fits. A line that begins with one of the command's verbs is its own, what it does
/// below it.
std::string help_lines(const std::string& text, const std::string& verbs = {}) {
    std::string out, paragraph;
    const auto add = [&](const std::string& words, const std::string& indent) {
        if (words.find_first_not_of(' ') == std::string::npos) return;
        for (const std::string& line : report::wrap(words, kHelpColumns - indent.size())) out += indent + line + '\n';
    };
    for (std::size_t begin = 0; begin <= text.size();) {
        const std::size_t end = std::min(text.find('\n', begin), text.size());
        const std::string line = text.substr(begin, end - begin);
        const std::string first = line.substr(0, line.find(' '));
        const bool is_verb = !first.empty() && ('|' + verbs + '|').find('|' + first + '|') != std::string::npos;
        if (is_verb) {
            add(paragraph, "");
            const std::size_t gap = std::min(line.find("  "), line.size());
            add(line.substr(0, gap), "  ");
            add(line.substr(gap), "      ");
            paragraph.clear();
        } else {
            paragraph += (paragraph.empty() ? "" : " ") + line;
        }
        begin = end + 1;
    }
    add(paragraph, "");
    return out;
}

/// "list|show" of "book list|show [BAKE]".
std::string verbs_in(const std::string& usage) {
    const std::size_t begin = usage.find(' ');
    if (begin == std::string::npos) return {};
    const std::string second = usage.substr(begin + 1, usage.find(' ', begin + 1) - begin - 1);
    return second.find('|') == std::string::npos ? std::string{} : second;
}

}  // namespace

Options::Options(std::string usage, std::string about)
    : usage_(std::move(usage)),
      about_(std::move(about)),
      own_("options", kHelpColumns, kHelpColumns / 2),
      common_("options of every command", kHelpColumns, kHelpColumns / 2) {
    common_.add_options()("help,h", "print this help")("json", "answer as JSON in SI units, for programs")(
        "units", po::value<std::string>()->value_name("NAME"),
        "metric (°C, mm), us (°F, inch) or si (K); default $BAKEWRIGHT_UNITS, or what `bakewright units` keeps, or metric")(
        "book", po::value<std::string>()->value_name("FILE"), "the book; default the user's own, or $BAKEWRIGHT_BOOK")(
        "profiles", po::value<std::vector<std::string>>()->composing()->value_name("DIR"),
        "folder with profiles, searched before the user's and the installed ones; may be repeated");
}

void Options::parts(std::span<const std::string_view> names) {
    parts_.assign(names.begin(), names.end());
    add()("details", po::value<std::string>()->implicit_value("all")->value_name("PARTS"),
          fmt::format("everything behind the first lines, or some of it: {}", fmt::join(parts_, ", ")).c_str());
}

namespace {

/// "--details zones" is "--details=zones": boost takes a value that may be missing from the same word only. A number behind it is
/// a bake's.
std::vector<std::string> with_details_joined(const std::vector<std::string>& words) {
    std::vector<std::string> joined;
    for (std::size_t i = 0; i < words.size(); ++i) {
        joined.push_back(words[i]);
        const bool takes_next = words[i] == "--details" && i + 1 < words.size() && !words[i + 1].empty() &&
                                words[i + 1][0] >= 'a' && words[i + 1][0] <= 'z' &&
                                words[i + 1].find_first_of("./") == std::string::npos;
        if (takes_next) joined.back() += "=" + words[++i];
    }
    return joined;
}

}  // namespace

bool Options::read(const std::vector<std::string>& words) {
    if (words.size() == 1 && words.front() == kDescribe)
        throw CommandDescription{usage_, about_, described(own_), described(common_), {}};
    po::options_description all;
    all.add(own_).add(common_);
    try {
        po::store(po::command_line_parser(parts_.empty() ? words : with_details_joined(words))
                      .options(all)
                      .positional(positional_)
                      .style(po::command_line_style::unix_style & ~po::command_line_style::allow_guessing)
                      .run(),
                  values_);
        po::notify(values_);
    } catch (const po::unknown_option& error) {
        const std::string& name = error.get_option_name();
        wrong_option(name, "is not an option of this command" + did_you_mean(name, long_names(all), "; --help lists them"));
    } catch (const po::too_many_positional_options_error&) {
        throw InputError(Problem{{}, 0, {}, fmt::format("too many arguments; usage: bakewright {}", usage_)});
    } catch (const po::error& error) {
        throw InputError(Problem{{}, 0, {}, fmt::format("{}; usage: bakewright {}", error.what(), usage_)});
    }
    if (has("details") && details() != "all")
        for (const std::string& name : names_in({details()}))
            if (std::ranges::find(parts_, name) == parts_.end())
                wrong_option("--details",
                             fmt::format("has no part '{}'{}", name,
                                         did_you_mean(name, parts_, fmt::format("; it takes {}", fmt::join(parts_, ", ")))));
    if (!has("help")) {
        if (takes_job_) add_job_at_hand();
        return true;
    }
    std::ostringstream text;
    text << help_lines("usage: bakewright " + usage_) << '\n'
         << help_lines(about_, verbs_in(usage_)) << '\n'
         << own_ << '\n'
         << common_;
    fmt::print("{}", text.str());
    return false;
}

void Options::add_job_at_hand() {
    for (const char* of_a_bake : {"bake", "test-panel", "finish"})
        if (has(of_a_bake)) return;  // what that bake was made of counts
    const services::JobAtHand job = services::job_at_hand(book_path());
    std::string told;
    for (const char* name : {"shell", "booth", "coating"}) {
        const std::string value = job.of(name);
        const bool is_said_otherwise = has(name) || (has("coats") && std::string_view(name) == "coating");
        if (is_said_otherwise || value.empty()) continue;
        values_.insert({name, po::variable_value(boost::any(value), false)});
        told += fmt::format("{}{} {}", told.empty() ? "" : ", ", name, value);
    }
    if (!told.empty()) fmt::print(stderr, "note: {}, as set by `bakewright use`\n", told);
}

bool Options::flag(const char* name) const { return values_.count(name) > 0; }

std::string Options::text(const char* name) const {
    if (!has(name))
        throw InputError(Problem{{}, 0, std::string("--") + name, fmt::format("is missing; usage: bakewright {}", usage_)});
    return values_[name].as<std::string>();
}

std::string Options::text_or(const char* name, const std::string& otherwise) const {
    return has(name) ? values_[name].as<std::string>() : otherwise;
}

std::vector<std::string> Options::texts(const char* name) const {
    return has(name) ? values_[name].as<std::vector<std::string>>() : std::vector<std::string>{};
}

std::optional<double> Options::quantity(const char* name, Dimension dimension) const {
    if (!has(name)) return std::nullopt;
    quantities_.insert_or_assign(name, dimension);
    try {
        return parse_quantity(with_unit(values_[name].as<std::string>(), dimension, std::string("--") + name), dimension);
    } catch (const QuantityError& error) {
        wrong_option(std::string("--") + name, error.what());
    }
}

InputError Options::as_written(const InputError& error) const {
    std::vector<Problem> problems = error.problems();
    for (Problem& problem : problems) {
        const auto read = quantities_.find(problem.key);
        if (read == quantities_.end() || !problem.range) continue;
        problem.message = out_of_range_text(*problem.range, read->second, text(problem.key.c_str()));
        problem.key.insert(0, "--");
    }
    return InputError(std::move(problems));
}

std::optional<double> Options::number(const char* name) const {
    if (!has(name)) return std::nullopt;
    const std::string text = values_[name].as<std::string>();
    double value = 0.0;
    const auto [end, status] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (status != std::errc{} || end != text.data() + text.size() || !std::isfinite(value))
        wrong_option(std::string("--") + name, fmt::format("'{}' is not a number such as 1.2", text));
    return value;
}

std::optional<std::string> Options::stated_units() const {
    if (has("units")) return text("units");
    if (const std::string preset = environment("BAKEWRIGHT_UNITS"); !preset.empty()) return preset;
    return kept_units();
}

Units Options::units() const {
    const std::string name = stated_units().value_or("metric");
    if (const auto units = units_from_name(name)) return *units;
    wrong_option(has("units")                              ? "--units"
                 : environment("BAKEWRIGHT_UNITS").empty() ? "units"
                                                           : "$BAKEWRIGHT_UNITS",
                 fmt::format("'{}' is not metric, us or si", name));
}

std::string Options::with_unit(const std::string& text, Dimension dimension, const std::string& option) const {
    const bool is_temperature = dimension == Dimension::temperature || dimension == Dimension::temperature_difference;
    if (!is_temperature || !is_bare_number(text)) return text;
    if (!stated_units())
        wrong_option(option, fmt::format("'{0}' has no unit: write \"{0} degC\" or \"{0} degF\", or say once in which you work: "
                                         "`bakewright units us` or `bakewright units metric`",
                                         text));
    const TemperatureUnit unit = units().temperature;
    return text + (unit == TemperatureUnit::fahrenheit ? " degF" : unit == TemperatureUnit::celsius ? " degC" : " K");
}

profile::Library Options::library() const { return profile::Library(services::profile_folders(texts("profiles"))); }

std::string Options::book_path() const {
    if (has("book")) return text("book");
    const std::string preset = environment("BAKEWRIGHT_BOOK");
    return preset.empty() ? book::default_book_path().string() : preset;
}

std::string user_name() {
    const std::string user = environment("USER"), login = environment("LOGNAME");
    return !user.empty() ? user : !login.empty() ? login : "unknown";
}

book::Book Options::open_book(book::Mode mode, bool salvage) const {
    const auto tell = [](const std::string& notice) { fmt::print(stderr, "note: {}\n", notice); };
    return book::Book::open(book_path(), mode, {.on_notice = tell, .salvage = salvage});
}

namespace {

double quantity_of(const std::string& text, Dimension dimension, const std::string& option) {
    try {
        return parse_quantity(text, dimension);
    } catch (const QuantityError& error) {
        wrong_option(option, error.what());
    }
}

/// What follows the number in "90 min".
std::string unit_in(const std::string& text) {
    const std::size_t at = text.find_first_not_of("0123456789.+- ");
    return at == std::string::npos ? std::string() : " " + text.substr(at);
}

}  // namespace

std::pair<double, double> range_of(const std::string& text, Dimension dimension, const std::string& option) {
    const std::size_t at = text.find(" to ");
    if (at == std::string::npos) {
        const double value = quantity_of(text, dimension, option);
        return {value, value};
    }
    const std::string from = text.substr(0, at), to = text.substr(at + 4);
    const double high = quantity_of(to, dimension, option);
    const double low = quantity_of(is_bare_number(from) ? from + unit_in(to) : from, dimension, option);
    if (low > high) wrong_option(option, fmt::format("'{}' runs from the larger to the smaller", text));
    return {low, high};
}

plan::Step step_of(const std::string& text, const std::string& option) {
    const std::size_t at = text.find(',');
    if (at == std::string::npos)
        wrong_option(option, fmt::format("'{}' is not a set point and a time such as \"45 degC, 20 min\"", text));
    return {quantity_of(text.substr(0, at), Dimension::temperature, option),
            quantity_of(text.substr(at + 1), Dimension::time, option)};
}

std::vector<plan::Step> steps_of(const std::vector<std::string>& texts, const std::string& option) {
    std::vector<plan::Step> steps;
    for (const std::string& text : texts) steps.push_back(step_of(text, option));
    return steps;
}

std::vector<std::string> names_in(const std::vector<std::string>& lists) {
    std::vector<std::string> names;
    for (const std::string& list : lists)
        for (std::string& name : report::names_in(list)) names.push_back(std::move(name));
    return names;
}

profile::Located<profile::ShellProfile> shell_of(const Options& options, const char* option) {
    const profile::Library library = options.library();
    return services::find_shell({library, options.book_path()}, options.text(option));
}

profile::Located<bake::Booth> booth_of(const Options& options, const char* option) {
    const profile::Library library = options.library();
    return services::find_booth({library, options.book_path()}, options.text(option));
}

bake::Booth booth_for(const Options& options, const services::StoredBake& bake, const char* remedy) {
    if (options.has("booth")) return booth_of(options).record;
    if (bake.booth) return *bake.booth;
    wrong_option("--booth", fmt::format("is missing: the bake was kept without a booth; {}", remedy));
}

}  // namespace bakewright::cli
