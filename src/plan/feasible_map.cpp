// SPDX-License-Identifier: Apache-2.0
#include "bakewright/plan/feasible_map.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <optional>

#include "bakewright/base/work.hpp"
#include "bakewright/cure/judge.hpp"
#include "hold_search.hpp"
#include "requirements.hpp"
#include "setpoint_run.hpp"

namespace bakewright::plan {
namespace {

/// A face rises fastest before or just after the end of the ramp.
constexpr double kHeatingRateFollowedS = 30.0 * kSecondPerMinute;

/// The word of what heat may spoil under a name; GOOD where that is nothing.
cure::Word word_as_item(const std::string& name, const Trace& trace, const PlanTask& task, double margin_k) {
    const auto item =
        std::find_if(task.items.begin(), task.items.end(), [&](const cure::HeatSensitiveItem& one) { return one.name == name; });
    if (item == task.items.end()) return cure::Word::good;
    const cure::ItemVerdict verdict = cure::judge_item(trace, *item, margin_k);
    const ItemSoFar* had = task.so_far == nullptr ? nullptr : task.so_far->find_item(item->name);
    return had == nullptr ? verdict.word : with_so_far(verdict, *had).word;
}

/// The subject of a standing with its word: judged alone, since most of a map needs none. A zone's own laminate goes by the
/// zone's name as its paint does.
Obstacle named(const Standing& standing, const Baked& baked, const PlanTask& task, double margin_k) {
    const Trace* found = baked.traces.find(standing.subject);
    if (found == nullptr) return {standing.subject, cure::Word::over};  // an earlier coat on a zone
    const cure::Word as_item = word_as_item(standing.subject, *found, task, margin_k);
    const std::vector<std::string> coated = task.shell.coated_place_names();
    const bool is_coated = std::ranges::find(coated, standing.subject) != coated.end();
    if (!is_coated || as_item == cure::Word::over) return {standing.subject, as_item};
    if (task.coating.basis != cure::ScheduleBasis::booth_air)
        return {standing.subject, cure::judge_zone(*found, task.coating).word};
    return {standing.subject, cure::judge_bake(baked.traces, task.coating, {}, {standing.subject}).zones.front().word};
}

/// What no set point and no hold would mend.
std::vector<std::string> checks_of(const PlanTask& task) {
    std::vector<std::string> checks;
    if (!task.coating.flash_off_minimum_s)
        checks.emplace_back("the coating's profile does not say how long a flash-off the sheet asks for");
    for (const cure::HeatSensitiveItem& item : task.items)
        for (const std::string& material : item.no_limit_known_of)
            checks.push_back(fmt::format("no upper limit known for {}, '{}'", material, item.name));
    return checks;
}

class RowFinder {
public:
    RowFinder(const SearchModel& model, const Requirements& requirements, const MapOptions& map, double setpoint_k)
        : model_(model),
          requirements_(requirements),
          map_(map),
          run_(model, {setpoint_k, model.shape().ramp_k_per_s(), model.options().longest_hold_s}) {
        row_.setpoint_k = setpoint_k;
    }

    /// Nothing where it was told to leave off: an ensemble for each hold that may do takes long.
    std::optional<MapRow> find(const std::vector<double>& holds_s, const GoesOn& goes_on) {
        find_shortest(model_.options().shortest_hold_s, model_.options().longest_hold_s);
        find_longest(model_.options().shortest_hold_s, model_.options().longest_hold_s);
        note_warnings();
        if (model_.options().confidence && !find_sure(holds_s, *model_.options().confidence, goes_on)) return std::nullopt;
        return std::move(row_);
    }

private:
    Obstacle obstacle(double hold_s, const Standing& standing) {
        return named(standing, run_.bake(hold_s), model_.task(), requirements_.item_margin_k());
    }

    void find_shortest(double shortest_s, double longest_s) {
        const HoldBound bound = where_cured(run_, requirements_, shortest_s, longest_s, map_.bound_error_s);
        if (bound.kind == HoldBound::Kind::met_never) {
            row_.last_to_cure = obstacle(longest_s, bound.at);
        } else if (bound.kind == HoldBound::Kind::met_always) {
            row_.shortest_hold_s = shortest_s;
            row_.last_to_cure = obstacle(shortest_s, bound.at);
        } else {
            row_.shortest_hold_s = bound.turn.after_s;
            row_.last_to_cure = obstacle(bound.turn.before_s, bound.turn.before);
        }
    }

    void find_longest(double shortest_s, double longest_s) {
        const HoldBound bound = where_spared(run_, requirements_, shortest_s, longest_s, map_.bound_error_s);
        if (bound.kind == HoldBound::Kind::met_never) {
            row_.first_too_hot = obstacle(shortest_s, bound.at);
        } else if (bound.kind == HoldBound::Kind::met_always) {
            row_.longest_hold_s = longest_s;
        } else {
            row_.longest_hold_s = bound.turn.before_s;
            row_.first_too_hot = obstacle(bound.turn.after_s, bound.turn.after);
        }
    }

    /// Flash-off and heating rate are kept or not whatever the hold: the heat-up alone tells.
    void note_warnings() {
        const double hold_s = std::min(kHeatingRateFollowedS, model_.options().longest_hold_s);
        const TraceSet& heat_up = run_.heat(hold_s).traces;
        row_.warnings = cure::judge_bake(heat_up, model_.task().coating, {}, model_.coated()).warnings;
        if (model_.task().before != nullptr)
            std::erase_if(row_.warnings, [](const cure::HeatWarning& warning) { return warning.at_s < 0.0; });
    }

    /// By the middle of the model a hold may do: only then is its ensemble asked.
    [[nodiscard]] bool may_do(double hold_s) const {
        return row_.shortest_hold_s && hold_s >= *row_.shortest_hold_s && row_.longest_hold_s && hold_s <= *row_.longest_hold_s;
    }
    /// False where it left off.
    bool find_sure(const std::vector<double>& holds_s, const Confidence& confidence, const GoesOn& goes_on) {
        row_.confidence = confidence.level;
        const Settings set{row_.setpoint_k, model_.shape().ramp_k_per_s(), model_.options().longest_hold_s};
        SureHolds sure(run_, set, confidence);
        for (const double hold_s : holds_s) {
            if (!goes_on()) return false;
            const HoldChances* chances = may_do(hold_s) ? &sure.at(hold_s) : nullptr;
            row_.chances.push_back(chances == nullptr ? std::nullopt : std::optional(chances->exact_chance));
            row_.obstacles.push_back(chances == nullptr ? Phrase() : chances->likeliest_obstacle(hold_s).value_or(Phrase()));
        }
        if (!row_.shortest_hold_s || !row_.longest_hold_s || *row_.longest_hold_s < *row_.shortest_hold_s) return true;
        row_.shortest_sure_s = sure.shortest_s(*row_.shortest_hold_s, *row_.longest_hold_s);
        if (row_.shortest_sure_s) row_.longest_sure_s = sure.longest_s(*row_.shortest_sure_s, *row_.longest_hold_s);
        return true;
    }

    const SearchModel& model_;
    const Requirements& requirements_;
    const MapOptions& map_;
    SetpointRun run_;
    MapRow row_;
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

MapRow::Cell MapRow::at(std::size_t index, double hold_s) const {
    const bool is_cured = shortest_hold_s && hold_s >= *shortest_hold_s;
    const bool is_spared = longest_hold_s && hold_s <= *longest_hold_s;
    if (!is_cured) return is_spared ? Cell::under : Cell::both;
    if (!is_spared) return Cell::hot;
    if (!warnings.empty()) return Cell::warned;
    const bool is_asked = confidence > 0.0 && index < chances.size();
    return is_asked && !(chances[index] && *chances[index] >= confidence) ? Cell::unsure : Cell::feasible;
}

bool MapRow::any_does() const {
    if (!shortest_hold_s || !longest_hold_s || *shortest_hold_s > *longest_hold_s || !warnings.empty()) return false;
    return confidence == 0.0 || shortest_sure_s.has_value();
}

FeasibleMap feasible_map(const PlanTask& task, const PlanOptions& options, const MapOptions& map) {
    refuse_problems(task, options);
    map.check();
    const SearchModel model(task, options);
    const Requirements requirements(task, options, model.coated());
    FeasibleMap made;
    made.flash_off_s = model.shape().flash_off_s();
    made.purge_s = model.shape().purge_s();
    made.checks = checks_of(task);
    for (double hold_s = map.hold_step_s; hold_s <= options.longest_hold_s + 1e-6; hold_s += map.hold_step_s)
        made.hold_s.push_back(hold_s);
    const std::vector<double> setpoints_k = setpoints_to_try(task, options);
    made.rows.resize(setpoints_k.size());
    made.rows.resize(
        for_each_index(setpoints_k.size(), options.thread_count, options.progress, [&](std::size_t i, const GoesOn& goes_on) {
            std::optional<MapRow> row = RowFinder(model, requirements, map, setpoints_k[i]).find(made.hold_s, goes_on);
            if (row) made.rows[i] = std::move(*row);
            return row.has_value();
        }));
    made.complete = made.rows.size() == setpoints_k.size();
    return made;
}

}  // namespace bakewright::plan
