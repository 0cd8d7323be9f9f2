// SPDX-License-Identifier: Apache-2.0
#include "bakewright/services/live_score.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "bakewright/base/units.hpp"
#include "bakewright/cure/course.hpp"
#include "bakewright/cure/readings.hpp"
#include "bakewright/report/text.hpp"
#include "bakewright/services/estimated.hpp"
#include "bakewright/tune/phases.hpp"

namespace bakewright::services {

std::vector<report::CheckedMinute> minutes_against(const SaidAtMidHold& said, const StoredBake& finished,
                                                   const cure::Coating& coating) {
    std::string why_not;
    const auto estimated = estimate_of(finished, coating, {}, why_not);
    std::vector<report::CheckedMinute> minutes;
    if (!estimated) return minutes;
    for (const SaidAtMidHold::Zone& zone : said.zones) {
        const Trace* course = estimated->traces.find(zone.zone);
        if (course == nullptr || !zone.good.median_s) continue;
        const std::optional<double> came_s = cure::zone_course(*course, coating).cured_from_s;
        if (!came_s || *came_s <= said.at_s) continue;
        // An end of the band that nobody can tell yet lies in no time that is looked ahead: what came is on this side of it.
        const bool is_inside = *came_s >= zone.good.low_s.value_or(*came_s) && *came_s <= zone.good.high_s.value_or(*came_s);
        minutes.push_back({zone.zone, zone.known_from != cure::KnownFrom::estimated, *came_s - *zone.good.median_s, is_inside});
    }
    return minutes;
}

std::vector<std::string> said_against_came(const SaidAtMidHold& said, const StoredBake& finished, const cure::Coating& coating) {
    const std::string at = report::elapsed_text(said.at_s);
    const std::vector<report::CheckedMinute> minutes = minutes_against(said, finished, coating);
    if (minutes.empty())
        return {fmt::format("Of what was said at {} no zone's minute came to be told: none was cured after it.", at)};
    const auto inside = std::count_if(minutes.begin(), minutes.end(), [](const auto& minute) { return minute.is_inside; });
    const auto worst = std::max_element(minutes.begin(), minutes.end(), [](const auto& one, const auto& other) {
        return std::abs(one.later_s) < std::abs(other.later_s);
    });
    return {fmt::format("What was said at {} (mid-hold) against what came, by the estimate of the whole log: {} of {} zones were "
                        "good within the band that was told.",
                        at, inside, minutes.size()),
            fmt::format("Farthest off: {}, {:.0f} min {} than said.", worst->zone, std::abs(worst->later_s) / kSecondPerMinute,
                        worst->later_s > 0.0 ? "later" : "sooner")};
}

std::optional<SaidAtMidHold> foretold_at_mid_hold(const StoredBake& finished, LiveOptions options) {
    const Trace* air = finished.traces.first(TraceRole::booth_air);
    if (air == nullptr || air->time_s.empty() || !finished.booth) return std::nullopt;
    if (!options.cycle) options.cycle = finished.cycle;
    const std::vector<bake::ResolvedStage> stages =
        options.cycle ? bake::resolve(*options.cycle, *finished.booth) : std::vector<bake::ResolvedStage>{};
    const std::vector<tune::PhaseSpan> phases = tune::recognise_phases(*air, cure::heat_on_s(*air), stages);
    const auto hold = std::find_if(phases.rbegin(), phases.rend(),
                                   [](const tune::PhaseSpan& phase) { return phase.kind == bake::StageKind::hold; });
    if (hold == phases.rend()) return std::nullopt;
    StoredBake so_far = finished;
    cut_off_at(so_far, (hold->from_s + hold->until_s) / 2.0);
    const report::LiveState state = LiveBake(std::move(options)).update(so_far);
    if (!state.is_known) return std::nullopt;
    return said_in(state);
}

}  // namespace bakewright::services
