#pragma once

#include <string>
#include <vector>

#include "bakewright/plan/plan.hpp"

namespace bakewright::plan {

/// A plan for a shell some of whose loose items are taken out.
struct PlanWithout {
    Plan plan;
    std::vector<std::string> out;                ///< what comes out; empty where all may stay
    bake::Shell shell;                           ///< as it is baked
    std::vector<cure::HeatSensitiveItem> items;  ///< aboard
};

/// Plans with everything aboard; where nothing does, takes out loose items (in a cavity or the booth; what is fixed to a zone
/// stays) that stand against it, but none of `keep`, and plans anew; then puts back, one after the other, what may stay after
/// all. No item that is out could stay with the others as they are.
/// @throws InputError where `keep` names an item that is not in the shell; as plan_cycle()
[[nodiscard]] PlanWithout plan_keeping(const PlanTask& task, const PlanOptions& options, const std::vector<std::string>& keep);

}  // namespace bakewright::plan
