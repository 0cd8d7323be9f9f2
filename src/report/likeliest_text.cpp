// SPDX-License-Identifier: Apache-2.0
#include "bakewright/report/likeliest_text.hpp"

#include <fmt/core.h>

#include <cmath>

#include "bakewright/report/plain_text.hpp"

namespace bakewright::report {

std::string_view assumed_name(plan::Assumed assumed) noexcept {
    switch (assumed) {
        case plan::Assumed::air_strength:
            return "air strength";
        case plan::Assumed::air_by_height:
            return "air from floor to ceiling";
        case plan::Assumed::wall_offset:
            return "how much cooler the walls are than the air";
        case plan::Assumed::wall_loss:
            return "what the walls lose";
        case plan::Assumed::fresh_air:
            return "fresh air while baking";
        case plan::Assumed::heater:
            return "heater";
        case plan::Assumed::sensor:
            return "what the controller's sensor reads";
        case plan::Assumed::thickness:
            return "thickness of the sheets";
        case plan::Assumed::seams:
            return "heat through the joints";
        case plan::Assumed::leakage:
            return "openings of the inside air";
    }
    return {};
}

std::string_view how_to_settle(plan::Assumed assumed) noexcept {
    switch (assumed) {
        case plan::Assumed::air_strength:
            return "hang a strip of paper beside the shell, burner off, fans in bake";
        case plan::Assumed::air_by_height:
            return "a thermometer at knee height and one overhead, booth hot";
        case plan::Assumed::wall_offset:
            return "a contact thermometer on a wall, booth hot";
        case plan::Assumed::wall_loss:
            return "look at the edge of a wall panel";
        case plan::Assumed::fresh_air:
            return "look at the damper's setting";
        case plan::Assumed::heater:
            return "read the burner's plate";
        case plan::Assumed::sensor:
            return "hang a thermometer beside the shell and hold it against the display";
        case plan::Assumed::thickness:
            return "a calliper at an edge or a hole";
        case plan::Assumed::seams:
            return "look at the back of the seams";
        case plan::Assumed::leakage:
            return "count the open holes";
    }
    return {};
}

namespace {

/// "31 min later", "14 min sooner", "never".
std::string later_text(const std::optional<double>& later_s) {
    if (!later_s) return "never";
    if (!std::isfinite(*later_s)) return "at all";
    if (std::abs(*later_s) < kSecondPerMinute) return "at the same time";
    return fmt::format("{} {}", format_duration(std::abs(*later_s)), *later_s > 0.0 ? "later" : "sooner");
}

std::string effect_sentence(const plan::AssumptionEffect& effect, const Units& units) {
    const auto end = [&](const char* which, const std::optional<double>& later_s, double hotter_k) {
        std::string text = fmt::format("{} it cures {}", which, later_text(later_s));
        if (std::abs(hotter_k) >= plan::kLeastEffectK)
            text += fmt::format(" and the hottest part is {} {}", format_temperature_difference(std::abs(hotter_k), units),
                                hotter_k > 0.0 ? "hotter" : "cooler");
        return text;
    };
    return fmt::format("{}: {}, {}. To settle it: {}.", assumed_name(effect.assumed),
                       end("at its low end", effect.later_at_low_s, effect.hotter_at_low_k),
                       end("at its high end", effect.later_at_high_s, effect.hotter_at_high_k), how_to_settle(effect.assumed));
}

}  // namespace

std::string likeliest_sentence(const plan::LikeliestCycle& likeliest, const Units& units) {
    return fmt::format(
        "CHECK: no cycle that was tried is sure enough. The likeliest is {} for {}: {:.0f}% sure. The slowest coated zone is {}.",
        format_temperature(likeliest.setpoint_k, units, 0), format_duration(likeliest.hold_s), 100.0 * likeliest.chance,
        one_line(likeliest.last_zone));
}

std::string assumptions_text(const plan::LikeliestCycle& likeliest, const TextOptions& options) {
    std::vector<std::string> sentences;
    for (const plan::AssumptionEffect& effect : likeliest.assumptions)
        sentences.push_back(effect_sentence(effect, options.units));
    if (sentences.empty())
        return paragraph_text(
            "Nothing assumed changes this bake by 3 min or 1 K: it takes another cycle, or another shell or booth.", options);
    return list_text("Settle first, what moves it most", sentences, options);
}

}  // namespace bakewright::report
