#include "bakewright/report/finish_text.hpp"

#include <fmt/format.h>

#include "bakewright/cure/reason.hpp"
#include "bakewright/report/plain_text.hpp"
#include "json_records.hpp"

namespace bakewright::report {
namespace {

std::string wrapped(const std::string& sentence, const TextOptions& options) {
    std::string text;
    for (const std::string& line : wrap(sentence, options.style.width)) text += line + "\n";
    return text;
}

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

std::string broken_text(const plan::BrokenBake& broken, const std::vector<cure::ZoneVerdict>& open,
                        const plan::PlanOptions& asked, const TextOptions& options) {
    std::string text =
        wrapped(fmt::format("The bake was cut after {}. Measured: {}; the rest by the model, driven by the measured air.",
                            format_duration(broken.lasted_s), fmt::join(broken.measured, ", ")),
                options);
    if (open.empty()) return text + wrapped("Every coated zone is cured: nothing more is needed.", options);
    text += "\n" + table_block("Not yet cured", open_zones(broken, open, options.units), options) + "\n";
    return text + wrapped(first_things(asked), options) + wrapped(kNewStay, options);
}

Json document_of(const plan::BrokenBake& broken) {
    return document("bakewright.finished", {{"lasted_s", broken.lasted_s}, {"measured", broken.measured}});
}

}  // namespace bakewright::report
