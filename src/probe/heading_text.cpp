// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <array>

#include "cell.hpp"
#include "row_scanner.hpp"
#include "unit_text.hpp"

namespace bakewright::probe {
namespace {

Heading heading_of(std::string_view name, std::string_view unit, UnitKind kind) {
    return {std::string(trimmed(name)), std::string(trimmed(unit)), kind, 1.0, {}};
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
    static constexpr std::array<std::string_view, 5> kWords = {"time", "elapsed", "timestamp", "t", "duration"};
    return !words.empty() &&
           (std::find(kWords.begin(), kWords.end(), words.back()) != kWords.end() || is_temperature_word(words.back()));
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
    // "Temp F" may be one of "Temp A" to "Temp H": that is left to whoever sees all headings.
    if (!certain && heading[at] == ' ' && temperature_unit(kind)) return {};
    return heading_of(name, unit, kind);
}

/// A heading without the unit in it, and without the brackets around that.
std::string without(std::string_view heading, const UnitMention& unit) {
    std::size_t begin = unit.begin, end = unit.end;
    const auto is_around = [&](char open, char close) {
        return begin > 0 && end < heading.size() && heading[begin - 1] == open && heading[end] == close;
    };
    if (is_around('(', ')') || is_around('[', ']') || is_around('<', '>') || is_around('{', '}')) --begin, ++end;
    constexpr std::string_view kJoints = " \t,;:/|=_-";
    std::string_view before = heading.substr(0, begin), behind = heading.substr(end);
    before = before.substr(0, before.find_last_not_of(kJoints) + 1);
    behind.remove_prefix(std::min(behind.find_first_not_of(kJoints), behind.size()));
    std::string name(before);
    if (!name.empty() && !behind.empty() && behind.front() != ')' && name.back() != '(') name += ' ';
    return name += behind;
}

/// A heading that says how its numbers are scaled: "°C x10", "0.1 °C", "°F/10".
bool says_scale(std::string_view heading, const UnitMention& unit) {
    const auto is_number = [](std::string_view text) {
        return !text.empty() && text.find_first_not_of("0123456789.,") == std::string_view::npos;
    };
    std::string_view before = trimmed(heading.substr(0, unit.begin)), behind = trimmed(heading.substr(unit.end));
    while (!before.empty() && std::string_view("([").find(before.back()) != std::string_view::npos) before.remove_suffix(1);
    before = trimmed(before);
    const std::size_t last = before.find_last_of(" ([");
    const std::string_view number = last == std::string_view::npos ? before : before.substr(last + 1);
    const bool tenths =
        is_number(number.substr(number.starts_with('x') ? 1 : 0)) &&
        (number.starts_with('x') || number.starts_with("0.") || number.starts_with("0,") || number.starts_with("1/"));
    const std::size_t from = behind.find_first_not_of(" )]");
    if (from != std::string_view::npos) behind.remove_prefix(from);
    const bool times = behind.size() > 1 && std::string_view("*/xX").find(behind.front()) != std::string_view::npos &&
                       is_digit(trimmed(behind.substr(1)).empty() ? ' ' : trimmed(behind.substr(1)).front());
    return tenths || times;
}

/// Puts what else the heading says beside what was found at its end.
Heading explained(Heading found, std::string_view heading, bool letters_are_labels) {
    const std::vector<UnitMention> mentions = temperature_mentions(heading, letters_are_labels);
    const auto text_of = [&](const UnitMention& mention) {
        return std::string(heading.substr(mention.begin, mention.end - mention.begin));
    };
    const auto is_known = [](const UnitMention& mention) { return mention.certain && mention.kind != UnitKind::none; };
    const auto first = std::find_if(mentions.begin(), mentions.end(), is_known);
    const UnitMention* certain = first == mentions.end() ? nullptr : &*first;
    for (const UnitMention& mention : mentions) {
        if (mention.kind == UnitKind::other) return {without(heading, mention), text_of(mention), UnitKind::other, 1.0, {}};
        if (is_known(mention) && mention.kind == certain->kind) continue;
        if (mention.kind == UnitKind::celsius && !mention.certain) continue;
        // A letter beside a unit that is certain is a part of the name.
        if (!is_known(mention) && (certain != nullptr || found.kind != UnitKind::none)) continue;
        if (found.unexplained.empty()) found.unexplained = text_of(mention);
    }
    const bool at_end = temperature_unit(found.kind).has_value();
    if (certain != nullptr && at_end && certain->kind != found.kind && found.unexplained.empty())
        found.unexplained = text_of(*certain);
    const bool is_guess = found.kind == UnitKind::other && unit_kind(found.unit) == UnitKind::none;
    if (certain != nullptr && !at_end && (found.kind == UnitKind::none || is_guess || is_time_unit(found.kind))) {
        found.name = without(heading, *certain);
        if (found.name.empty()) found.name = heading;
        found.unit = text_of(*certain);
        found.kind = certain->kind;
        found.scale = certain->scale;
    }
    if (certain != nullptr && says_scale(heading, *certain)) found.unexplained = std::string(heading);
    if (!found.unexplained.empty() && (at_end || certain != nullptr))
        return {std::string(heading), {}, UnitKind::none, 1.0, found.unexplained};
    return found;
}

}  // namespace

Heading split_heading(std::string_view heading, bool letters_are_labels) {
    heading = trimmed(heading);
    for (const auto find : {bracket_unit, separated_unit, trailing_unit})
        if (auto found = find(heading);
            found && !found->name.empty() &&
            !(letters_are_labels && is_plain_letter(found->unit) && heading.back() == found->unit.back()))
            return explained(*std::move(found), heading, letters_are_labels);
    return explained({std::string(heading), {}, UnitKind::none, 1.0, {}}, heading, letters_are_labels);
}

}  // namespace bakewright::probe
