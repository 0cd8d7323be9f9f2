// SPDX-License-Identifier: Apache-2.0
#include "bakewright/cure/coating.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "bakewright/base/fields.hpp"
#include "bakewright/base/format.hpp"

namespace bakewright::cure {
namespace {

/// Outside these a number is a slip of unit or key, not a data sheet. Common practice, no source.
constexpr Range kTemperature{0.0, 400.0};
constexpr Range kTime{0.0, 60.0};
constexpr Range kTimeAboveZero{0.0, 60.0, true};

std::string shown(double temperature_k) { return format_temperature(temperature_k, Units{}); }
std::string minutes(double time_s) { return format_minutes(time_s); }

std::string row_key(std::size_t index, const char* field) { return fmt::format("schedule[{}].{}", index, field); }

void check_row(FieldCheck& problems, const ScheduleRow& row, std::size_t index) {
    if (row.maximum_s && *row.maximum_s <= row.minimum_s)
        problems.add(row_key(index, "maximum"), fmt::format("is {}, accepted is more than the row's minimum of {}",
                                                            minutes(*row.maximum_s), minutes(row.minimum_s)));
}

void check_order(FieldCheck& problems, const ScheduleRow& before, const ScheduleRow& row, std::size_t index) {
    if (!(row.temperature_k > before.temperature_k)) {
        problems.add(row_key(index, "temperature"),
                     fmt::format("is {} after a row at {}, accepted are rows of rising temperature", shown(row.temperature_k),
                                 shown(before.temperature_k)));
        return;  // what follows would compare the wrong rows
    }
    if (!(row.minimum_s < before.minimum_s))
        problems.add(
            row_key(index, "minimum"),
            fmt::format("is {} at {}, but {} at {}: rows contradict each other where a hotter one needs as long or longer",
                        minutes(row.minimum_s), shown(row.temperature_k), minutes(before.minimum_s),
                        shown(before.temperature_k)));
}

/// The maximum times of those rows that have one must fall as well.
void check_maximum_order(FieldCheck& problems, const std::vector<ScheduleRow>& schedule) {
    const ScheduleRow* before = nullptr;
    for (std::size_t i = 0; i < schedule.size(); ++i) {
        if (!schedule[i].maximum_s) continue;
        if (before != nullptr && schedule[i].temperature_k > before->temperature_k &&
            !(*schedule[i].maximum_s < *before->maximum_s))
            problems.add(
                row_key(i, "maximum"),
                fmt::format("is {} at {}, but {} at {}: rows contradict each other where a hotter one allows as long or longer",
                            minutes(*schedule[i].maximum_s), shown(schedule[i].temperature_k), minutes(*before->maximum_s),
                            shown(before->temperature_k)));
        before = &schedule[i];
    }
}

void check_schedule(FieldCheck& problems, const std::vector<ScheduleRow>& schedule) {
    if (schedule.empty()) problems.add("schedule", "has no row, accepted is one row or more of temperature and minimum time");
    for (std::size_t i = 0; i < schedule.size(); ++i) {
        check_row(problems, schedule[i], i);
        if (i > 0) check_order(problems, schedule[i - 1], schedule[i], i);
    }
    check_maximum_order(problems, schedule);
}

void check_floor(FieldCheck& problems, const Coating& coating) {
    if (coating.schedule.empty() || coating.floor_k <= coating.schedule.back().temperature_k) return;
    const double hottest_k = coating.schedule.back().temperature_k;
    if (hottest_k < kCelsiusZeroK) return;  // a row that is wrong itself, or could not be read, bounds nothing
    problems.add(
        "floor",
        fmt::format("is {}, above every row of the schedule: nothing could cure; accepted is up to {}", shown(coating.floor_k),
                    shown(hottest_k)),
        OutOfRange{.value = coating.floor_k, .most = hottest_k, .why = "above every row of the schedule: nothing could cure"});
}

void check_absolute_maximum(FieldCheck& problems, const Coating& coating) {
    if (!coating.absolute_maximum_k) return;
    for (const ScheduleRow& row : coating.schedule) {
        if (row.temperature_k <= *coating.absolute_maximum_k) continue;
        const double hottest_k = coating.schedule.back().temperature_k;
        problems.add("absolute_maximum",
                     fmt::format("is {}, under a row of the schedule; accepted is {} or more", shown(*coating.absolute_maximum_k),
                                 shown(hottest_k)),
                     OutOfRange{.value = *coating.absolute_maximum_k, .least = hottest_k, .why = "under a row of the schedule"});
        return;
    }
}

void check_flash_off(FieldCheck& problems, const Coating& coating) {
    if (!coating.flash_off_maximum_s) return;
    const double least_s = coating.flash_off_minimum_s.value_or(0.0);
    if (*coating.flash_off_maximum_s < least_s)
        problems.add("flash_off_maximum", fmt::format("is {}, accepted is the minimum of {} or more",
                                                      minutes(*coating.flash_off_maximum_s), minutes(least_s)));
}

/// The maker's word is worth no more than the record of who gave it.
void check_below_the_sheet(FieldCheck& problems, const Coating& coating) {
    constexpr const char* kKey = "cured_below_the_sheet_from";
    if (!coating.cured_below_the_sheet_from_k || coating.schedule.empty()) return;
    const double from_k = *coating.cured_below_the_sheet_from_k;
    const double coolest_row_k = coating.schedule.front().temperature_k;
    if (!(from_k >= coating.floor_k && from_k < coolest_row_k))
        problems.add(kKey, fmt::format("is {}, accepted is at or above the floor of {} and below the coolest row at {}",
                                       shown(from_k), shown(coating.floor_k), shown(coolest_row_k)));
    if (!coating.sources.contains(kKey))
        problems.add(
            kKey, fmt::format("has no source, accepted is an entry {} in [sources]: who of the maker said so, and when", kKey));
}

void check_recoat(FieldCheck& problems, const Coating& coating) {
    if (!coating.recoat_maximum_s) return;
    const double least_s = coating.recoat_minimum_s.value_or(0.0);
    if (*coating.recoat_maximum_s < least_s)
        problems.add("recoat_maximum", fmt::format("is {}, accepted is the minimum of {} or more",
                                                   minutes(*coating.recoat_maximum_s), minutes(least_s)));
}

void check_film_build(FieldCheck& problems, const Coating& coating) {
    if (!coating.film_build_maximum_m || !coating.film_build_minimum_m) return;
    if (*coating.film_build_maximum_m < *coating.film_build_minimum_m)
        problems.add("film_build_maximum",
                     fmt::format("is {}, accepted is the minimum of {} or more", unit::um.text(*coating.film_build_maximum_m),
                                 unit::um.text(*coating.film_build_minimum_m)));
}

void visit_schedule_and_bounds(Coating& coating, Fields& see) {
    see({.key = "basis", .need = Need::required, .what = "whose temperature the sheet means"}, coating.basis);
    see.list({.key = "schedule",
              .need = Need::required,
              .what = "rows of the sheet, coolest first",
              .rule = "at least one; a hotter row needs less time",
              .rows_compare = true},
             coating.schedule);
    see({.key = "floor",
         .unit = unit::deg_c,
         .range = kTemperature,
         .what = "temperature under which nothing counts",
         .rule = "not above every row",
         .source = "common practice",
         .note = "below 45 degC nothing counts towards cure (common practice)"},
        coating.floor_k);
    see({.key = "absolute_maximum",
         .unit = unit::deg_c,
         .range = kTemperature,
         .what = "part temperature never to be passed: the sheet's, or the maker's word with its source",
         .rule = "not under a row",
         .otherwise = "none: more than 10 K above the hottest row is CHECK, more than 20 K is refused",
         .source = "common practice",
         .note = "none is printed: more than 10 K over the hottest row is CHECK, more than 20 K refused "
                 "(common practice); with the maker's word write it here with its source"},
        coating.absolute_maximum_k);
    see({.key = "cured_below_the_sheet_from",
         .unit = unit::deg_c,
         .what = "the maker's word that time below the coolest row cures: from this part temperature on equivalent time counts",
         .rule = "`floor` or more, under the coolest row; has a source",
         .otherwise = "none: chemistry below the sheet makes CHECK at most"},
        coating.cured_below_the_sheet_from_k);
    see({.key = "beyond_last_row",
         .what = "what time hotter than the last row is worth towards cure; it is always told",
         .source = "the sheet's fastest row and no faster"},
        coating.beyond_last_row);
}

void visit_times(Coating& coating, Fields& see) {
    see({.key = "flash_off_minimum",
         .unit = unit::d,
         .range = kTime,
         .what = "time to wait before heat",
         .otherwise = "not known: plans take 15 min (common practice), ask, and are not GOOD until it is answered",
         .note = "none is printed: plans take 15 min (common practice) and are CHECK; ask the maker"},
        coating.flash_off_minimum_s);
    see({.key = "flash_off_maximum",
         .unit = unit::d,
         .range = kTimeAboveZero,
         .what = "time after which the skin closes",
         .rule = "not below the minimum"},
        coating.flash_off_maximum_s);
    see({.key = "largest_heating_rate",
         .unit = unit::k_per_min,
         .range = {0.0, 60.0, true},
         .what = "heating rate of the coated face until the solvent has left"},
        coating.largest_heating_rate_k_per_s);
    see({.key = "recoat_minimum", .unit = unit::d, .range = kTime, .what = "time after which the next coat may go on"},
        coating.recoat_minimum_s);
    see({.key = "recoat_maximum",
         .unit = unit::d,
         .range = kTimeAboveZero,
         .what = "time until when it may without sanding",
         .rule = "not below the minimum"},
        coating.recoat_maximum_s);
    constexpr std::string_view kNotKnown = "not known: \"see the sheet\"; never told from cure alone";
    see({.key = "sandable_after",
         .unit = unit::d,
         .range = kTime,
         .what = "the sheet's time from the end of a bake that cured it, the part cooled, until the film may be sanded",
         .otherwise = kNotKnown},
        coating.sandable_after_s);
    see({.key = "tape_free_after",
         .unit = unit::d,
         .range = kTime,
         .what = "likewise, until it may be taped",
         .otherwise = kNotKnown},
        coating.tape_free_after_s);
    see({.key = "polish_after",
         .unit = unit::d,
         .range = kTime,
         .what = "likewise, until it may be cut and polished",
         .otherwise = kNotKnown},
        coating.polish_after_s);
}

void visit_film_build(Coating& coating, Fields& see) {
    constexpr Range kFilmBuild{1.0, 5000.0};
    see({.key = "film_build_minimum",
         .unit = unit::um,
         .range = kFilmBuild,
         .what = "the sheet's least dry film of one coat, for what is measured on the part",
         .otherwise = "not known"},
        coating.film_build_minimum_m);
    see({.key = "film_build_maximum",
         .unit = unit::um,
         .range = kFilmBuild,
         .what = "the sheet's greatest",
         .rule = "not below the minimum",
         .otherwise = "not known"},
        coating.film_build_maximum_m);
}

}  // namespace

void visit_fields(ScheduleRow& row, Fields& see) {
    see({.key = "temperature",
         .unit = unit::deg_c,
         .range = kTemperature,
         .need = Need::required,
         .what = "temperature",
         .rule = "above the row before"},
        row.temperature_k);
    see({.key = "minimum",
         .unit = unit::d,
         .range = kTimeAboveZero,
         .need = Need::required,
         .what = "time",
         .rule = "below the row before"},
        row.minimum_s);
    see({.key = "maximum", .unit = unit::d, .range = kTimeAboveZero, .what = "time", .rule = "over `minimum`"}, row.maximum_s);
}

void visit_fields(Coating& coating, Fields& see) {
    visit_schedule_and_bounds(coating, see);
    visit_times(coating, see);
    visit_film_build(coating, see);
    see.spread({.key = "activation_energy",
                .unit = unit::kj_per_mol,
                .range = {kLeastEnergyKjPerMol, kMostEnergyKjPerMol},
                .what = "activation energy",
                .otherwise = "fitted from two rows, else 55 (30 to 75) kJ/mol",
                .source = "spread of published isocyanate and epoxy cures"},
               coating.activation_energy);
    see.table({.key = "kinetics", .what = "a rate law of cure, below"}, coating.kinetics);
    see.sources(coating.sources);
    see.texts({.key = "answers", .what = "what was asked and answered, where questions made the profile"}, coating.answers);
}

void visit_fields(ExposureLimit& limit, Fields& see) {
    // An item limit below room temperature is passed before the heat is on.
    see({.key = "temperature", .unit = unit::deg_c, .range = {25.0, 400.0}, .need = Need::required, .what = "temperature"},
        limit.temperature_k);
    const Field allowed{
        .key = "allowed", .unit = unit::d, .range = kTime, .need = Need::required, .what = "time at or above it, or `\"never\"`"};
    bool is_never = false;
    if (!see.instead(allowed, "never", is_never)) see(allowed, limit.allowed_s);
    see({.key = "scope", .what = "`\"bake\"`: in one bake; `\"lifetime\"`: added up over all bakes"}, limit.scope);
    bool warns = limit.kind == LimitKind::warn;
    see.mark({.key = "warn", .what = "`true`: passing it is told and changes no word", .rule = "one row at least is none"},
             warns);
    if (warns) limit.kind = LimitKind::warn;
}

void visit_fields(HeatSensitiveItem& item, Fields& see) {
    see.list({.key = "limits", .need = Need::required, .what = "how hot it may get, rows", .rule = "at least one"}, item.limits);
    see.sources(item.sources);
}

std::vector<Problem> problems_in(const Coating& coating) {
    FieldCheck problems;
    problems.check(coating);
    check_schedule(problems, coating.schedule);
    check_floor(problems, coating);
    check_absolute_maximum(problems, coating);
    check_below_the_sheet(problems, coating);
    check_flash_off(problems, coating);
    check_recoat(problems, coating);
    check_film_build(problems, coating);
    if (coating.kinetics) check_kinetics(problems, *coating.kinetics);
    return problems.take();
}

std::vector<Problem> problems_in(const HeatSensitiveItem& item, const std::string& key_prefix) {
    FieldCheck problems(key_prefix);
    problems.check(item);
    const bool says_it_is_unknown = !item.no_limit_known_of.empty();
    const auto warns = [](const ExposureLimit& limit) { return limit.kind == LimitKind::warn; };
    if (item.limits.empty() && !says_it_is_unknown)
        problems.add("limits", "has no row, accepted is one row or more of temperature and allowed time");
    else if (std::ranges::all_of(item.limits, warns) && !says_it_is_unknown)
        problems.add("limits", "has warnings alone, accepted is one row or more without warn: what must not be passed");
    return problems.take();
}

}  // namespace bakewright::cure
