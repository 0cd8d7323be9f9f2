#include "bakewright/report/sequence_text.hpp"

#include <fmt/core.h>

#include "bakewright/report/plain_text.hpp"
#include "bakewright/report/plan_text.hpp"
#include "bakewright/report/remaining_text.hpp"
#include "json_records.hpp"
#include "remaining_json.hpp"

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
            text += "\n" + wrapped("No cycle does for " + one_line(bake.coat) + ".", options) +
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

}  // namespace bakewright::report
