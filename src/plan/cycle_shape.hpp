#pragma once

#include <cstddef>
#include <vector>

#include "bakewright/plan/plan.hpp"

namespace bakewright::plan {

/// What the search sets.
struct Settings {
    double setpoint_k = 0.0;
    double ramp_k_per_s = 0.0;
    double hold_s = 0.0;
};

/// How a planned cycle is put together from its settings. Refers to the options.
class CycleShape {
public:
    CycleShape(const PlanTask& task, const PlanOptions& options);

    /// @param cool_s  from the end of the heat to the end of the cycle; at least as long as the booth takes to come down
    [[nodiscard]] bake::Cycle cycle(const Settings& set, double cool_s) const;
    /// The stage of cycle() that is set.hold_s long.
    [[nodiscard]] std::size_t hold_index(const Settings& set) const;
    /// When the hold begins, and when the burner goes off for the cool-down.
    [[nodiscard]] double begin_of_hold_s(const Settings& set) const;
    [[nodiscard]] double begin_of_cool_s(const Settings& set) const;
    /// How long the air is taken down.
    [[nodiscard]] double fall_s(const Settings& set) const;
    /// As asked, or as much lower as booth and coating want it.
    [[nodiscard]] double ramp_k_per_s() const noexcept { return ramp_k_per_s_; }
    /// The ramps to be tried, falling: one where it is not free.
    [[nodiscard]] std::vector<double> ramps_to_try() const;
    [[nodiscard]] double start_air_k() const noexcept { return start_air_k_; }
    [[nodiscard]] double flash_off_s() const noexcept { return flash_off_s_; }
    [[nodiscard]] double purge_s() const noexcept { return purge_s_; }

private:
    [[nodiscard]] std::vector<bake::Stage> until_hold(const Settings& set) const;
    [[nodiscard]] std::vector<bake::Stage> heat(const Settings& set) const;
    void go_to(std::vector<bake::Stage>& stages, double setpoint_k, double rate_k_per_s) const;

    double start_air_k_ = 0.0;
    double wait_s_ = 0.0, purge_s_ = 0.0, flash_off_s_ = 0.0;
    double ramp_k_per_s_ = 0.0;
    double slowest_ramp_k_per_s_ = 0.0;
    double fall_k_per_s_ = 0.0;
    bool falls_as_it_rose_ = false;
    const std::vector<Step>& steps_;
    const std::vector<Step>& second_holds_;
};

}  // namespace bakewright::plan
