#include <algorithm>

#include "bakewright/base/error.hpp"
#include "bakewright/cure/confidence.hpp"
#include "history_times.hpp"
#include "item_offsets.hpp"
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

}  // namespace

void add_certainty(ShellVerdict& verdict, const ShellHistory& history, const TraceUncertainty& standard_k,
                   std::vector<std::string> origins) {
    const HistoryCertainty certainty(history, standard_k);
    for (std::size_t i = 0; i < history.coats.size(); ++i) {
        const CoatingCurves curves(history.coats[i].coating);
        for (CoatVerdict& coat : verdict.coats)
            if (coat.coat_index == i && coat.total.word != Word::not_judged) coat.total.certainty = certainty.of(coat, curves);
    }
    for (ItemHistoryVerdict& item : verdict.items)
        if (item.total.word != Word::not_judged && item.total.no_limit_known_of.empty())
            item.total.certainty = certainty.of(item);
    verdict.uncertainty_origins = std::move(origins);
}

}  // namespace bakewright::cure
