#include "bakewright/report/verdict_pair_text.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "bakewright/report/plain_text.hpp"
#include "numbers.hpp"

namespace bakewright::report {
namespace {

/// What one side says of a zone or an item.
struct Side {
    cure::Word word = cure::Word::not_judged;
    std::string words = "n/a";
    std::string dose = "n/a";
    std::string peak = "n/a";
};

/// Never "100 %": nothing is that sure.
int percent_of(double probability) { return std::min(99, static_cast<int>(std::floor(100.0 * probability))); }

std::string words_of(cure::Word word, const std::optional<cure::Certainty>& certainty) {
    if (!certainty) return std::string(cure::word_text(word));
    const std::string best(cure::word_text(certainty->best));
    if (certainty->too_close) return fmt::format("too close to call ({} {} %)", best, percent_of(certainty->probability));
    return fmt::format("{} {} %", best, percent_of(certainty->probability));
}

Side side_of(const cure::ZoneVerdict& zone, const Units& units) {
    if (zone.word == cure::Word::not_judged) return {zone.word, words_of(zone.word, {})};
    return {zone.word, words_of(zone.word, zone.certainty), fixed(zone.dose.at_value, 2),
            temperature_number(zone.peak_temperature_k, units)};
}

Side side_of(const cure::ItemVerdict& item, const Units& units) {
    if (item.word == cure::Word::not_judged) return {item.word, words_of(item.word, {})};
    return {item.word, words_of(item.word, item.certainty), "n/a", temperature_number(item.peak_temperature_k, units)};
}

/// Adds what is in either list, in the order of the first, then what the second has alone.
template <typename Verdict>
void add_rows(Table& table, const std::vector<Verdict>& predicted, const std::vector<Verdict>& logged, std::string Verdict::*name,
              const Units& units) {
    const auto find = [&](const std::vector<Verdict>& all, const std::string& wanted) {
        const auto at = std::find_if(all.begin(), all.end(), [&](const Verdict& one) { return one.*name == wanted; });
        return at == all.end() ? Side{} : side_of(*at, units);
    };
    std::vector<std::string> names;
    for (const auto* side : {&logged, &predicted})
        for (const Verdict& one : *side)
            if (std::find(names.begin(), names.end(), one.*name) == names.end()) names.push_back(one.*name);
    for (const std::string& one : names) {
        const Side first = find(predicted, one), second = find(logged, one);
        const Mark mark = first.word == second.word ? Mark::none : Mark::strong;
        table.add(
            {one_line(one), Cell(first.words, mark), Cell(second.words, mark), first.dose, second.dose, first.peak, second.peak});
    }
}

}  // namespace

Table verdict_pair_table(const cure::BakeVerdict& predicted, const cure::BakeVerdict& logged, const Units& units) {
    const std::string degree(temperature_symbol(units));
    Table table({{.head = "Zone or item", .may_wrap = true},
                 {.head = "Predicted", .may_wrap = true},
                 {.head = "Logged", .may_wrap = true},
                 {.head = "Dose\npredicted", .align = Align::right},
                 {.head = "Dose\nlogged", .align = Align::right},
                 {.head = "Peak\npredicted\n" + degree, .align = Align::right},
                 {.head = "Peak\nlogged\n" + degree, .align = Align::right}});
    add_rows(table, predicted.zones, logged.zones, &cure::ZoneVerdict::zone, units);
    add_rows(table, predicted.items, logged.items, &cure::ItemVerdict::item, units);
    return table;
}

std::string verdict_pair_text(const cure::BakeVerdict& predicted, const cure::BakeVerdict& logged, const TextOptions& options) {
    return table_block("Verdicts side by side, with how sure they are", verdict_pair_table(predicted, logged, options.units),
                       options);
}

}  // namespace bakewright::report
