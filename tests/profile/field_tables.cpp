// SPDX-License-Identifier: Apache-2.0
#include "field_tables.hpp"

#include <algorithm>
#include <iterator>
#include <stdexcept>
#include <vector>

#include "bakewright/profile/fields.hpp"
#include "bakewright/profile/shell_profile.hpp"

using namespace bakewright;

namespace field_tables {
namespace {

using Facts = std::vector<FieldFacts>;

/// Fields that only one of two examples has are listed too.
template <class Record>
Facts of_both(const Record& one, const Record& other) {
    Facts facts = list_fields(one);
    for (FieldFacts& more : list_fields(other))
        if (std::ranges::find(facts, more.path, &FieldFacts::path) == facts.end()) facts.push_back(std::move(more));
    return facts;
}

Facts without(Facts facts, std::string_view prefix) {
    std::erase_if(facts, [&](const FieldFacts& one) { return one.path.starts_with(prefix); });
    return facts;
}

/// Fields below a key alone, without that key.
Facts below(const Facts& facts, std::string_view prefix) {
    Facts found;
    for (FieldFacts one : facts)
        if (one.path.starts_with(prefix)) {
            one.path.erase(0, prefix.size());
            found.push_back(std::move(one));
        }
    return found;
}

/// One row for the four fan modes; headings of sections say nothing that their keys do not.
Facts booth() {
    Facts facts = without(without(without(profile::fields_of(profile::Kind::booth), "learned"), "sources"), "answers");
    for (const std::string_view mode : {"ventilation.purge", "ventilation.bake", "ventilation.cool"})
        facts = without(facts, mode);
    std::erase_if(facts, [](const FieldFacts& one) { return one.field.is_section; });
    for (FieldFacts& one : facts)
        if (one.path.starts_with("ventilation.flash_off")) one.path.replace(12, 9, "MODE");
    return facts;
}

Facts learned_number() {
    bake::LearnedNumber offset;
    offset.kind = bake::LearnedKind::air_offset;
    Facts facts = of_both(bake::LearnedNumber{}, offset);
    for (FieldFacts& one : facts)
        if (one.path == "standard_error") one.field.rule = "for an offset 0 to 50 K";
    return facts;
}

Facts kinetics() {
    cure::Kinetics other;
    other.diffusion = cure::FreeVolumeDiffusion{};
    return of_both(cure::Kinetics{}, other);
}

Facts facts_of(std::string_view name) {
    if (name == "material") return without(profile::fields_of(profile::Kind::material), "sources");
    if (name == "coating")
        return without(without(without(profile::fields_of(profile::Kind::coating), "kinetics"), "sources"), "answers");
    if (name == "kinetics") return kinetics();
    if (name == "booth") return booth();
    if (name == "cycle") return profile::fields_of(profile::Kind::cycle);
    if (name == "zone") return list_fields<bake::Zone>({}, false);
    if (name == "layer") return list_fields<bake::Layer>();
    if (name == "face") return list_fields<bake::Face>();
    if (name == "place") return list_fields<bake::DrawnPlace>();
    if (name == "link") return list_fields<bake::Link>({}, false);
    if (name == "cavity") return list_fields<bake::Cavity>();
    if (name == "item") return below(profile::fields_of(profile::Kind::shell), "item[].");
    if (name == "learned") return learned_number();
    if (name == "learned_from") return below(profile::fields_of(profile::Kind::booth), "learned_from.");
    if (name == "source") return profile::fields_of(profile::Kind::source);
    if (name == "probe") return below(profile::fields_of(profile::Kind::probes), "probe[].");
    throw std::invalid_argument("no table is called " + std::string(name));
}

std::string replaced(std::string text, std::string_view piece, std::string_view by) {
    for (std::size_t at = text.find(piece); at != std::string::npos; at = text.find(piece, at + by.size()))
        text.replace(at, piece.size(), by);
    return text;
}

std::string in_code(std::string_view text) { return "`" + std::string(text) + "`"; }

/// Numbers and units as they are written on a page.
std::string printed(std::string text) {
    return replaced(replaced(replaced(std::move(text), " degC", " °C"), "e+0", "e"), "e-0", "e-");
}

std::string joined(std::string text, std::string_view more, std::string_view with) {
    if (!text.empty() && !more.empty()) text += with;
    return text + std::string(more);
}

std::string what_of(const FieldFacts& facts) {
    std::string words;
    if (facts.kind == FieldFacts::Kind::word)
        for (const std::string_view word : facts.words) words = joined(words, in_code("\"" + std::string(word) + "\""), ", ");
    std::string text = joined(words, facts.field.what, ": ");
    return facts.kind == FieldFacts::Kind::spread ? text + "; one, or `{ low, value, high }`" : text;
}

std::string allowed_of(const FieldFacts& facts) {
    std::string range = accepted_text(facts.field.range, facts.field.unit);
    if (range == "any finite number") range.clear();
    return joined(printed(range), facts.field.rule, ", ");
}

std::string default_of(const FieldFacts& facts) {
    using Kind = FieldFacts::Kind;
    if (facts.field.need == Need::required) return {};
    std::string text = printed(facts.missing);
    const bool is_word = facts.kind == Kind::word || facts.kind == Kind::flag;
    if (is_word && facts.field.otherwise.empty() && !text.empty()) text = in_code(text);
    const bool is_number = facts.kind == Kind::number || facts.kind == Kind::spread || facts.kind == Kind::numbers;
    if (is_number && text.empty()) text = "none";
    return joined(text, facts.field.source, "; ");
}

std::string needed_of(const FieldFacts& facts) {
    if (!facts.field.needed.empty()) return std::string(facts.field.needed);
    return facts.field.need == Need::required ? "yes" : "no";
}

std::string table(std::string_view name) {
    std::string text = "| key | what it is | allowed | needed | default and its source |\n|---|---|---|---|---|\n";
    for (const FieldFacts& facts : facts_of(name)) {
        text += "| " + in_code(facts.path);
        for (const std::string& cell : {what_of(facts), allowed_of(facts), needed_of(facts), default_of(facts)})
            text += cell.empty() ? " |" : " | " + cell;
        text += " |\n";
    }
    return text;
}

}  // namespace

std::string with_tables(std::string_view page) {
    constexpr std::string_view kBegin = "<!-- fields: ", kBeginEnd = " -->\n", kEnd = "<!-- end of fields -->";
    std::string text;
    for (std::size_t at = page.find(kBegin); at != std::string_view::npos; at = page.find(kBegin)) {
        const std::size_t name = at + kBegin.size();
        const std::size_t first = page.find(kBeginEnd, name);
        const std::size_t end = page.find(kEnd, name);
        if (first == std::string_view::npos || end == std::string_view::npos || end < first)
            throw std::invalid_argument("a table of fields has no end");
        text += page.substr(0, first + kBeginEnd.size());
        text += table(page.substr(name, first - name));
        page.remove_prefix(end);
    }
    return text + std::string(page);
}

}  // namespace field_tables
