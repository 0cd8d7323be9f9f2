#include "bakewright/thermal/steppers/step_failure.hpp"

#include <fmt/format.h>

#include "bakewright/base/error.hpp"

namespace bakewright::thermal {

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
