#include "judged.hpp"

#include <algorithm>

namespace bakewright::plan {

bool stands_against(const cure::ItemVerdict& item) {
    if (item.word != cure::Word::check || item.no_limit_known_of.empty()) return item.word != cure::Word::good;
    cure::ItemVerdict known = item;
    known.no_limit_known_of.clear();
    return cure::item_word(known) != cure::Word::good;
}

bool stands_against(const cure::HeatWarning& warning) { return !cure::is_about_flash_off(warning.kind); }

bool Judged::all_good() const {
    const auto not_good = [](const cure::ZoneVerdict& zone) { return zone.word != cure::Word::good; };
    return !(verdict.zones.empty() && verdict.items.empty()) && std::ranges::none_of(verdict.zones, not_good) &&
           std::ranges::none_of(verdict.items, [](const cure::ItemVerdict& item) { return stands_against(item); }) && is_kept();
}

bool Judged::is_kept() const {
    return std::ranges::none_of(verdict.warnings, [](const cure::HeatWarning& one) { return stands_against(one); }) &&
           coats.empty() && !difference_is_too_large;
}

TraceSet gone_on(const TraceSet* before, const TraceSet& traces) {
    if (before == nullptr) return traces;
    TraceSet whole;
    for (const Trace& trace : traces.traces) {
        const Trace* had = before->find(trace.name);
        if (had == nullptr) continue;
        Trace joined = *had;
        for (std::size_t i = 0; i < trace.size(); ++i) {
            if (trace.time_s[i] <= joined.time_s.back() + 1e-6) continue;
            joined.time_s.push_back(trace.time_s[i]);
            joined.temperature_k.push_back(trace.temperature_k[i]);
        }
        whole.traces.push_back(std::move(joined));
    }
    return whole;
}

namespace {

/// Of a bake that goes on with one that was cut short, a full new stay counts: its zones from time 0 on, its items from the
/// start.
TraceSet counted_for_cure(const PlanTask& task, const TraceSet& traces) {
    if (task.before == nullptr) return traces;
    TraceSet counted;
    for (const Trace& trace : traces.traces) counted.traces.push_back(trace.role == TraceRole::item ? trace : from_start(trace));
    return counted;
}

}  // namespace

Judged judge(const TraceSet& traces, const BakeModel& model, const Demands& demands) {
    const PlanTask& task = model.task();
    Judged made{cure::judge_bake(counted_for_cure(task, traces), task.coating, task.items, model.coated()),
                demands.over_baked(traces), demands.difference(traces)};
    made.difference_is_too_large = demands.is_too_large(made.difference);
    if (task.before != nullptr)
        std::erase_if(made.verdict.warnings, [](const cure::HeatWarning& warning) { return warning.at_s < 0.0; });
    if (task.so_far == nullptr) return made;
    for (cure::ItemVerdict& item : made.verdict.items)
        if (const ItemSoFar* had = task.so_far->find_item(item.item)) item = with_so_far(std::move(item), *had);
    return made;
}

void settle(Judged& judged, const EnsemblePrediction& ensemble) {
    add_certainty(judged.verdict, ensemble, ensemble_origin(ensemble.member_count));
}

}  // namespace bakewright::plan
