#include "judged.hpp"

namespace bakewright::plan {

Judged judge(const TraceSet& traces, const BakeModel& model, const Demands& demands) {
    const PlanTask& task = model.task();
    Judged made{cure::judge_bake(traces, task.coating, task.items, model.coated()), demands.over_baked(traces),
                demands.difference(traces)};
    made.difference_is_too_large = demands.is_too_large(made.difference);
    if (task.so_far == nullptr) return made;
    for (cure::ItemVerdict& item : made.verdict.items)
        if (const ItemSoFar* had = task.so_far->find_item(item.item)) item = with_so_far(std::move(item), *had);
    return made;
}

}  // namespace bakewright::plan
