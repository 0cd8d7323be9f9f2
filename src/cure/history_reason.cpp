#include <fmt/format.h>

#include <algorithm>

#include "bakewright/cure/reason.hpp"

namespace bakewright::cure {
namespace {

std::string moment_text(const CoatVerdict& verdict, const std::vector<std::string>& bake_names) {
    if (verdict.shares.empty()) return "has been in no bake yet";
    if (verdict.over_since)
        return verdict.cured_in && *verdict.cured_in != *verdict.over_since
                   ? fmt::format("cured in {}, past its maximum since {}", bake_names[*verdict.cured_in],
                                 bake_names[*verdict.over_since])
                   : fmt::format("past its maximum since {}", bake_names[*verdict.over_since]);
    return verdict.cured_in ? fmt::format("cured in {}", bake_names[*verdict.cured_in]) : "";
}

std::string sources_text(const CoatVerdict& verdict, const std::vector<std::string>& bake_names) {
    std::string text;
    for (const BakeShare& share : verdict.shares)
        if (share.source != TraceSource::log)
            text += fmt::format("{}{} ({})", text.empty() ? "" : ", ", bake_names[share.bake],
                                share.source == TraceSource::prediction ? "predicted" : "not known");
    return text;
}

/// Names in a row: "roof, sill and 3 more".
std::string some_of(const std::vector<std::string>& names) {
    constexpr std::size_t kMost = 3;
    const std::size_t count = std::min(names.size(), kMost);
    const std::string some =
        fmt::format("{}", fmt::join(names.begin(), names.begin() + static_cast<std::ptrdiff_t>(count), ", "));
    return names.size() > kMost ? fmt::format("{} and {} more", some, names.size() - kMost) : some;
}

}  // namespace

std::string reason_text(const CoatVerdict& verdict, const std::vector<std::string>& bake_names, const Units& units) {
    std::string text = moment_text(verdict, bake_names);
    if (!verdict.shares.empty()) {
        const std::string readings = reason_text(verdict.total, units);
        text = text.empty() ? readings : text + ": " + readings;
    }
    if (!verdict.covered_by.empty()) text += fmt::format("; it was not cured when '{}' went over it", verdict.covered_by);
    const std::string sources = sources_text(verdict, bake_names);
    if (!sources.empty()) text += "; not measured in " + sources;
    return text;
}

std::string reason_text(const ItemHistoryVerdict& verdict, const std::vector<std::string>& bake_names, const Units& units) {
    if (verdict.aboard.empty()) return "has been in no bake";
    std::string text;
    if (verdict.remove_before) text = fmt::format("take it out before {}, or bake cooler: ", bake_names[*verdict.remove_before]);
    bool unseen = false;
    for (const TraceSource source : verdict.sources) unseen = unseen || source == TraceSource::nothing;
    if (unseen && verdict.total.peak_temperature_k == 0.0) return text + "nothing was measured or predicted for it";
    text += reason_text(verdict.total, units);
    if (verdict.passed_in && verdict.passed_in != verdict.remove_before)
        text += fmt::format(", since {}", bake_names[*verdict.passed_in]);
    if (unseen) text += "; in some bakes nothing was measured or predicted for it";
    return text;
}

std::string reason_text(const RecoatWarning& warning) {
    const bool soon = warning.kind == RecoatWarningKind::recoated_too_soon;
    return fmt::format("'{}' went over '{}' after {}, its sheet {} {}{} ({})", warning.next_coat, warning.coat,
                       format_duration(warning.found_s), soon ? "asks for" : "allows", format_duration(warning.accepted_s),
                       soon ? " at least and it was not baked between" : " at most without sanding", some_of(warning.zones));
}

std::string reason_text(const CoatHeatWarning& warning) {
    const bool soon = warning.warning.kind == HeatWarningKind::heated_too_soon;
    return fmt::format("in {} the heat came on {} after '{}' was sprayed, its sheet {} a flash-off of {} {}", warning.bake,
                       format_duration(warning.warning.found), warning.coat, soon ? "asks for" : "allows",
                       format_duration(warning.warning.accepted), soon ? "at least" : "at most: the skin may have closed");
}

}  // namespace bakewright::cure
