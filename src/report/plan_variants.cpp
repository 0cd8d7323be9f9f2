// SPDX-License-Identifier: Apache-2.0
#include "bakewright/report/plan_variants.hpp"

#include <fmt/core.h>
#include <fmt/format.h>

#include "bakewright/cure/reason.hpp"
#include "bakewright/report/plain_text.hpp"
#include "bakewright/report/plan_text.hpp"
#include "bakewright/report/shell_text.hpp"
#include "json_records.hpp"

namespace bakewright::report {

namespace {

std::string wrapped(const std::string& sentence, const TextOptions& options) {
    std::string text;
    for (const std::string& line : wrap(sentence, options.style.width)) text += line + "\n";
    return text;
}

Table bake_table(const plan::SequencePlan& plan, const Units& units) {
    Table table({{"bake", Align::right},
                 {"coat", Align::left, true},
                 {fmt::format("set point\n{}", temperature_symbol(units)), Align::right},
                 {"hold", Align::right},
                 {"whole\ncycle", Align::right},
                 {"margin", Align::right}});
    int number = 0;
    for (const plan::SequenceBake& bake : plan.bakes) {
        ++number;
        if (!bake.plan.feasible) {
            table.add({std::to_string(number), one_line(bake.coat), "", Cell("none", Mark::alarm), "", ""});
            continue;
        }
        const plan::Candidate& at = *bake.plan.chosen;
        table.add({std::to_string(number), one_line(bake.coat), fmt::format("{:.0f}", temperature_in(at.setpoint_k, units)),
                   format_duration(*at.hold_s), format_duration(at.booth_time_s),
                   format_temperature_difference(at.margin_k, units)});
    }
    return table;
}

}  // namespace

std::string sequence_text(const plan::SequencePlan& plan, const TextOptions& options) {
    std::string text = table_block("The sequence", bake_table(plan, options.units), options);
    if (plan.is_sparing)
        text += wrapped(
            "Cycles as asked for would leave too little for a later bake: each bake takes the cycle that uses the smallest "
            "share of what coats and items are allowed.",
            options);
    for (const plan::SequenceBake& bake : plan.bakes)
        for (const std::string& finding : findings_of(bake.plan, options.units))
            text += wrapped(one_line(bake.coat) + ": " + finding, options);
    for (const plan::SequenceBake& bake : plan.bakes) {
        if (bake.plan.feasible)
            text += "\n" + table_block("Left after the bake of " + one_line(bake.coat),
                                       remaining_table(bake.after, options.units), options);
        else
            text += "\n" + wrapped("No cycle works for " + one_line(bake.coat) + ".", options) +
                    wrapped(conflict_sentences(bake.plan, options.units), options);
    }
    return text;
}

Json document_of(const plan::SequencePlan& plan) {
    Json bakes = Json::array();
    for (const plan::SequenceBake& bake : plan.bakes) {
        const bool found = bake.plan.feasible;
        bakes.push_back({{"coat", bake.coat},
                         {"feasible", found},
                         {"word", found ? Json(std::string(cure::word_text(bake.plan.verdict.worst()))) : Json(nullptr)},
                         {"stages", stages_of(bake.plan.cycle)},
                         {"setpoint_k", found ? Json(bake.plan.chosen->setpoint_k) : Json(nullptr)},
                         {"hold_s", found ? Json(*bake.plan.chosen->hold_s) : Json(nullptr)},
                         {"booth_time_s", found ? Json(bake.plan.chosen->booth_time_s) : Json(nullptr)},
                         {"margin_k", found ? Json(bake.plan.chosen->margin_k) : Json(nullptr)},
                         {"after", found ? remaining_json(bake.after) : Json(nullptr)}});
    }
    return document("bakewright.sequence",
                    {{"feasible", plan.feasible}, {"is_sparing", plan.is_sparing}, {"bakes", std::move(bakes)}});
}

namespace {

std::string zone_words(const plan::ZoneDose& target, plan::PanelFor which) {
    if (which == plan::PanelFor::mean) return "the mean of the shell's zones";
    return fmt::format("the shell's {} zone, {}", panel_for_name(which), one_line(target.zone));
}

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

namespace {

Table open_zones(const plan::BrokenBake& broken, const std::vector<cure::ZoneVerdict>& open, const Units& units) {
    Table table({{"zone"}, {fmt::format("now\n{}", temperature_symbol(units)), Align::right}, {"had", Align::left, true}});
    for (const cure::ZoneVerdict& zone : open) {
        const Trace* trace = broken.so_far.find(zone.zone);
        table.add({one_line(zone.zone),
                   trace == nullptr ? "" : fmt::format("{:.1f}", temperature_in(trace->temperature_k.back(), units)),
                   cure::reason_text(zone, units)});
    }
    return table;
}

std::string first_things(const plan::PlanOptions& asked) {
    std::string text;
    if (asked.wait_s > 0.0) text += fmt::format("The booth has stood for {}. ", format_duration(asked.wait_s));
    if (asked.purge_s <= 0.0) return text + "The booth purges its vapour by itself before the burner may light.";
    return text + fmt::format(
                      "Vapour purge first, {}: the burner may not light before. How long, the booth's maker and local code "
                      "say.",
                      format_duration(asked.purge_s));
}

constexpr const char* kNewStay =
    "Minutes of separate holds do not add up: the sheet wants one unbroken hold, so this plans a full new one.";

}  // namespace

std::vector<std::string> broken_sentences(const plan::BrokenBake& broken, const std::vector<cure::ZoneVerdict>& open,
                                          const plan::PlanOptions& asked) {
    std::string cut = fmt::format("The bake was cut after {}. Measured: {}; the rest by the model, driven by the measured air.",
                                  format_duration(broken.lasted_s), fmt::join(broken.measured, ", "));
    if (open.empty()) return {"Every coated zone is cured: nothing more is needed.", std::move(cut)};
    return {first_things(asked), std::move(cut), fmt::format("{} zones are not cured yet. {}", open.size(), kNewStay)};
}

std::string broken_zones_text(const plan::BrokenBake& broken, const std::vector<cure::ZoneVerdict>& open,
                              const TextOptions& options) {
    return open.empty() ? std::string() : table_block("Not yet cured", open_zones(broken, open, options.units), options);
}

Json document_of(const plan::BrokenBake& broken) {
    return document("bakewright.finished", {{"lasted_s", broken.lasted_s}, {"measured", broken.measured}});
}

}  // namespace bakewright::report
