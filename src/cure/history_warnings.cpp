#include <algorithm>

#include "bakewright/cure/readings.hpp"
#include "bakewright/cure/reason.hpp"
#include "heat_warnings.hpp"
#include "history_parts.hpp"
#include "history_times.hpp"

namespace bakewright::cure {
namespace {

bool baked_between(const ShellHistory& history, const std::string& zone, double from_s, double until_s) {
    return std::any_of(history.bakes.begin(), history.bakes.end(), [&](const HistoryBake& bake) {
        return takes_part(bake, zone) && bake.began_at_s >= from_s && bake.began_at_s < until_s;
    });
}

/// What is wrong with the time between two coats on a zone; nothing where it is right or the sheet says nothing.
std::optional<RecoatWarning> recoat_on(const ShellHistory& history, const Coat& coat, const Coat& next, const std::string& zone) {
    const Coating& sheet = coat.coating;
    const double waited_s = next.applied_at_s - coat.applied_at_s;
    const bool sanded = coat.sanded_at_s && *coat.sanded_at_s <= next.applied_at_s;
    const bool baked = baked_between(history, zone, coat.applied_at_s, next.applied_at_s);
    RecoatWarning warning;
    warning.coat = coat.name;
    warning.next_coat = next.name;
    warning.zones = {zone};
    warning.found_s = waited_s;
    // A sheet's shortest wait is for air drying; a bake makes up for it.
    if (sheet.recoat_minimum_s && waited_s < *sheet.recoat_minimum_s && !baked) {
        warning.accepted_s = *sheet.recoat_minimum_s;
        return warning;
    }
    if (!sheet.recoat_maximum_s || waited_s <= *sheet.recoat_maximum_s || sanded) return std::nullopt;
    warning.kind = RecoatWarningKind::recoated_too_late;
    warning.accepted_s = *sheet.recoat_maximum_s;
    return warning;
}

void add_or_join(std::vector<RecoatWarning>& warnings, RecoatWarning warning) {
    for (RecoatWarning& known : warnings)
        if (known.kind == warning.kind && known.coat == warning.coat && known.next_coat == warning.next_coat) {
            known.zones.push_back(warning.zones.front());
            return;
        }
    warnings.push_back(std::move(warning));
}

/// The first bake a coat was in on any of its zones.
const HistoryBake* first_bake(const ShellHistory& history, const Coat& coat) {
    for (const HistoryBake& bake : history.bakes)
        if (bake.began_at_s >= coat.applied_at_s &&
            std::any_of(coat.zones.begin(), coat.zones.end(), [&](const std::string& zone) { return takes_part(bake, zone); }))
            return &bake;
    return nullptr;
}

}  // namespace

std::vector<RecoatWarning> recoat_warnings(const ShellHistory& history) {
    std::vector<RecoatWarning> warnings;
    for (const Coat& coat : history.coats)
        for (const std::string& zone : coat.zones)
            if (const Coat* next = next_coat_on(history, coat, zone))
                if (std::optional<RecoatWarning> warning = recoat_on(history, coat, *next, zone))
                    add_or_join(warnings, *std::move(warning));
    for (RecoatWarning& warning : warnings) warning.reason = reason_text(warning);
    return warnings;
}

std::vector<CoatHeatWarning> coat_heat_warnings(const ShellHistory& history) {
    std::vector<CoatHeatWarning> warnings;
    for (const Coat& coat : history.coats) {
        const HistoryBake* bake = first_bake(history, coat);
        const Trace* air = bake == nullptr ? nullptr : find_booth_air(*bake);
        if (air == nullptr) continue;
        const std::optional<double> heat_s = heat_on_s(*air);
        if (!heat_s) continue;
        const double after_spraying_s = bake->began_at_s + *heat_s - coat.applied_at_s;
        for (HeatWarning& warning : flash_off_warnings(after_spraying_s, coat.coating)) {
            warning.at_s = *heat_s;
            warnings.push_back({coat.name, bake->name, std::move(warning), {}});
            warnings.back().reason = reason_text(warnings.back());
        }
    }
    return warnings;
}

}  // namespace bakewright::cure
