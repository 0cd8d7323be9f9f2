#include "bakewright/plan/feasible_map.hpp"

#include <algorithm>
#include <boost/math/tools/roots.hpp>
#include <cmath>

#include "cycle_trial.hpp"
#include "plan_task.hpp"

namespace bakewright::plan {
namespace {

using cure::Word;

constexpr double kShortestHoldS = kSecondPerMinute;

bool is_too_much(Word word) { return word != Word::good && word != Word::under && word != Word::not_judged; }

/// The first zone that is over-baked, or item that is not GOOD: what a longer hold only makes worse.
std::optional<Obstacle> too_hot(const Trial& trial) {
    for (const cure::ZoneVerdict& zone : trial.verdict.zones)
        if (zone.word == Word::over) return Obstacle{zone.zone, zone.word};
    for (const cure::ItemVerdict& item : trial.verdict.items)
        if (is_too_much(item.word)) return Obstacle{item.item, item.word};
    return std::nullopt;
}

/// The coated zone with the least to show by the sheet's own terms; by dose among those that have equally little.
Obstacle last_to_cure(const Trial& trial) {
    const auto missing_s = [](const cure::ZoneVerdict& zone) {
        double least_s = HUGE_VAL;
        for (const cure::RowReading& row : zone.rows) least_s = std::min(least_s, row.missing_s);
        return least_s;
    };
    const auto behind = [&](const cure::ZoneVerdict& a, const cure::ZoneVerdict& b) {
        const double a_s = missing_s(a), b_s = missing_s(b);
        return a_s != b_s ? a_s > b_s : a.dose.at_value < b.dose.at_value;
    };
    const auto& zones = trial.verdict.zones;
    const auto last = std::min_element(zones.begin(), zones.end(), behind);
    return last == zones.end() ? Obstacle{} : Obstacle{last->zone, last->word};
}

/// The hold at which an answer turns, to within an error; holds on either side of it are known to differ.
struct Turn {
    double before_s, after_s;
};
template <class Answer>
Turn turn_of(const Answer& is_yes, double no_s, double yes_s, double error_s) {
    const auto sign = [&](double hold_s) { return is_yes(hold_s) ? 1.0 : -1.0; };
    const auto near = [error_s](double a, double b) { return std::abs(a - b) <= error_s; };
    std::uintmax_t iterations = 60;
    const auto [low_s, high_s] = boost::math::tools::bisect(sign, no_s, yes_s, near, iterations);
    return {low_s, high_s};
}

class RowFinder {
public:
    RowFinder(const TrialRunner& runner, const PlanOptions& options, const MapOptions& map, double setpoint_k)
        : runner_(runner), options_(options), map_(map), setpoint_k_(setpoint_k) {}

    MapRow find() const {
        const Trial shortest = trial(kShortestHoldS), longest = trial(options_.longest_hold_s);
        MapRow row;
        row.setpoint_k = setpoint_k_;
        row.warnings = longest.verdict.warnings;
        find_shortest(row, shortest, longest);
        find_longest(row, shortest, longest);
        return row;
    }

private:
    [[nodiscard]] Trial trial(double hold_s) const { return runner_.run(setpoint_k_, hold_s); }

    void find_shortest(MapRow& row, const Trial& shortest, const Trial& longest) const {
        if (!longest.cured(options_.rule)) {
            row.last_to_cure = last_to_cure(longest);
            return;
        }
        row.shortest_hold_s = kShortestHoldS;
        row.last_to_cure = last_to_cure(shortest);
        if (shortest.cured(options_.rule)) return;
        const Turn turn = turn_of([&](double hold_s) { return trial(hold_s).cured(options_.rule); }, kShortestHoldS,
                                  options_.longest_hold_s, map_.bound_error_s);
        row.shortest_hold_s = turn.after_s;
        row.last_to_cure = last_to_cure(trial(turn.before_s));
    }
    void find_longest(MapRow& row, const Trial& shortest, const Trial& longest) const {
        row.first_too_hot = too_hot(shortest);
        if (row.first_too_hot) return;
        row.longest_hold_s = options_.longest_hold_s;
        if (!too_hot(longest)) return;
        const Turn turn = turn_of([&](double hold_s) { return too_hot(trial(hold_s)).has_value(); }, kShortestHoldS,
                                  options_.longest_hold_s, map_.bound_error_s);
        row.longest_hold_s = turn.before_s;
        row.first_too_hot = too_hot(trial(turn.after_s));
    }

    const TrialRunner& runner_;
    const PlanOptions& options_;
    const MapOptions& map_;
    double setpoint_k_;
};

}  // namespace

void MapOptions::check() const {
    std::vector<Problem> found;
    if (!(hold_step_s >= kSecondPerMinute && hold_step_s <= 4.0 * kSecondPerHour))
        found.push_back({{}, 0, "hold step", "is out of range, accepted is 1 min to 4 h"});
    if (!(bound_error_s >= 0.1 && bound_error_s <= 60.0))
        found.push_back({{}, 0, "bound error", "is out of range, accepted is 0.1 to 60 s"});
    if (!found.empty()) throw InputError(std::move(found));
}

MapRow::Cell MapRow::at(double hold_s) const {
    const bool is_cured = shortest_hold_s && hold_s >= *shortest_hold_s;
    const bool is_spared = longest_hold_s && hold_s <= *longest_hold_s;
    if (!is_cured) return is_spared ? Cell::under : Cell::both;
    if (!is_spared) return Cell::hot;
    return warnings.empty() ? Cell::feasible : Cell::warned;
}

FeasibleMap feasible_map(const PlanTask& task, const PlanOptions& options, const MapOptions& map) {
    refuse_problems(task, options);
    map.check();
    const TrialRunner runner(task, options);
    FeasibleMap made;
    for (double hold_s = map.hold_step_s; hold_s <= options.longest_hold_s + 1e-6; hold_s += map.hold_step_s)
        made.hold_s.push_back(hold_s);
    const std::vector<double> setpoints_k = setpoints_to_try(task, options);
    for (std::size_t i = 0; i < setpoints_k.size(); ++i) {
        made.rows.push_back(RowFinder(runner, options, map, setpoints_k[i]).find());
        const double share = static_cast<double>(i + 1) / static_cast<double>(setpoints_k.size());
        if (options.progress && !options.progress(share)) {
            made.complete = false;
            break;
        }
    }
    return made;
}

}  // namespace bakewright::plan
