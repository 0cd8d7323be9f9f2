#include "unit_text.hpp"

#include <algorithm>
#include <array>

#include "cell.hpp"
#include "row_scanner.hpp"

namespace bakewright::probe {
namespace {

struct NamedUnit {
    std::string_view text;
    UnitKind kind;
};

constexpr std::array kUnits = {NamedUnit{"c", UnitKind::celsius},
                               NamedUnit{"degc", UnitKind::celsius},
                               NamedUnit{"celsius", UnitKind::celsius},
                               NamedUnit{"degcelsius", UnitKind::celsius},
                               NamedUnit{"f", UnitKind::fahrenheit},
                               NamedUnit{"degf", UnitKind::fahrenheit},
                               NamedUnit{"fahrenheit", UnitKind::fahrenheit},
                               NamedUnit{"degfahrenheit", UnitKind::fahrenheit},
                               NamedUnit{"k", UnitKind::kelvin},
                               NamedUnit{"degk", UnitKind::kelvin},
                               NamedUnit{"kelvin", UnitKind::kelvin},
                               NamedUnit{"ms", UnitKind::millisecond},
                               NamedUnit{"msec", UnitKind::millisecond},
                               NamedUnit{"millisecond", UnitKind::millisecond},
                               NamedUnit{"milliseconds", UnitKind::millisecond},
                               NamedUnit{"s", UnitKind::second},
                               NamedUnit{"sec", UnitKind::second},
                               NamedUnit{"secs", UnitKind::second},
                               NamedUnit{"second", UnitKind::second},
                               NamedUnit{"seconds", UnitKind::second},
                               NamedUnit{"min", UnitKind::minute},
                               NamedUnit{"mins", UnitKind::minute},
                               NamedUnit{"minute", UnitKind::minute},
                               NamedUnit{"minutes", UnitKind::minute},
                               NamedUnit{"h", UnitKind::hour},
                               NamedUnit{"hr", UnitKind::hour},
                               NamedUnit{"hrs", UnitKind::hour},
                               NamedUnit{"hour", UnitKind::hour},
                               NamedUnit{"hours", UnitKind::hour},
                               NamedUnit{"d", UnitKind::day},
                               NamedUnit{"day", UnitKind::day},
                               NamedUnit{"days", UnitKind::day},
                               NamedUnit{"hh:mm:ss", UnitKind::hms},
                               NamedUnit{"h:mm:ss", UnitKind::hms},
                               NamedUnit{"h:m:s", UnitKind::hms},
                               NamedUnit{"hms", UnitKind::hms},
                               NamedUnit{"hh:mm", UnitKind::hms},
                               NamedUnit{"h:mm", UnitKind::hms},
                               NamedUnit{"mm:ss", UnitKind::minute_second},
                               NamedUnit{"m:ss", UnitKind::minute_second},
                               NamedUnit{"min:sec", UnitKind::minute_second},
                               NamedUnit{"min:s", UnitKind::minute_second},
                               NamedUnit{"v", UnitKind::volt},
                               NamedUnit{"volt", UnitKind::volt},
                               NamedUnit{"volts", UnitKind::volt},
                               NamedUnit{"mv", UnitKind::millivolt},
                               NamedUnit{"millivolt", UnitKind::millivolt},
                               NamedUnit{"millivolts", UnitKind::millivolt},
                               NamedUnit{"uv", UnitKind::microvolt},
                               NamedUnit{"microvolt", UnitKind::microvolt},
                               NamedUnit{"microvolts", UnitKind::microvolt},
                               NamedUnit{"\xC2\xB5v", UnitKind::microvolt},   // U+00B5, the micro sign
                               NamedUnit{"\xCE\xBCv", UnitKind::microvolt}};  // U+03BC, the Greek letter

constexpr std::array<std::string_view, 58> kOtherUnits = {
    "%",     "%rh", "rh",    "rh%",      "w",        "kw",   "mw",    "w/m2", "kw/m2", "w/m^2", "kw/m^2", "w/m²",
    "kw/m²", "g",   "kg",    "lb",       "pa",       "hpa",  "kpa",   "mpa",  "bar",   "mbar",  "psi",    "a",
    "ma",    "m",   "mm",    "cm",       "µm",       "um",   "in",    "ft",   "m/s",   "km/h",  "ft/min", "fpm",
    "ppm",   "ppb", "hz",    "rpm",      "l/min",    "m3/h", "m3/s",  "m³/h", "cfm",   "kwh",   "j",      "kj",
    "ohm",   "Ω",   "k/min", "degc/min", "degf/min", "k/s",  "inh2o", "mmhg", "vol%",  "n"};

/// What a degree sign may look like: ° º ˚, the replacement character, and ° read in the wrong encoding.
constexpr std::array<std::string_view, 6> kDegreeSigns = {"\xC3\x82\xC2\xB0", "\xC2\xB0",     "\xC2\xBA",
                                                          "\xCB\x9A",         "\xEF\xBF\xBD", "\xE2\x88\x98"};

/// Small letters without blanks, degree signs as "deg", the one-character signs U+2103 and U+2109 as "degc" and "degf".
std::string normalised(std::string_view text) {
    std::string out;
    while (!text.empty()) {
        const auto* sign = std::find_if(kDegreeSigns.begin(), kDegreeSigns.end(),
                                        [text](std::string_view s) { return text.substr(0, s.size()) == s; });
        if (sign != kDegreeSigns.end()) {
            out += "deg";
            text.remove_prefix(sign->size());
        } else if (text.substr(0, 3) == "\xE2\x84\x83" || text.substr(0, 3) == "\xE2\x84\x89") {
            out += text[2] == '\x83' ? "degc" : "degf";
            text.remove_prefix(3);
        } else {
            if (text.front() != ' ' && text.front() != '\t') out.push_back(lower(text.front()));
            text.remove_prefix(1);
        }
    }
    if (out == "?c" || out == "?f") out.replace(0, 1, "deg");
    while (out.size() > 1 && out.back() == '.') out.pop_back();
    return out;
}

bool is_bracketed(std::string_view text) noexcept {
    return text.size() >= 3 && ((text.front() == '[' && text.back() == ']') || (text.front() == '(' && text.back() == ')') ||
                                (text.front() == '<' && text.back() == '>'));
}

std::string_view without_brackets(std::string_view text) noexcept {
    text = trimmed(text);
    return is_bracketed(text) ? trimmed(text.substr(1, text.size() - 2)) : text;
}

Heading heading_of(std::string_view name, std::string_view unit, UnitKind kind) {
    return {std::string(trimmed(name)), std::string(trimmed(unit)), kind};
}

/// "T1 [C]", "Flow (SCFM)": a word in square brackets is a unit even where it is not known here.
std::optional<Heading> bracket_unit(std::string_view heading) {
    if (heading.size() < 3 || (heading.back() != ']' && heading.back() != ')')) return {};
    const std::size_t open = heading.rfind(heading.back() == ']' ? '[' : '(');
    if (open == std::string_view::npos) return {};
    const std::string_view inside = heading.substr(open + 1, heading.size() - open - 2);
    UnitKind kind = unit_kind(inside);
    if (kind == UnitKind::none && heading.back() == ']' && !trimmed(inside).empty()) kind = UnitKind::other;
    if (kind == UnitKind::none) return {};
    return heading_of(heading.substr(0, open), inside, kind);
}

bool is_plain_letter(std::string_view unit) noexcept { return unit.size() == 1; }

/// "T1 / °C", "T1, K"; a lone letter needs a blank before the slash, since "Oven T/C" is a thermocouple.
std::optional<Heading> separated_unit(std::string_view heading) {
    const std::size_t at = heading.find_last_of("/,;");
    if (at == std::string_view::npos || at == 0 || at + 1 >= heading.size()) return {};
    const std::string_view unit = trimmed(heading.substr(at + 1));
    const UnitKind kind = unit_kind(unit);
    const bool free_standing = heading[at] != '/' || heading[at - 1] == ' ';
    if (kind == UnitKind::none || (!free_standing && is_plain_letter(unit))) return {};
    return heading_of(heading.substr(0, at), unit, kind);
}

bool is_quantity_word(std::string_view name) {
    const std::vector<std::string> words = words_of(name);
    static constexpr std::array<std::string_view, 7> kWords = {"temp",      "temperature", "time",    "elapsed",
                                                               "timestamp", "t",           "duration"};
    return !words.empty() && std::find(kWords.begin(), kWords.end(), words.back()) != kWords.end();
}

/// "Roof °C", "roof_degC", "air_temp_f", "time_s".
std::optional<Heading> trailing_unit(std::string_view heading) {
    const std::size_t at = heading.find_last_of(" _");
    if (at == std::string_view::npos || at == 0) return {};
    const std::string_view unit = heading.substr(at + 1), name = heading.substr(0, at);
    const UnitKind kind = unit_kind(unit);
    if (kind == UnitKind::none || kind == UnitKind::other) return {};
    const bool certain = (temperature_unit(kind) || volts_of_one(kind)) && !is_plain_letter(unit);
    if (!certain && !is_quantity_word(name)) return {};
    if (!certain && heading[at] == ' ' && temperature_unit(kind)) return {};
    return heading_of(name, unit, kind);
}

/// "Roof°C": a degree sign glued to the name.
std::optional<Heading> glued_degree(std::string_view heading) {
    const std::string whole = normalised(heading);
    if (whole.size() < 5 || (!whole.ends_with("degc") && !whole.ends_with("degf"))) return {};
    for (const std::string_view sign : kDegreeSigns) {
        const std::size_t at = heading.rfind(sign);
        if (at == std::string_view::npos || at == 0) continue;
        const UnitKind kind = unit_kind(heading.substr(at));
        if (kind != UnitKind::none) return heading_of(heading.substr(0, at), heading.substr(at), kind);
    }
    return {};
}

}  // namespace

std::optional<TemperatureUnit> temperature_unit(UnitKind kind) noexcept {
    switch (kind) {
        case UnitKind::celsius:
            return TemperatureUnit::celsius;
        case UnitKind::fahrenheit:
            return TemperatureUnit::fahrenheit;
        case UnitKind::kelvin:
            return TemperatureUnit::kelvin;
        default:
            return {};
    }
}

std::optional<double> volts_of_one(UnitKind kind) noexcept {
    switch (kind) {
        case UnitKind::volt:
            return 1.0;
        case UnitKind::millivolt:
            return 1e-3;
        case UnitKind::microvolt:
            return 1e-6;
        default:
            return {};
    }
}

bool is_time_unit(UnitKind kind) noexcept { return kind >= UnitKind::millisecond && kind <= UnitKind::minute_second; }

UnitKind unit_kind(std::string_view text) noexcept {
    text = without_brackets(text);
    if (text.empty() || text.size() > 16) return UnitKind::none;
    const std::string plain = normalised(text);
    for (const NamedUnit& unit : kUnits)
        if (unit.text == plain) return unit.kind;
    return std::find(kOtherUnits.begin(), kOtherUnits.end(), plain) != kOtherUnits.end() ? UnitKind::other : UnitKind::none;
}

Heading split_heading(std::string_view heading) {
    heading = trimmed(heading);
    for (const auto find : {bracket_unit, separated_unit, trailing_unit, glued_degree})
        if (auto found = find(heading); found && !found->name.empty()) return *std::move(found);
    return {std::string(heading), {}, UnitKind::none};
}

std::vector<std::string> words_of(std::string_view text) {
    std::vector<std::string> words;
    std::string word;
    const auto finish = [&] {
        if (!word.empty()) words.push_back(std::move(word));
        word.clear();
    };
    for (std::size_t i = 0; i < text.size(); ++i) {
        const char c = text[i];
        const bool capital = c >= 'A' && c <= 'Z';
        const bool after_small = i > 0 && text[i - 1] >= 'a' && text[i - 1] <= 'z';
        if (capital && after_small) finish();
        if (is_letter(c) || is_digit(c) || static_cast<unsigned char>(c) >= 0x80) {
            word.push_back(lower(c));
        } else {
            finish();
        }
    }
    finish();
    return words;
}

}  // namespace bakewright::probe
