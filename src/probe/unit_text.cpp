// SPDX-License-Identifier: Apache-2.0
#include "unit_text.hpp"

#include <algorithm>
#include <array>

#include "bakewright/base/units.hpp"
#include "cell.hpp"
#include "row_scanner.hpp"

namespace bakewright::probe {
namespace {

struct NamedUnit {
    std::string_view text;
    UnitKind kind;
};

constexpr std::array kUnits = {NamedUnit{"c", UnitKind::celsius},
                               NamedUnit{"f", UnitKind::fahrenheit},
                               NamedUnit{"k", UnitKind::kelvin},
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

/// What a degree sign may look like: ° º ˚ ∘, the replacement character, ° read in the wrong encoding (once and twice), the signs
/// of DOS and of old Macintosh text read as Latin-1 (ø and ¡), and the ways it is written out.
constexpr std::array<std::string_view, 11> kDegreeSigns = {"\xC3\x83\xE2\x80\x9A\xC2\xB0",
                                                           "\xC3\x82\xC2\xB0",
                                                           "\xC2\xB0",
                                                           "\xC2\xBA",
                                                           "\xCB\x9A",
                                                           "\xEF\xBF\xBD",
                                                           "\xE2\x88\x98",
                                                           "\xC2\xA1",
                                                           "\xC3\xB8",
                                                           "&deg;",
                                                           "&#176;"};
/// Signs that stand for a degree sign where a letter for a unit follows, and only there: * ' ’ ^ ~ ` ´ ?
constexpr std::array<std::string_view, 9> kDegreeMarks = {"*", "'", "\xE2\x80\x99", "^", "~", "`", "\xC2\xB4", "?", "\""};
/// Words for a degree, several languages.
constexpr std::array<std::string_view, 12> kDegreeWords = {
    "degrees", "degree", "degs", "deg", "grados", "grado", "gradi", "graden", "grader", "grad", "degr\xC3\xA9s", "degr\xC3\xA9"};
// Words for temperature, several languages.
constexpr std::array<std::string_view, 9> kTemperatureWords = {"temp",        "temperature",  "tmp",
                                                               "temperatur",  "temperatura",  "temperaturen",
                                                               "temperatuur", "temperatures", "temp\xC3\xA9rature"};

template <std::size_t N>
bool is_in(const std::array<std::string_view, N>& list, std::string_view word) {
    return std::find(list.begin(), list.end(), word) != list.end();
}

template <std::size_t N>
std::size_t length_of_first(const std::array<std::string_view, N>& list, std::string_view text) {
    for (const std::string_view one : list)
        if (text.starts_with(one)) return one.size();
    return 0;
}

/// Small letters without blanks, degree signs as "deg", the one-character signs U+2103 and U+2109 as "degc" and "degf".
std::string normalised(std::string_view text) {
    std::string out;
    while (!text.empty()) {
        if (const std::size_t sign = length_of_first(kDegreeSigns, text); sign > 0) {
            out += "deg";
            text.remove_prefix(sign);
        } else if (text.starts_with("\xE2\x84\x83") || text.starts_with("\xE2\x84\x89")) {
            out += text[2] == '\x83' ? "degc" : "degf";
            text.remove_prefix(3);
        } else {
            if (text.front() != ' ' && text.front() != '\t') out.push_back(lower(text.front()));
            text.remove_prefix(1);
        }
    }
    while (out.size() > 1 && out.back() == '.') out.pop_back();
    return out;
}

/// The letter or the name of a scale, also misspelled or cut short; none for anything else.
UnitKind scale_name(std::string_view word) {
    if (word == "c" || word.starts_with("cels") || word.starts_with("celc") || word.starts_with("centig"))
        return UnitKind::celsius;
    if (word == "f" || word.starts_with("fahr") || word.starts_with("faren")) return UnitKind::fahrenheit;
    if (word == "k" || word.starts_with("kelv")) return UnitKind::kelvin;
    return UnitKind::none;
}

/// "degf", "degrees.f", "*f", "fahrenheit", "f°": a scale with a degree in front or behind, or its name; not a letter alone.
/// @param original  as it is written: "oF" has a small o and a capital letter
UnitKind spelled_temperature(std::string_view plain, std::string_view original) {
    std::string_view rest = plain;
    std::size_t degree = 0;
    if (original.size() == 2 && original[0] == 'o' && original[1] >= 'A' && original[1] <= 'Z') degree = 1;
    if (degree == 0) degree = length_of_first(kDegreeWords, rest);
    if (degree == 0) degree = length_of_first(kDegreeMarks, rest);
    rest.remove_prefix(degree);
    if (degree > 0)
        while (!rest.empty() && (rest.front() == '.' || rest.front() == '_' || rest.front() == '-')) rest.remove_prefix(1);
    if (degree == 0 && rest.size() == 4 && rest.ends_with("deg")) return scale_name(rest.substr(0, 1));
    const UnitKind kind = scale_name(rest);
    return degree == 0 && rest.size() == 1 ? UnitKind::none : kind;
}

bool is_bracketed(std::string_view text) noexcept {
    return text.size() >= 3 && ((text.front() == '[' && text.back() == ']') || (text.front() == '(' && text.back() == ')') ||
                                (text.front() == '<' && text.back() == '>'));
}

std::string_view without_brackets(std::string_view text) noexcept {
    text = trimmed(text);
    return is_bracketed(text) ? trimmed(text.substr(1, text.size() - 2)) : text;
}

struct Token {
    std::size_t begin, end;
};

/// What stands between blanks, brackets and the signs that join words.
std::vector<Token> tokens_of(std::string_view text) {
    static constexpr std::string_view kBetween = " \t\r\n_,;:/|=()[]<>{}-";
    std::vector<Token> out;
    for (std::size_t at = text.find_first_not_of(kBetween); at != std::string_view::npos;) {
        const std::size_t end = std::min(text.find_first_of(kBetween, at), text.size());
        out.push_back({at, end});
        at = text.find_first_not_of(kBetween, end);
    }
    return out;
}

/// Finds the units of temperature in one text.
class Mentions {
public:
    Mentions(std::string_view text, bool letters_are_labels)
        : text_(text), letters_are_labels_(letters_are_labels), tokens_(tokens_of(text)) {}

    std::vector<UnitMention> find() {
        for (std::size_t i = 0; i < tokens_.size();) i += take(i);
        return std::move(out_);
    }

private:
    [[nodiscard]] std::string_view text_of(std::size_t i) const {
        return text_.substr(tokens_[i].begin, tokens_[i].end - tokens_[i].begin);
    }
    [[nodiscard]] std::string word(std::size_t i) const { return i < tokens_.size() ? normalised(text_of(i)) : std::string(); }

    /// Returns how many tokens were looked at.
    std::size_t take(std::size_t i) {
        const std::string here = word(i);
        if (is_in(kDegreeWords, here) || here == "o") {
            if (const UnitKind kind = i + 1 < tokens_.size() ? scale_name(word(i + 1)) : UnitKind::none; kind != UnitKind::none)
                return add(i, 2, kind, true);
            return here == "o" ? 1 : add(i, 1, UnitKind::none, true);
        }
        if (const UnitKind kind = spelled_temperature(here, text_of(i)); kind != UnitKind::none) return add(i, 1, kind, true);
        for (const std::string_view milli : {"milli", "m"}) {
            if (!here.starts_with(milli) || here.size() < milli.size() + 4) continue;
            const UnitKind kind = spelled_temperature(std::string_view(here).substr(milli.size()), {});
            if (kind == UnitKind::none) continue;
            add(i, 1, kind, true);
            out_.back().scale = 1e-3;
            return 1;
        }
        if (here.size() == 1 && scale_name(here) != UnitKind::none) return take_letter(i, here);
        return take_glued(i, here);
    }

    std::size_t take_letter(std::size_t i, const std::string& letter) {
        static constexpr std::array<std::string_view, 9> kTypeWords = {"type", "typ",          "tipo",    "tc",    "t",
                                                                       "c",    "thermocouple", "element", "couple"};
        const std::string before = i > 0 ? word(i - 1) : std::string(), behind = word(i + 1);
        if (is_bracketed_alone(i)) return add(i, 1, scale_name(letter), true);
        if (letters_are_labels_ || (letter != "f" && (is_in(kTypeWords, before) || is_in(kTypeWords, behind)))) return 1;
        return add(i, 1, scale_name(letter), is_in(kTemperatureWords, before));
    }

    [[nodiscard]] bool is_bracketed_alone(std::size_t i) const {
        const auto [begin, end] = tokens_[i];
        return begin > 0 && end < text_.size() && std::string_view("([<{").find(text_[begin - 1]) != std::string_view::npos &&
               std::string_view(")]>}").find(text_[end]) != std::string_view::npos;
    }

    /// "Roof°F", "TempF", and signs that may once have been a degree: "#F".
    std::size_t take_glued(std::size_t i, const std::string& here) {
        const char last = here.empty() ? '\0' : here.back();
        if (last == 'c' || last == 'f' || last == 'k') {
            const UnitKind kind = scale_name({&last, 1});
            if (here.size() > 4 && std::string_view(here).substr(0, here.size() - 1).ends_with("deg")) return add_glued(i, kind);
            if (is_in(kTemperatureWords, std::string_view(here).substr(0, here.size() - 1))) return add_glued(i, kind);
            const bool any_letter = std::any_of(here.begin(), here.end() - 1, [](char c) { return is_letter(c) || is_digit(c); });
            if (here.size() >= 2 && here.size() <= 5 && !any_letter) return add(i, 1, UnitKind::none, true);
        }
        const bool is_sign = here.size() <= 4 && here.starts_with("deg") && length_of_first(kDegreeSigns, text_of(i)) > 0;
        return is_sign ? add(i, 1, UnitKind::none, true) : 1;
    }

    /// The unit is the end of the token, from its degree sign on.
    std::size_t add_glued(std::size_t i, UnitKind kind) {
        const std::string_view whole = text_of(i);
        std::size_t from = whole.size() - 1;
        for (const std::string_view sign : kDegreeSigns)
            if (const std::size_t at = whole.rfind(sign); at != std::string_view::npos) from = std::min(from, at);
        if (const std::size_t at = normalised(whole).rfind("deg");
            from + 1 == whole.size() && at != std::string::npos && at > 0 && normalised(whole).size() == whole.size())
            from = at;
        add(i, 1, kind, true);
        if (!out_.empty() && out_.back().end == tokens_[i].end) out_.back().begin = tokens_[i].begin + from;
        return 1;
    }

    std::size_t add(std::size_t i, std::size_t count, UnitKind kind, bool certain) {
        const Token last = tokens_[i + count - 1];
        const std::size_t joint = text_.find_first_not_of(" )]", last.end);
        const bool is_rate = joint != std::string_view::npos && text_[joint] == '/' && is_time_unit(unit_kind(word(i + count)));
        out_.push_back(is_rate ? UnitMention{tokens_[i].begin, tokens_[i + count].end, UnitKind::other, true}
                               : UnitMention{tokens_[i].begin, last.end, kind, certain});
        return count + (is_rate ? 1 : 0);
    }

    std::string_view text_;
    bool letters_are_labels_;
    std::vector<Token> tokens_;
    std::vector<UnitMention> out_;
};

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

std::optional<double> seconds_of_one(UnitKind kind) noexcept {
    switch (kind) {
        case UnitKind::millisecond:
            return 1e-3;
        case UnitKind::second:
            return 1.0;
        case UnitKind::minute:
            return kSecondPerMinute;
        case UnitKind::hour:
            return kSecondPerHour;
        case UnitKind::day:
            return 24.0 * kSecondPerHour;
        default:
            return std::nullopt;
    }
}

bool is_time_unit(UnitKind kind) noexcept { return kind >= UnitKind::millisecond && kind <= UnitKind::minute_second; }

UnitKind unit_kind(std::string_view text) {
    text = without_brackets(text);
    if (text.empty() || text.size() > 24) return UnitKind::none;
    const std::string plain = normalised(text);
    for (const NamedUnit& unit : kUnits)
        if (unit.text == plain) return unit.kind;
    if (is_in(kOtherUnits, plain)) return UnitKind::other;
    return spelled_temperature(plain, text);
}

bool is_temperature_word(std::string_view word) { return is_in(kTemperatureWords, word); }

std::vector<UnitMention> temperature_mentions(std::string_view text, bool letters_are_labels) {
    return Mentions(text, letters_are_labels).find();
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
