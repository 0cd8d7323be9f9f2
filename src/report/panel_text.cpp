#include "bakewright/report/panel_text.hpp"

#include <fmt/core.h>

#include "bakewright/report/plain_text.hpp"
#include "json_records.hpp"

namespace bakewright::report {
namespace {

std::string wrapped(const std::string& sentence, const TextOptions& options) {
    std::string text;
    for (const std::string& line : wrap(sentence, options.style.width)) text += line + "\n";
    return text;
}

std::string zone_words(const plan::ZoneDose& target, plan::PanelFor which) {
    if (which == plan::PanelFor::mean) return "the mean of the shell's zones";
    return fmt::format("the shell's {} zone, {}", panel_for_name(which), one_line(target.zone));
}

Json json_of(const cure::Band& band) { return {{"at_low", band.at_low}, {"at_value", band.at_value}, {"at_high", band.at_high}}; }

}  // namespace

std::string_view panel_for_name(plan::PanelFor which) noexcept {
    switch (which) {
        case plan::PanelFor::worst:
            return "worst";
        case plan::PanelFor::mean:
            return "mean";
        case plan::PanelFor::best:
            return "best";
    }
    return "worst";
}

std::string panel_text(const plan::PanelPlan& plan, const plan::ZoneDose& target, plan::PanelFor which,
                       const TextOptions& options) {
    if (!plan.found)
        return wrapped(
            fmt::format("No cycle was found that gives the panel the dose of {}, {:.2f}: at {} and above the shortest hold "
                        "is too much or the longest too little.",
                        zone_words(target, which), target.dose.at_value,
                        format_temperature(plan.coolest_tried_k, options.units, 0)),
            options);
    std::string text = wrapped(
        fmt::format("Set {}, hold {}: the panel then gets the dose of {}.", format_temperature(plan.setpoint_k, options.units, 0),
                    format_minutes(plan.hold_s), zone_words(target, which)),
        options);
    text += "\n" + cycle_text(plan.prediction.stages, options) + "\n";
    text +=
        wrapped(fmt::format("Dose of the panel {:.2f} ({:.2f} to {:.2f}), of the shell {:.2f} ({:.2f} to {:.2f}); in brackets at "
                            "either end of the activation energy's band, where the two may differ: the panel arrives sooner.",
                            plan.dose.at_value, plan.dose.least(), plan.dose.most(), target.dose.at_value, target.dose.least(),
                            target.dose.most()),
                options);
    return text;
}

Json document_of(const plan::PanelPlan& plan, const plan::ZoneDose& target, plan::PanelFor which) {
    return document("bakewright.test-panel", {{"found", plan.found},
                                              {"for", std::string(panel_for_name(which))},
                                              {"zone", target.zone.empty() ? Json(nullptr) : Json(target.zone)},
                                              {"target_dose", json_of(target.dose)},
                                              {"setpoint_k", plan.found ? Json(plan.setpoint_k) : Json(nullptr)},
                                              {"hold_s", plan.found ? Json(plan.hold_s) : Json(nullptr)},
                                              {"dose", plan.found ? json_of(plan.dose) : Json(nullptr)},
                                              {"stages", stages_of(plan.cycle)},
                                              {"prediction", plan.found ? fields_of(plan.prediction, false) : Json(nullptr)}});
}

}  // namespace bakewright::report
