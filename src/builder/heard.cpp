// SPDX-License-Identifier: Apache-2.0
#include "bakewright/builder/heard.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <optional>
#include <regex>

namespace bakewright::builder {
namespace {

/// A number of ours: "12", "1.5", ".060", "3/16", "1-1/2", "1 1/2".
constexpr const char* kNumber = R"((?:\d+[ -]\d+/\d+|\d+/\d+|\d*\.?\d+))";

std::regex pattern(const std::string& text) { return std::regex(text, std::regex::ECMAScript | std::regex::icase); }

std::string trimmed(std::string_view text) {
    while (!text.empty() && std::isspace(static_cast<unsigned char>(text.front()))) text.remove_prefix(1);
    while (!text.empty() && std::isspace(static_cast<unsigned char>(text.back()))) text.remove_suffix(1);
    return std::string(text);
}

std::string replaced(std::string text, std::string_view from, std::string_view to) {
    for (std::size_t at = text.find(from); at != std::string::npos; at = text.find(from, at + to.size()))
        text.replace(at, from.size(), to);
    return text;
}

/// A decimal comma becomes a point; a comma before three digits groups thousands. Dashes and plus-minus signs become ASCII.
std::string with_plain_numbers(std::string text) {
    for (const auto& [from, to] : {std::pair{"\u2013", "-"},
                                   {"\u2014", "-"},
                                   {"\u00b1", "+-"},
                                   {"+/-", "+-"},
                                   {"\u2032", "'"},
                                   {"\u2033", "\""},
                                   {"\u00b0", " deg"},
                                   {"\u2248", "about "},
                                   {"\u2019", "'"},
                                   {"\u201d", "\""}})
        text = replaced(std::move(text), from, to);
    static const std::regex thousands = pattern(R"((\d),(\d{3})(?!\d))"), decimal = pattern(R"((\d),(\d))");
    text = std::regex_replace(text, thousands, "$1$2");
    return std::regex_replace(text, decimal, "$1.$2");
}

struct Spoken {
    const char* words;
    const char* number;
};

/// Numbers that people say in words, before their unit.
constexpr std::array kSpoken = {Spoken{R"(\b(?:an? )?(inch|hour|foot) and a half\b)", "1.5 $1"},
                                Spoken{R"(\bhalf (?:an? )?(inch|hour|foot|minute|day))", "0.5 $1"},
                                Spoken{R"(\b(?:a )?quarter (?:of )?(?:an? )?(inch|hour))", "0.25 $1"},
                                Spoken{R"(\bthree quarters? (?:of )?(?:an? )?(inch|hour))", "0.75 $1"},
                                Spoken{R"(^an? (inch|hour|foot|minute|day|week)\b)", "1 $1"},
                                Spoken{R"(^one )", "1 "},
                                Spoken{R"(^two )", "2 "},
                                Spoken{R"(^three )", "3 "},
                                Spoken{R"(\b(\d+) weeks?\b)", "$1 week"}};

std::string with_numbers_for_words(std::string text) {
    for (const Spoken& spoken : kSpoken) text = std::regex_replace(text, pattern(spoken.words), spoken.number);
    static const std::regex weeks = pattern(R"((\d+) week)");
    std::smatch found;
    if (std::regex_search(text, found, weeks))
        text = found.prefix().str() + fmt::format("{} d", 7 * std::stoi(found[1])) + found.suffix().str();
    return text;
}

/// Thickness by UK standard wire gauge [mm], 10 to 24. From memory.
constexpr std::array<double, 15> kWireGaugeMm = {3.251, 2.946, 2.642, 2.337, 2.032, 1.829, 1.626, 1.422,
                                                 1.219, 1.016, 0.914, 0.813, 0.711, 0.610, 0.559};

std::string length_as_written(const std::string& text, const Expected& expected) {
    std::smatch found;
    static const std::regex feet = pattern(R"(^(\d+) ?(?:ft|foot|feet|') ?(\d+(?:\.\d+)?)$)");
    if (std::regex_match(text, found, feet)) return fmt::format("{} ft {} in", found[1].str(), found[2].str());
    static const std::regex metres = pattern(R"(^(\d+) ?m ?(\d\d)$)");
    if (std::regex_match(text, found, metres)) return fmt::format("{}.{} m", found[1].str(), found[2].str());
    static const std::regex gauge = pattern(R"(^(?:no\.? ?)?(\d+) ?-?(g|swg|awg|ga\.?|gage|gauge)$)");
    if (!std::regex_match(text, found, gauge)) return text;
    const std::string number = found[1], word = plain_words(found[2].str());
    if (word == "g") throw NotUnderstood(fmt::format("Did you mean {} gauge?", number), number + " ga");
    if (word == "swg") {
        const int at = std::stoi(number) - 10;
        if (at < 0 || at >= static_cast<int>(kWireGaugeMm.size()))
            throw NotUnderstood(
                fmt::format("{} swg is not in the table here, which runs from 10 to 24. Write the millimetres.", number));
        return fmt::format("{} mm", kWireGaugeMm.at(static_cast<std::size_t>(at)));
    }
    if (word == "awg" && expected.gauge != GaugeSeries::aluminium)
        throw NotUnderstood(fmt::format("AWG is for wire and aluminium. Is it {} gauge sheet?", number), number + " ga");
    return number + " gauge";
}

std::string time_as_written(const std::string& text) {
    std::smatch found;
    static const std::regex clock = pattern(R"(^(\d+):(\d\d)$)");
    if (std::regex_match(text, found, clock)) return fmt::format("{} min", 60 * std::stoi(found[1]) + std::stoi(found[2]));
    static const std::regex short_form = pattern(R"(^(\d+) ?h ?(\d\d?)$)");
    if (std::regex_match(text, found, short_form)) return fmt::format("{} min", 60 * std::stoi(found[1]) + std::stoi(found[2]));
    static const std::regex minutes = pattern(R"(^(\d+(?:\.\d+)?) ?m$)");
    if (std::regex_match(text, found, minutes)) return found[1].str() + " min";
    static const std::regex prime = pattern(R"(^(\d+) ?'$)");
    if (std::regex_match(text, found, prime))
        throw NotUnderstood(fmt::format("Did you mean {} minutes?", found[1].str()), found[1].str() + " min");
    if (plain_words(text) == "overnight") throw NotUnderstood("Overnight is how long? Write the hours, such as 12 h.");
    return text;
}

std::string temperature_as_written(const std::string& text, const Expected& expected) {
    std::smatch found;
    static const std::regex degrees = pattern(R"(^(-?\d+(?:\.\d+)?) ?deg(?:rees?)?\.?$)");
    return std::regex_match(text, found, degrees) ? found[1].str() + (expected.takes_bare ? "" : " degC") : text;
}

std::string power_as_written(const std::string& text, Heard& read) {
    std::smatch found;
    const auto fuel = [&](double watts) {
        read.is_fuel_in = true;
        return fmt::format("{:.6g} kW", watts / 1e3);
    };
    constexpr double kBtuPerHour = 1055.05585262 / 3600.0;  // [W]; BTU_IT, exact
    static const std::regex mbh = pattern(R"(^(\d+(?:\.\d+)?) ?mbh$)"),
                            therms = pattern(R"(^(\d+(?:\.\d+)?) ?therms?(?: ?/ ?h| an hour| per hour)?$)");
    static const std::regex btu = pattern(R"(^(\d+(?:\.\d+)?) ?btu(?: ?/ ?h(?:r|our)?| an hour| per hour|h)?$)");
    static const std::regex oil = pattern(R"(^(\d+(?:\.\d+)?) ?(?:l|litres?|liters?)(?: of oil)?(?: ?/ ?h| an hour| per hour)$)");
    if (std::regex_match(text, found, mbh)) return fuel(std::stod(found[1]) * 1e3 * kBtuPerHour);
    if (std::regex_match(text, found, therms)) return fuel(std::stod(found[1]) * 1e5 * kBtuPerHour);
    if (std::regex_match(text, found, btu)) {
        if (text.find('h') == std::string::npos && text.find('H') == std::string::npos) read.remark = "read as BTU an hour";
        return fuel(std::stod(found[1]) * kBtuPerHour);
    }
    if (!std::regex_match(text, found, oil)) return text;
    read.remark = "10 kWh a litre of oil, from memory";
    return fuel(std::stod(found[1]) * 10e3);
}

std::string area_as_written(const std::string& text) {
    std::smatch found;
    static const std::regex sheet = pattern(R"(^(\d+(?:\.\d+)?) ?x ?(\d+(?:\.\d+)?) ?(ft|foot|feet|sheet|m)?(?: sheet)?$)");
    if (!std::regex_match(text, found, sheet)) return text;
    const bool is_metres = plain_words(found[3].str()) == "m";
    return fmt::format("{:.6g} {}", std::stod(found[1]) * std::stod(found[2]), is_metres ? "m2" : "ft2");
}

std::string as_written(const std::string& text, const Expected& expected, Heard& read) {
    switch (expected.dimension) {
        case Dimension::length:
            return length_as_written(text, expected);
        case Dimension::time:
            return time_as_written(text);
        case Dimension::temperature:
            return temperature_as_written(text, expected);
        case Dimension::power:
            return power_as_written(text, read);
        case Dimension::area:
            return area_as_written(text);
        default:
            return text;
    }
}

bool is_bare(const std::string& text) {
    static const std::regex number = pattern(std::string("^-?") + kNumber + "$");
    return std::regex_match(text, number);
}

/// A number without its unit: taken in the usual one, or asked about.
std::string with_unit(const std::string& text, const Expected& expected, Heard& read) {
    std::string unit(expected.bare);
    const bool is_sheet = unit == "mm" && expected.dimension == Dimension::length;
    const bool is_fraction = text.find('/') != std::string::npos;
    if (is_sheet && (is_fraction || text.starts_with('.') || text.starts_with("0.0"))) unit = "in";
    if (unit.empty()) throw NotUnderstood(fmt::format("'{}' has no unit. Write {}.", text, accepted_forms(expected.dimension)));
    constexpr double kHottestBareC = 90.0;
    if (expected.dimension == Dimension::temperature && unit == "degC" && std::stod(text) > kHottestBareC)
        throw NotUnderstood(fmt::format("{} without a letter would be {} °C. Did you mean {} °F?", text, text, text),
                            text + " degF");
    const std::string meant = fmt::format("{} {}", text, unit);
    if (!expected.takes_bare) throw NotUnderstood(fmt::format("'{}' has no unit. Did you mean {}?", text, meant), meant);
    read.remark = fmt::format("{} taken as {}", text, meant);
    return meant;
}

double si(const std::string& text, const Expected& expected) {
    try {
        return parse_quantity(text, expected.dimension, expected.gauge);
    } catch (const QuantityError&) {
        throw NotUnderstood(fmt::format("I can't read '{}'. Write {}.", text, accepted_forms(expected.dimension)));
    }
}

/// One quantity, without a range round it.
Heard heard_one(const std::string& text, const Expected& expected) {
    Heard read;
    std::string written = as_written(text, expected, read);
    if (is_bare(written)) written = with_unit(written, expected, read);
    read.value = read.low = read.high = si(written, expected);
    read.written = written;
    return read;
}

/// What follows the number at the start of a text: " mm" of "12 mm".
std::string unit_behind(const std::string& text) {
    std::smatch found;
    static const std::regex number = pattern(std::string("^-?") + kNumber);
    return std::regex_search(text, found, number) ? found.suffix().str() : std::string();
}

std::optional<Heard> heard_range(const std::string& text, const Expected& expected) {
    static const std::regex range =
        pattern(std::string("^(") + kNumber + R"()( ?[a-z"']*?)(?: to | ?- ?)()" + kNumber + R"()(.*)$)");
    std::smatch found;
    if (!std::regex_match(text, found, range)) return std::nullopt;
    const bool is_mixed = found[2].str().empty() && found[3].str().find('/') != std::string::npos &&
                          found[1].str().find_first_not_of("0123456789") == std::string::npos;
    if (is_mixed) return std::nullopt;  // "1-1/2"
    const std::string unit = found[4].str(), own = found[2].str();
    const Heard high = heard_one(trimmed(found[3].str() + unit), expected);
    const Heard low = heard_one(trimmed(found[1].str() + (own.empty() || own == " " ? unit : own)), expected);
    if (low.value > high.value) throw NotUnderstood(fmt::format("'{}' runs from the larger to the smaller.", text));
    Heard read = high;
    read.low = low.value;
    if (expected.takes_longer) {
        read.remark = fmt::format("of {} the longer counts", text);
        return read;
    }
    read.value = 0.5 * (low.value + high.value);
    read.written = si_text(read.value, expected.dimension);
    return read;
}

std::optional<Heard> heard_tolerance(const std::string& text, const Expected& expected) {
    const std::size_t at = text.find("+-");
    if (at == std::string::npos) return std::nullopt;
    Heard read = heard_one(trimmed(std::string_view(text).substr(0, at)), expected);
    const std::string either_way = trimmed(std::string_view(text).substr(at + 2));
    const Heard off = heard_one(is_bare(either_way) ? either_way + unit_behind(read.written) : either_way, expected);
    read.low = read.value - off.value;
    read.high = read.value + off.value;
    return read;
}

/// How far "about" reaches either way. Common practice, no source.
constexpr double kAbout = 0.15;

}  // namespace

std::string plain_words(std::string_view text) {
    std::string words;
    for (const char letter : text) {
        const auto byte = static_cast<unsigned char>(letter);
        const bool is_word = std::isalnum(byte) != 0 || byte >= 0x80 || letter == '.' || letter == '/';
        if (is_word) words += static_cast<char>(byte < 0x80 ? std::tolower(byte) : byte);
        if (!is_word && !words.empty() && words.back() != ' ') words += ' ';
    }
    return trimmed(words);
}

std::vector<std::string> split(std::string_view text, std::string_view separators) {
    std::vector<std::string> parts;
    for (std::size_t at = 0; at <= text.size();) {
        const std::size_t end = std::min(text.find_first_of(separators, at), text.size());
        if (std::string part = trimmed(text.substr(at, end - at)); !part.empty()) parts.push_back(std::move(part));
        at = end + 1;
    }
    return parts;
}

std::string shown(double value) { return fmt::format("{:.4g}", value); }

Heard heard(std::string_view text, const Expected& expected) {
    std::string plain = with_numbers_for_words(with_plain_numbers(trimmed(text)));
    if (plain.empty()) throw NotUnderstood(fmt::format("Nothing was written. Write {}.", accepted_forms(expected.dimension)));
    static const std::regex about = pattern(R"(^(?:about|approx\.?|approximately|around|roughly|ca\.?|~) *)");
    const std::string without = std::regex_replace(plain, about, "");
    const bool is_about = without != plain;
    plain = without;
    std::optional<Heard> read = heard_tolerance(plain, expected);
    if (!read) read = heard_range(plain, expected);
    if (!read) read = heard_one(plain, expected);
    if (is_about && expected.dimension != Dimension::temperature && read->low == read->high) {
        read->low = read->value * (1.0 - kAbout);
        read->high = read->value * (1.0 + kAbout);
    }
    return *read;
}

std::vector<Heard> heard_sizes(std::string_view text, std::size_t count) {
    std::string plain = replaced(with_plain_numbers(trimmed(text)), "\u00d7", "x");
    plain = std::regex_replace(plain, pattern(R"( by |\*)"), " x ");
    static const std::regex between = pattern(R"( *x *)");
    std::vector<std::string> parts(std::sregex_token_iterator(plain.begin(), plain.end(), between, -1), {});
    std::erase(parts, "");
    if (parts.size() != count)
        throw NotUnderstood(fmt::format("'{}' has {} of the {} sizes. Write them with an x between, such as {}.", trimmed(text),
                                        parts.size(), count, count == 3 ? "7 x 2.3 x 2.9 m" : "1.2 x 0.9 m"));
    const std::string last = unit_behind(parts.back());
    std::vector<Heard> sizes;
    const bool all_bare = trimmed(last).empty() && std::ranges::all_of(parts, is_bare);
    for (std::string& part : parts) {
        Expected expected{.dimension = Dimension::length};
        if (all_bare) {
            constexpr double kLargestBareM = 20.0, kLeastBareMm = 100.0;
            const bool is_large =
                std::ranges::any_of(parts, [](const std::string& one) { return std::stod(one) >= kLargestBareM; });
            expected.bare = is_large ? "mm" : "m";
            expected.takes_bare = !is_large;
            const bool is_mm = std::ranges::all_of(parts, [](const std::string& one) { return std::stod(one) >= kLeastBareMm; });
            if (is_large)
                throw NotUnderstood(fmt::format("In which unit is '{}'?", plain), is_mm ? plain + " mm" : plain + " ft");
        } else if (is_bare(part)) {
            part += trimmed(last).starts_with('\'') ? "'" : last;
        }
        sizes.push_back(heard(part, expected));
    }
    return sizes;
}

}  // namespace bakewright::builder
