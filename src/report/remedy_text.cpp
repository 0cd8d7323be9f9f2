#include "bakewright/report/remedy_text.hpp"

#include <fmt/core.h>

#include "bakewright/report/plain_text.hpp"

namespace bakewright::report {
namespace {

using plan::Remedy;
using plan::RemedyKind;

std::string answer_of(const Remedy& remedy, const Units& units) {
    if (remedy.feasible)
        return fmt::format("{}, hold {}", format_temperature(remedy.setpoint_k, units, 0), format_duration(remedy.hold_s));
    return remedy.gap_k && *remedy.gap_k > 0.0
               ? fmt::format("not enough: {} short", format_temperature_difference(*remedy.gap_k, units, 0))
               : "not enough";
}

}  // namespace

std::string_view remedy_name(RemedyKind kind) noexcept {
    switch (kind) {
        case RemedyKind::longer_hold:
            return "longer_hold";
        case RemedyKind::take_out:
            return "take_out";
        case RemedyKind::shield_item:
            return "shield_item";
        case RemedyKind::baffle_zone:
            return "baffle_zone";
        case RemedyKind::mask_zone:
            return "mask_zone";
        case RemedyKind::bake_apart:
            return "bake_apart";
        case RemedyKind::fan_at_zone:
            return "fan_at_zone";
        case RemedyKind::stir_air:
            return "stir_air";
        case RemedyKind::slower_ramp:
            return "slower_ramp";
        case RemedyKind::warm_start:
            return "warm_start";
    }
    return "longer_hold";
}

std::string remedy_sentence(const Remedy& remedy, const Units& units) {
    const std::string subject = one_line(remedy.subject);
    switch (remedy.kind) {
        case RemedyKind::longer_hold:
            return fmt::format("a cooler set point and a hold of up to {}", format_duration(plan::kLongestRemedyHoldS));
        case RemedyKind::take_out:
            return "take out " + subject;
        case RemedyKind::shield_item:
            return fmt::format("shield {}: {:.0f} % of the heat gets through", subject, 100.0 * plan::kShieldShare);
        case RemedyKind::baffle_zone:
            return fmt::format("baffle the air off {}: {:.0f} % of its film coefficient", subject, 100.0 * plan::kBaffleShare);
        case RemedyKind::mask_zone:
            return fmt::format("mask {} with paper", subject);
        case RemedyKind::bake_apart:
            return fmt::format("take {} off, if it comes off, and bake it by itself; both bakes together", subject);
        case RemedyKind::fan_at_zone:
            return fmt::format("aim a fan at {}: {:.1f} times its film coefficient", subject, plan::kFanShare);
        case RemedyKind::stir_air:
            return fmt::format("stir the air: {:.0f} % of the difference between floor and ceiling", 100.0 * plan::kStirredShare);
        case RemedyKind::slower_ramp:
            return fmt::format("a slower ramp, down to {}", format_heating_rate(plan::kSlowestRampKPerS, units));
        case RemedyKind::warm_start:
            return fmt::format("warm the shell through before the coat, by {}",
                               format_temperature_difference(plan::kWarmStartK, units, 0));
    }
    return {};
}

std::string remedies_text(const std::vector<Remedy>& remedies, const TextOptions& options) {
    if (remedies.empty()) return {};
    Table table({{"change", Align::left, true}, {"then it takes"}, {"whole\ncycle", Align::right}});
    for (const Remedy& remedy : remedies)
        table.add({remedy_sentence(remedy, options.units),
                   remedy.feasible ? Cell(answer_of(remedy, options.units), Mark::calm) : Cell(answer_of(remedy, options.units)),
                   remedy.feasible ? format_duration(remedy.booth_time_s) : ""});
    return "What would change that, each alone, by the model (strengths are common practice)\n\n" + table.text(options.style);
}

}  // namespace bakewright::report
