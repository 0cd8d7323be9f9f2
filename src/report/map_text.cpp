// SPDX-License-Identifier: Apache-2.0
#include "bakewright/report/map_text.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "bakewright/cure/reason.hpp"
#include "bakewright/report/answers.hpp"
#include "bakewright/report/csv.hpp"
#include "bakewright/report/plain_text.hpp"
#include "bakewright/report/tables.hpp"
#include "bakewright/report/text.hpp"
#include "json_records.hpp"

namespace bakewright::report {

namespace {

constexpr double kJoulePerKwh = 3.6e6;

std::string margin_text(double margin_k, const Units& units) {
    return margin_k >= plan::kWidestMarginK ? "no limit" : format_temperature_difference(margin_k, units);
}

/// What a cycle with the smallest margin would be short of, were it used up.
const char* side_of(const plan::Margins& margins, const std::string& subject) {
    const double least_k = margins.smallest_k();
    const auto zone = std::find_if(margins.zones.begin(), margins.zones.end(),
                                   [&](const plan::ZoneMargin& one) { return one.zone == subject && one.cure_k == least_k; });
    return zone == margins.zones.end() ? "hotter" : "colder";
}

}  // namespace

std::string_view objective_name(plan::Objective objective) noexcept {
    switch (objective) {
        case plan::Objective::time:
            return "time";
        case plan::Objective::energy:
            return "energy";
        case plan::Objective::margin:
            return "margin";
        case plan::Objective::least_use:
            return "least_use";
    }
    return "time";
}

Table tradeoff_table(const plan::Plan& plan, const Units& units) {
    Table table({{"goal"},
                 {fmt::format("set point\n{}", temperature_symbol(units)), Align::right},
                 {"hold", Align::right},
                 {"whole\ncycle", Align::right},
                 {"energy\nkWh", Align::right},
                 {"margin", Align::right},
                 {""}});
    for (const plan::Choice& choice : plan.choices) {
        const plan::Candidate& at = choice.candidate;
        table.add({std::string(objective_name(choice.objective)), fmt::format("{:.0f}", temperature_in(at.setpoint_k, units)),
                   format_duration(*at.hold_s), format_duration(at.booth_time_s),
                   fmt::format("{:.0f}", at.energy.total_j / kJoulePerKwh), margin_text(at.margin_k, units),
                   choice.objective == plan.objective ? Cell("chosen", Mark::strong) : Cell("")});
    }
    return table;
}

std::string difference_text(const plan::LargestDifference& difference, const Units& units) {
    return fmt::format("{} is {} {} than {} at {}", one_line(difference.pair.laminate),
                       format_temperature_difference(difference.size_k(), units),
                       difference.metal_less_laminate_k >= 0.0 ? "colder" : "hotter", one_line(difference.pair.metal),
                       elapsed_text(difference.at_s));
}

std::string energy_sentence(const plan::Energy& energy) {
    switch (energy.counts) {
        case plan::Energy::Counts::burner:
            return "Energy: heat from the burner until it goes off for the cool-down.";
        case plan::Energy::Counts::shell_walls_and_air:
            return "Energy: heat into the shell, through and into the booth's walls, and into fresh air until the cool-down; "
                   "walls "
                   "and air by the booth's own numbers, since its air is given and no burner is solved for.";
        case plan::Energy::Counts::shell:
            return "Energy: heat into the shell alone until the cool-down; the booth's profile does not tell how much fresh air "
                   "it "
                   "bakes with.";
    }
    return {};
}

std::string margin_sentence(const plan::Plan& plan, const Units& units) {
    if (!plan.feasible) return {};
    const std::string subject = plan.margins.smallest_of();
    if (subject.empty()) return {};
    const char* side = side_of(plan.margins, subject);
    return fmt::format("Smallest margin: {} still {} if it runs up to {} {}.", one_line(subject),
                       std::string_view(side) == "colder" ? "cures" : "stays under its limit",
                       format_temperature_difference(plan.margins.smallest_k(), units), side);
}

namespace {

using MapCell = plan::MapRow::Cell;

constexpr char letter_of(MapCell cell) noexcept {
    switch (cell) {
        case MapCell::feasible:
            return '+';
        case MapCell::under:
            return 'u';
        case MapCell::hot:
            return 'h';
        case MapCell::both:
            return 'x';
        case MapCell::warned:
            return 'w';
        case MapCell::unsure:
            return '~';
    }
    return '?';
}

std::string holds_of(const plan::MapRow& row) {
    if (!row.shortest_hold_s) return "none cures";
    if (!row.longest_hold_s) return "all too hot";
    if (*row.longest_hold_s < *row.shortest_hold_s) return "none";
    // Inward to whole minutes, so that what is printed holds.
    const double from_s = std::ceil(*row.shortest_hold_s / kSecondPerMinute) * kSecondPerMinute;
    const double to_s = std::floor(*row.longest_hold_s / kSecondPerMinute) * kSecondPerMinute;
    if (row.confidence > 0.0) {
        if (!row.shortest_sure_s) return "none sure enough";
        if (!row.first_too_hot) return format_duration(*row.shortest_sure_s) + " and longer";
        return format_duration(*row.shortest_sure_s) + " to " + format_duration(*row.longest_sure_s);
    }
    if (!row.first_too_hot) return format_duration(from_s) + " and longer";
    return from_s <= to_s ? format_duration(from_s) + " to " + format_duration(to_s) : "none in whole minutes";
}

/// What a longer hold runs into; or what is wrong at any hold.
std::string in_the_way(const plan::MapRow& row) {
    if (!row.warnings.empty())
        return fmt::format("{}: {}", cure::heat_warning_text(row.warnings.front().kind), one_line(row.warnings.front().where));
    return row.first_too_hot ? one_line(row.first_too_hot->subject) : "nothing";
}

/// Every so many cells make the strip fit.
std::size_t stride_of(std::size_t cells, std::size_t width) {
    const std::size_t room = std::max<std::size_t>(width / 6, 12);
    return (cells + room - 1) / room;
}

std::string subject_of(const plan::MapRow& row, MapCell cell, std::size_t index) {
    if (cell == MapCell::under || cell == MapCell::both) return row.last_to_cure.subject;
    if (cell == MapCell::hot) return row.first_too_hot ? row.first_too_hot->subject : "";
    if (cell == MapCell::unsure) return row.obstacles[index].text();
    return cell == MapCell::warned ? row.warnings.front().where : "";
}

}  // namespace

Json json_of(const std::optional<plan::Obstacle>& obstacle) {
    if (!obstacle) return nullptr;
    return {{"subject", obstacle->subject}, {"word", std::string(cure::word_text(obstacle->word))}};
}

std::string_view map_cell_name(MapCell cell) noexcept {
    switch (cell) {
        case MapCell::feasible:
            return "feasible";
        case MapCell::under:
            return "under";
        case MapCell::hot:
            return "hot";
        case MapCell::both:
            return "both";
        case MapCell::warned:
            return "warned";
        case MapCell::unsure:
            return "unsure";
    }
    return "under";
}

namespace {

/// What comes before the ramp of every cycle of the map.
std::string before_heat(const plan::FeasibleMap& map) {
    const std::string purge = map.purge_s > 0.0 ? "a purge of " + format_duration(map.purge_s) : "the booth's own purge";
    return fmt::format("Before the heat: a flash-off of {}, then {}. ", format_duration(map.flash_off_s), purge);
}

}  // namespace

namespace {

Table map_table(const plan::FeasibleMap& map, const TextOptions& options, bool near_only) {
    const std::size_t stride = stride_of(map.hold_s.size(), options.style.width);
    const double first_s = map.hold_s.empty() ? 0.0 : map.hold_s[stride - 1];
    Table table({{fmt::format("set point\n{}", temperature_symbol(options.units)), Align::right},
                 {"holds that work"},
                 {fmt::format("hold, every\n{}", format_duration(first_s))},
                 {"cured last", Align::left, true},
                 {"too hot first", Align::left, true}});
    for (auto row = map.rows.rbegin(); row != map.rows.rend(); ++row) {
        bool is_near = false;
        for (std::size_t i = 0; i < map.hold_s.size(); ++i) {
            const MapCell cell = row->at(i, map.hold_s[i]);
            is_near = is_near || cell == MapCell::feasible || cell == MapCell::unsure;
        }
        if (near_only && !is_near) continue;
        std::string strip;
        for (std::size_t i = stride - 1; i < map.hold_s.size(); i += stride) strip += letter_of(row->at(i, map.hold_s[i]));
        table.add({fmt::format("{:.0f}", temperature_in(row->setpoint_k, options.units)), holds_of(*row), strip,
                   one_line(row->last_to_cure.subject), in_the_way(*row)});
    }
    return table;
}

std::string legend_of(const plan::FeasibleMap& map) {
    const auto asked =
        std::find_if(map.rows.begin(), map.rows.end(), [](const plan::MapRow& row) { return row.confidence > 0.0; });
    const std::string sure =
        asked == map.rows.end()
            ? std::string()
            : fmt::format("~ works on best-guess values, but is less than {:.3g} % sure; ", 100.0 * asked->confidence);
    return before_heat(map) + sure +
           "+ cured and nothing too hot; u under-cured; h something too hot or over-baked; x both; w cured, but heated too soon "
           "or too fast. Holds count from the end of the ramp.";
}

std::vector<std::string> check_sentences(const plan::FeasibleMap& map) {
    std::vector<std::string> sentences;
    for (const std::string& check : map.checks) sentences.push_back("CHECK: " + as_sentence(check));
    return sentences;
}

}  // namespace

std::string map_text(const plan::FeasibleMap& map, const TextOptions& options) {
    std::string text;
    for (const std::string& check : check_sentences(map)) text += paragraph_text(check, options);
    return text + "Set point and hold\n\n" + map_table(map, options, false).text(options.style) + "\n" +
           paragraph_text(legend_of(map), options);
}

Answer map_answer(const plan::FeasibleMap& map, const Checklist& list, const TextOptions& options) {
    Answer answer(options);
    answer.say(not_checked_sentence(list)).say_all(check_sentences(map));
    const plan::MapRow* best = nullptr;  // the set point that works with the shortest hold
    const auto hold_of = [](const plan::MapRow& row) { return row.confidence > 0.0 ? row.shortest_sure_s : row.shortest_hold_s; };
    for (const plan::MapRow& row : map.rows)
        if (row.any_does() && hold_of(row) && (best == nullptr || *hold_of(row) < *hold_of(*best))) best = &row;
    answer.say(best != nullptr ? fmt::format("Shortest hold that works: {} at {}.", format_duration(*hold_of(*best)),
                                             format_temperature(best->setpoint_k, options.units, 0))
                               : "No set point and hold works; `bakewright plan` without --map says what would fix it.");
    const Table near = map_table(map, options, true);
    answer.brief(near.empty() ? std::string() : "Set points that work, or nearly\n\n" + brief_table(near, options, 20, "map"));
    answer.brief(paragraph_text(legend_of(map), options));
    return answer.part("map", map_text(map, options)).cautions(&list);
}

std::string map_csv(const plan::FeasibleMap& map, const Units& units) {
    std::string text = fmt::format("set point [{}],hold [min],answer,what is in the way,chance [%]\n", temperature_symbol(units));
    for (const plan::MapRow& row : map.rows)
        for (std::size_t i = 0; i < map.hold_s.size(); ++i) {
            const MapCell cell = row.at(i, map.hold_s[i]);
            const bool has_chance = i < row.chances.size() && row.chances[i];
            const std::string chance = has_chance ? fmt::format("{:.1f}", 100.0 * *row.chances[i]) : std::string();
            text +=
                fmt::format("{:.1f},{:.1f},{},{},{}\n", temperature_in(row.setpoint_k, units), map.hold_s[i] / kSecondPerMinute,
                            map_cell_name(cell), csv_field(subject_of(row, cell, i)), chance);
        }
    return text;
}

Json document_of(const plan::FeasibleMap& map) {
    Json rows = Json::array();
    for (const plan::MapRow& row : map.rows) {
        Json answers = Json::array();
        Json chances = Json::array();
        for (std::size_t i = 0; i < map.hold_s.size(); ++i)
            answers.push_back(std::string(map_cell_name(row.at(i, map.hold_s[i]))));
        for (const std::optional<double>& chance : row.chances) chances.push_back(number_or_null(chance));
        rows.push_back({{"setpoint_k", row.setpoint_k},
                        {"shortest_hold_s", number_or_null(row.shortest_hold_s)},
                        {"longest_hold_s", number_or_null(row.longest_hold_s)},
                        {"last_to_cure", json_of(std::optional(row.last_to_cure))},
                        {"first_too_hot", json_of(row.first_too_hot)},
                        {"warned", !row.warnings.empty()},
                        {"shortest_sure_hold_s", number_or_null(row.shortest_sure_s)},
                        {"longest_sure_hold_s", number_or_null(row.longest_sure_s)},
                        {"answers", std::move(answers)},
                        {"chances", row.confidence > 0.0 ? std::move(chances) : Json(nullptr)}});
    }
    return document("bakewright.map", {{"checks", map.checks},
                                       {"flash_off_s", map.flash_off_s},
                                       {"purge_s", map.purge_s},
                                       {"hold_s", map.hold_s},
                                       {"rows", std::move(rows)}});
}

}  // namespace bakewright::report
