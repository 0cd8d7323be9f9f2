// SPDX-License-Identifier: Apache-2.0
#include "bakewright/plan/so_far.hpp"

#include <algorithm>

#include "bakewright/cure/judge.hpp"
#include "bakewright/cure/judge_history.hpp"
#include "bakewright/cure/reason.hpp"
#include "bakewright/cure/rule.hpp"

namespace bakewright::plan {
namespace {

/// A day lies between what a history ends with and a bake of which nobody says when; only the order counts.
constexpr double kNextDayS = 86400.0;

ItemSoFar item_so_far(const cure::ItemHistoryVerdict& verdict) {
    ItemSoFar made{verdict.total.item, {}, {}};
    for (const cure::LimitReading& limit : verdict.total.limits) {
        const bool counts = limit.limit.scope == cure::ExposureScope::lifetime;
        made.exposed_s.push_back(counts ? limit.exposed_s : 0.0);
        made.exposed_at_margin_s.push_back(counts ? limit.exposed_at_margin_s : 0.0);
    }
    return made;
}

void put(std::vector<cure::HeatSensitiveItem>& items, const cure::HeatSensitiveItem& item) {
    const auto known = std::find_if(items.begin(), items.end(), [&](const auto& one) { return one.name == item.name; });
    if (known == items.end())
        items.push_back(item);
    else
        *known = item;
}

double ends_at_s(const cure::ShellHistory& history) {
    double latest_s = 0.0;
    for (const cure::Coat& coat : history.coats)
        latest_s = std::max({latest_s, coat.applied_at_s, coat.sanded_at_s.value_or(0.0)});
    for (const cure::HistoryBake& bake : history.bakes)
        for (const TraceSet* traces : {bake.log, bake.prediction})
            if (traces != nullptr) latest_s = std::max(latest_s, bake.began_at_s + traces->end_s());
    return latest_s;
}

/// A coat of this coating that was sprayed after the last bake of any of its zones.
bool is_waiting(const cure::ShellHistory& history, const cure::Coating& coating) {
    return std::any_of(history.coats.begin(), history.coats.end(), [&](const cure::Coat& coat) {
        return coat.coating.id == coating.id &&
               std::none_of(history.bakes.begin(), history.bakes.end(),
                            [&](const cure::HistoryBake& bake) { return bake.began_at_s >= coat.applied_at_s; });
    });
}

std::string name_for(const cure::ShellHistory& history, const std::string& wanted) {
    const auto taken = [&](const std::string& name) {
        return std::any_of(history.coats.begin(), history.coats.end(), [&](const cure::Coat& coat) { return coat.name == name; });
    };
    std::string name = wanted;
    for (int number = 2; taken(name); ++number) name = wanted + ", " + std::to_string(number);
    return name;
}

}  // namespace

const ItemSoFar* SoFar::find_item(const std::string& name) const noexcept {
    const auto found = std::find_if(items.begin(), items.end(), [&](const ItemSoFar& item) { return item.item == name; });
    return found == items.end() ? nullptr : &*found;
}

SoFar so_far(const cure::ShellHistory& history, const std::vector<cure::HeatSensitiveItem>& items) {
    cure::ShellHistory with_limits = history;
    for (const cure::HeatSensitiveItem& item : items) put(with_limits.items, item);
    const cure::ShellVerdict verdict = cure::judge_history(with_limits);
    SoFar made;
    for (const cure::CoatVerdict& coat : verdict.coats)
        made.coats.push_back({coat.coat, coat.total.zone, &history.coats[coat.coat_index].coating, coat.total.over_bake_dose});
    for (const cure::ItemHistoryVerdict& item : verdict.items) made.items.push_back(item_so_far(item));
    return made;
}

cure::ItemVerdict with_so_far(cure::ItemVerdict verdict, const ItemSoFar& before) {
    if (verdict.word == cure::Word::not_judged || verdict.limits.size() != before.exposed_s.size()) return verdict;
    for (std::size_t i = 0; i < verdict.limits.size(); ++i) {
        cure::LimitReading& limit = verdict.limits[i];
        limit.exposed_s += before.exposed_s[i];
        limit.exposed_at_margin_s += before.exposed_at_margin_s[i];
        limit.passed = limit.passed || cure::passes(limit.limit, limit.exposed_s, false);
        limit.near = !limit.passed && (limit.near || cure::passes(limit.limit, limit.exposed_at_margin_s, false));
    }
    verdict.word = cure::item_word(verdict);
    verdict.reason = cure::reason_text(verdict, Units{});
    return verdict;
}

cure::ShellHistory after(cure::ShellHistory history, const PlannedBake& bake) {
    const double begins_at_s = ends_at_s(history) + kNextDayS;
    if (!is_waiting(history, bake.coating)) {
        cure::Coat coat;
        coat.coating = bake.coating;
        coat.name = name_for(history, bake.coating.title.empty() ? bake.coating.id : bake.coating.title);
        coat.zones = bake.coated;
        coat.applied_at_s = begins_at_s;
        history.coats.push_back(std::move(coat));
    }
    cure::HistoryBake planned;
    planned.name = bake.name;
    planned.began_at_s = begins_at_s;
    for (const Trace& trace : bake.traces.traces)
        if (trace.role == TraceRole::zone || trace.role == TraceRole::test_panel) planned.zones.push_back(trace.name);
    planned.items = bake.items;
    planned.prediction = &bake.traces;
    planned.planned = true;
    history.bakes.push_back(std::move(planned));
    return history;
}

}  // namespace bakewright::plan
