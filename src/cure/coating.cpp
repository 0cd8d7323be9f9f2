#include "bakewright/cure/coating.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <utility>

#include "bakewright/base/format.hpp"

namespace bakewright::cure {
namespace {

/// Outside these a number is a slip of unit or key, not a data sheet. Common practice, no source.
constexpr double kColdestRowK = celsius_to_kelvin(0.0);
constexpr double kHottestK = celsius_to_kelvin(400.0);
constexpr double kLongestS = 60.0 * 24.0 * kSecondPerHour;
/// An item limit below room temperature is passed before the heat is on.
constexpr double kColdestLimitK = celsius_to_kelvin(25.0);
constexpr double kLargestRateKPerS = 1.0;
constexpr double kLeastEnergyJPerMol = 1e3;
constexpr double kMostEnergyJPerMol = 300e3;

std::string shown(double temperature_k) { return format_temperature(temperature_k, Units{}); }
std::string minutes(double time_s) { return format_minutes(time_s); }

class ProblemList {
public:
    void add(std::string key, std::string message, std::optional<OutOfRange> range = std::nullopt) {
        problems_.push_back({{}, 0, std::move(key), std::move(message), std::move(range)});
    }

    void temperature(std::string key, double temperature_k, double coldest_k) {
        if (temperature_k >= coldest_k && temperature_k <= kHottestK) return;
        add(std::move(key), fmt::format("is {}, accepted is {} to {}", shown(temperature_k), shown(coldest_k), shown(kHottestK)),
            OutOfRange{.value = temperature_k, .least = coldest_k, .most = kHottestK});
    }
    void time_above_zero(std::string key, double time_s) {
        if (time_s > 0.0 && time_s <= kLongestS) return;
        add(std::move(key), fmt::format("is {}, accepted is more than 0 min, up to 60 days", minutes(time_s)),
            OutOfRange{.value = time_s, .least = 0.0, .most = kLongestS, .above_least = true});
    }
    void time_from_zero(std::string key, double time_s) {
        if (time_s >= 0.0 && time_s <= kLongestS) return;
        add(std::move(key), fmt::format("is {}, accepted is 0 min up to 60 days", minutes(time_s)),
            OutOfRange{.value = time_s, .least = 0.0, .most = kLongestS});
    }
    [[nodiscard]] std::vector<Problem> take() { return std::move(problems_); }

private:
    std::vector<Problem> problems_;
};

std::string row_key(std::size_t index, const char* field) { return fmt::format("schedule[{}].{}", index, field); }

void check_row(ProblemList& problems, const ScheduleRow& row, std::size_t index) {
    problems.temperature(row_key(index, "temperature"), row.temperature_k, kColdestRowK);
    problems.time_above_zero(row_key(index, "minimum"), row.minimum_s);
    if (!row.maximum_s) return;
    problems.time_above_zero(row_key(index, "maximum"), *row.maximum_s);
    if (*row.maximum_s <= row.minimum_s)
        problems.add(row_key(index, "maximum"), fmt::format("is {}, accepted is more than the row's minimum of {}",
                                                            minutes(*row.maximum_s), minutes(row.minimum_s)));
}

void check_order(ProblemList& problems, const ScheduleRow& before, const ScheduleRow& row, std::size_t index) {
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
void check_maximum_order(ProblemList& problems, const std::vector<ScheduleRow>& schedule) {
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

void check_schedule(ProblemList& problems, const std::vector<ScheduleRow>& schedule) {
    if (schedule.empty()) problems.add("schedule", "has no row, accepted is one row or more of temperature and minimum time");
    for (std::size_t i = 0; i < schedule.size(); ++i) {
        check_row(problems, schedule[i], i);
        if (i > 0) check_order(problems, schedule[i - 1], schedule[i], i);
    }
    check_maximum_order(problems, schedule);
}

void check_floor(ProblemList& problems, const Coating& coating) {
    problems.temperature("floor", coating.floor_k, kColdestRowK);
    if (coating.schedule.empty() || coating.floor_k <= coating.schedule.back().temperature_k) return;
    const double hottest_k = coating.schedule.back().temperature_k;
    if (hottest_k < kColdestRowK) return;  // a row that is wrong itself, or could not be read, bounds nothing
    problems.add(
        "floor",
        fmt::format("is {}, above every row of the schedule: nothing could cure; accepted is up to {}", shown(coating.floor_k),
                    shown(hottest_k)),
        OutOfRange{.value = coating.floor_k, .most = hottest_k, .why = "above every row of the schedule: nothing could cure"});
}

void check_absolute_maximum(ProblemList& problems, const Coating& coating) {
    if (!coating.absolute_maximum_k) return;
    problems.temperature("absolute_maximum", *coating.absolute_maximum_k, kColdestRowK);
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

void check_flash_off(ProblemList& problems, const Coating& coating) {
    if (coating.flash_off_minimum_s) problems.time_from_zero("flash_off_minimum", *coating.flash_off_minimum_s);
    if (!coating.flash_off_maximum_s) return;
    problems.time_above_zero("flash_off_maximum", *coating.flash_off_maximum_s);
    const double least_s = coating.flash_off_minimum_s.value_or(0.0);
    if (*coating.flash_off_maximum_s < least_s)
        problems.add("flash_off_maximum", fmt::format("is {}, accepted is the minimum of {} or more",
                                                      minutes(*coating.flash_off_maximum_s), minutes(least_s)));
}

/// The maker's word is worth no more than the record of who gave it.
void check_below_the_sheet(ProblemList& problems, const Coating& coating) {
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

void check_after_the_bake(ProblemList& problems, const Coating& coating) {
    if (coating.sandable_after_s) problems.time_from_zero("sandable_after", *coating.sandable_after_s);
    if (coating.tape_free_after_s) problems.time_from_zero("tape_free_after", *coating.tape_free_after_s);
    if (coating.polish_after_s) problems.time_from_zero("polish_after", *coating.polish_after_s);
}

void check_recoat(ProblemList& problems, const Coating& coating) {
    if (coating.recoat_minimum_s) problems.time_from_zero("recoat_minimum", *coating.recoat_minimum_s);
    if (!coating.recoat_maximum_s) return;
    problems.time_above_zero("recoat_maximum", *coating.recoat_maximum_s);
    const double least_s = coating.recoat_minimum_s.value_or(0.0);
    if (*coating.recoat_maximum_s < least_s)
        problems.add("recoat_maximum", fmt::format("is {}, accepted is the minimum of {} or more",
                                                   minutes(*coating.recoat_maximum_s), minutes(least_s)));
}

void check_heating_rate(ProblemList& problems, const Coating& coating) {
    if (!coating.largest_heating_rate_k_per_s) return;
    const double rate = *coating.largest_heating_rate_k_per_s;
    if (rate > 0.0 && rate <= kLargestRateKPerS) return;
    problems.add("largest_heating_rate",
                 fmt::format("is {}, accepted is more than 0, up to {}", format_heating_rate(rate, Units{}),
                             format_heating_rate(kLargestRateKPerS, Units{})),
                 OutOfRange{.value = rate, .least = 0.0, .most = kLargestRateKPerS, .above_least = true});
}

void check_activation_energy(ProblemList& problems, const Coating& coating) {
    if (!coating.activation_energy) return;
    const ActivationEnergy& energy = *coating.activation_energy;
    const bool ordered = energy.low_j_per_mol <= energy.value_j_per_mol && energy.value_j_per_mol <= energy.high_j_per_mol;
    if (ordered && energy.low_j_per_mol >= kLeastEnergyJPerMol && energy.high_j_per_mol <= kMostEnergyJPerMol) return;
    problems.add(
        "activation_energy",
        fmt::format("is {:g}, {:g}, {:g} kJ/mol, accepted is low, value and high in rising order between 1 and 300 kJ/mol",
                    energy.low_j_per_mol / 1e3, energy.value_j_per_mol / 1e3, energy.high_j_per_mol / 1e3));
}

}  // namespace

std::vector<Problem> problems_in(const Coating& coating) {
    ProblemList problems;
    check_schedule(problems, coating.schedule);
    check_floor(problems, coating);
    check_absolute_maximum(problems, coating);
    check_below_the_sheet(problems, coating);
    check_flash_off(problems, coating);
    check_heating_rate(problems, coating);
    check_recoat(problems, coating);
    check_after_the_bake(problems, coating);
    check_activation_energy(problems, coating);
    std::vector<Problem> found = problems.take();
    if (coating.kinetics) std::ranges::move(problems_in(*coating.kinetics), std::back_inserter(found));
    return found;
}

std::vector<Problem> problems_in(const HeatSensitiveItem& item, const std::string& key_prefix) {
    const std::string prefix = key_prefix.empty() ? "" : key_prefix + ".";
    ProblemList problems;
    const bool says_it_is_unknown = !item.no_limit_known_of.empty();
    const auto warns = [](const ExposureLimit& limit) { return limit.kind == LimitKind::warn; };
    if (item.limits.empty() && !says_it_is_unknown)
        problems.add(prefix + "limits", "has no row, accepted is one row or more of temperature and allowed time");
    else if (std::ranges::all_of(item.limits, warns) && !says_it_is_unknown)
        problems.add(prefix + "limits", "has warnings alone, accepted is one row or more without warn: what must not be passed");
    for (std::size_t i = 0; i < item.limits.size(); ++i) {
        problems.temperature(fmt::format("{}limits[{}].temperature", prefix, i), item.limits[i].temperature_k, kColdestLimitK);
        problems.time_from_zero(fmt::format("{}limits[{}].allowed", prefix, i), item.limits[i].allowed_s);
    }
    return problems.take();
}

}  // namespace bakewright::cure
