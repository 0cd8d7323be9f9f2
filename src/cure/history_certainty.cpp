#include <algorithm>

#include "bakewright/base/error.hpp"
#include "bakewright/cure/confidence.hpp"
#include "bakewright/cure/reason.hpp"
#include "history_parts.hpp"
#include "history_times.hpp"
#include "item_offsets.hpp"
#include "judge_zone.hpp"
#include "offset_scenarios.hpp"

namespace bakewright::cure {
namespace {

class HistoryCertainty {
public:
    HistoryCertainty(const ShellHistory& history, const TraceUncertainty& standard_k)
        : history_(history), standard_k_(standard_k) {}

    [[nodiscard]] std::optional<Certainty> of(const CoatVerdict& coat, const CoatingCurves& curves) const {
        CoatOffsets offsets(curves);
        Sources sources;
        for (const BakeShare& share : coat.shares) {
            sources.note(share.source);
            if (share.source == TraceSource::nothing) continue;
            const HistoryBake& bake = history_.bakes[share.bake];
            const bool by_air = curves.coating.basis == ScheduleBasis::booth_air;
            const Trace* schedule = by_air ? find_booth_air(bake) : find_trace(bake, coat.total.zone).trace;
            offsets.add(*schedule, share.peak_temperature_k, standard_k_(share.bake, share.source, schedule->name));
        }
        if (offsets.empty()) return std::nullopt;
        return sources.marked(offsets.certainty(), coat.total.gap_may_hide_cure || coat.total.gap_may_hide_heat);
    }

    [[nodiscard]] std::optional<Certainty> of(const ItemHistoryVerdict& item) const {
        std::vector<ExposureLimit> limits;
        for (const LimitReading& reading : item.total.limits) limits.push_back(reading.limit);
        ItemOffsets offsets(std::move(limits));
        Sources sources;
        for (std::size_t i = 0; i < item.aboard.size(); ++i) {
            sources.note(item.sources[i]);
            if (item.sources[i] == TraceSource::nothing) continue;
            const Trace& trace = *find_trace(history_.bakes[item.aboard[i]], item.total.item).trace;
            offsets.add(trace, standard_k_(item.aboard[i], item.sources[i], trace.name));
        }
        if (offsets.empty()) return std::nullopt;
        return sources.marked(offsets.certainty(), item.total.gap_may_hide_heat);
    }

private:
    struct Sources {
        bool any_predicted = false, any_unknown = false;

        void note(TraceSource source) {
            any_predicted = any_predicted || source == TraceSource::prediction;
            any_unknown = any_unknown || source == TraceSource::nothing;
        }
        [[nodiscard]] Certainty marked(Certainty certainty, bool gap_may_hide) const {
            certainty.is_predicted = any_predicted;
            certainty.too_close = certainty.too_close || any_unknown || gap_may_hide;
            return certainty;
        }
    };

    const ShellHistory& history_;
    const TraceUncertainty& standard_k_;
};

/// A bake that nothing is known of leaves the coat in doubt, however sure the others are.
void settle_coat(CoatVerdict& coat, std::optional<Certainty> certainty) {
    if (!certainty) return;
    settle(coat.total, std::move(*certainty));
    const bool any_unknown = std::any_of(coat.shares.begin(), coat.shares.end(),
                                         [](const BakeShare& share) { return share.source == TraceSource::nothing; });
    if (any_unknown && coat.total.word == Word::under) coat.total.word = Word::check;
    coat.total.certainty->too_close = coat.total.certainty->too_close || any_unknown;
    doubt_covered(coat);
}

}  // namespace

void add_certainty(ShellVerdict& verdict, const ShellHistory& history, const TraceUncertainty& standard_k,
                   std::vector<std::string> origins) {
    const HistoryCertainty certainty(history, standard_k);
    for (std::size_t i = 0; i < history.coats.size(); ++i) {
        const CoatingCurves curves(history.coats[i].coating);
        for (CoatVerdict& coat : verdict.coats)
            if (coat.coat_index == i && coat.total.word != Word::not_judged) settle_coat(coat, certainty.of(coat, curves));
    }
    for (ItemHistoryVerdict& item : verdict.items)
        if (item.total.word != Word::not_judged && item.total.no_limit_known_of.empty())
            if (auto sure = certainty.of(item)) settle(item.total, std::move(*sure));
    verdict.uncertainty_origins = std::move(origins);
    put_in_order(verdict);
    for (CoatVerdict& coat : verdict.coats) coat.reason = reason_text(coat, verdict.bake_names, Units{});
    for (ItemHistoryVerdict& item : verdict.items) item.reason = reason_text(item, verdict.bake_names, Units{});
}

}  // namespace bakewright::cure
