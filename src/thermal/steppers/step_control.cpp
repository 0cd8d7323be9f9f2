// SPDX-License-Identifier: Apache-2.0
#include "steppers/step_control.hpp"

#include <fmt/format.h>

#include <cmath>

#include "bakewright/base/error.hpp"

namespace bakewright::thermal {

void StepOptions::check() const {
    ensure(absolute_tolerance >= 0.0 && std::isfinite(absolute_tolerance), "an absolute tolerance is finite and not negative");
    ensure(relative_tolerance >= 0.0 && relative_tolerance < 1.0, "a relative tolerance lies between 0 and 1");
    ensure(absolute_tolerance + relative_tolerance > 0.0, "one of the tolerances is positive");
    ensure(first_step_s >= 0.0 && std::isfinite(first_step_s), "a first step is finite and not negative");
    ensure(smallest_step_s > 0.0 && std::isfinite(smallest_step_s), "a smallest step is positive");
    ensure(largest_step_s > smallest_step_s, "the largest step is above the smallest");
    ensure(step_ceiling > 0, "a ceiling on steps is positive");
}

namespace {

std::string reason(StepFailure failure, double limit) {
    switch (failure) {
        case StepFailure::step_too_small:
            return fmt::format("no step down to {:.3g} s was accepted", limit);
        case StepFailure::too_many_steps:
            return fmt::format("{:.0f} steps did not reach the end", limit);
        case StepFailure::not_finite:
            break;
    }
    return "a planned step gave temperatures that are not finite";
}

std::string speed_text(double rate_per_s) {
    return std::isfinite(rate_per_s) ? fmt::format("{:.3g} K/s", rate_per_s) : "not finite";
}

}  // namespace

void throw_step_failure(StepFailure failure, double time_s, double limit, std::span<const FastComponent> fastest,
                        const void* system, std::string (*name_of)(const void* system, std::size_t index)) {
    std::string text = fmt::format("run stopped at {:.1f} s: {}; fastest:", time_s, reason(failure, limit));
    for (std::size_t k = 0; k < fastest.size(); ++k) {
        const std::size_t index = fastest[k].index;
        const std::string name = name_of != nullptr ? name_of(system, index) : fmt::format("component {}", index);
        text += fmt::format("{} {} {}", k == 0 ? "" : ",", name, speed_text(fastest[k].rate_per_s));
    }
    throw SolveError(text);
}

}  // namespace bakewright::thermal
