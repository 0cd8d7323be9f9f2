#include "bakewright/report/tradeoff_text.hpp"

#include <fmt/core.h>

#include <algorithm>

#include "bakewright/report/elapsed.hpp"
#include "bakewright/report/plain_text.hpp"

namespace bakewright::report {
namespace {

constexpr double kJoulePerKwh = 3.6e6;

std::string margin_text(double margin_k, const Units& units) {
    return margin_k >= plan::kWidestMarginK ? "none asked" : format_temperature_difference(margin_k, units);
}

/// What a cycle with the smallest margin would be short of, were it used up.
std::string side_of(const plan::Margins& margins, const std::string& subject) {
    const double least_k = margins.smallest_k();
    const auto zone = std::find_if(margins.zones.begin(), margins.zones.end(),
                                   [&](const plan::ZoneMargin& one) { return one.zone == subject && one.cure_k == least_k; });
    return zone == margins.zones.end() ? "hotter, and nothing passes its limit" : "colder, and it is still cured";
}

}  // namespace

std::string_view objective_name(plan::Objective objective) noexcept {
    switch (objective) {
        case plan::Objective::time:
            return "time";
        case plan::Objective::energy:
            return "energy";
        case plan::Objective::margin:
            return "margin";
        case plan::Objective::least_use:
            return "least_use";
    }
    return "time";
}

Table tradeoff_table(const plan::Plan& plan, const Units& units) {
    Table table({{"sought"},
                 {fmt::format("set point\n{}", temperature_symbol(units)), Align::right},
                 {"hold", Align::right},
                 {"whole\ncycle", Align::right},
                 {"energy\nkWh", Align::right},
                 {"margin", Align::right},
                 {""}});
    for (const plan::Choice& choice : plan.choices) {
        const plan::Candidate& at = choice.candidate;
        table.add({std::string(objective_name(choice.objective)), fmt::format("{:.0f}", temperature_in(at.setpoint_k, units)),
                   format_duration(*at.hold_s), format_duration(at.booth_time_s),
                   fmt::format("{:.0f}", at.energy.total_j / kJoulePerKwh), margin_text(at.margin_k, units),
                   choice.objective == plan.objective ? Cell("chosen", Mark::strong) : Cell("")});
    }
    return table;
}

std::string difference_text(const plan::LargestDifference& difference, const Units& units) {
    return fmt::format("{} is {} {} than {} at {}", one_line(difference.pair.laminate),
                       format_temperature_difference(difference.size_k(), units),
                       difference.metal_less_laminate_k >= 0.0 ? "colder" : "hotter", one_line(difference.pair.metal),
                       elapsed_text(difference.at_s));
}

std::string energy_sentence(const plan::Energy& energy) {
    switch (energy.counts) {
        case plan::Energy::Counts::burner:
            return "Energy: heat from the burner until it goes off for the cool-down.";
        case plan::Energy::Counts::shell_walls_and_air:
            return "Energy: heat into the shell, through and into the booth's walls, and into fresh air until the cool-down; "
                   "walls "
                   "and air by the booth's own numbers, since its air is given and no burner is solved for.";
        case plan::Energy::Counts::shell:
            return "Energy: heat into the shell alone until the cool-down; the booth's profile does not tell how much fresh air "
                   "it "
                   "bakes with.";
    }
    return {};
}

std::string margin_sentence(const plan::Plan& plan, const Units& units) {
    if (!plan.feasible) return {};
    const std::string subject = plan.margins.smallest_of();
    if (subject.empty()) return {};
    return fmt::format("Least to spare: {} could be {} {}.", one_line(subject),
                       format_temperature_difference(plan.margins.smallest_k(), units), side_of(plan.margins, subject));
}

}  // namespace bakewright::report
