// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <algorithm>
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "bakewright/base/trace.hpp"
#include "bakewright/cure/coating.hpp"
#include "bakewright/cure/rule.hpp"
#include "bakewright/cure/verdict.hpp"

/// What a shell went through: coats and bakes in the order of time. Times `..._at_s` are seconds on one clock for the whole
/// history, whatever its zero; only their order and differences count.
namespace bakewright::cure {

/// One coat (or a group sprayed wet on wet) on some zones.
struct Coat {
    std::string name;  ///< "clear, group 1"; one name and zone occur once
    Coating coating;
    std::vector<std::string> zones;  ///< at least one
    double applied_at_s = 0.0;
    std::string over;                   ///< what it lies on, in the painter's words; may be empty
    std::optional<double> sanded_at_s;  ///< not before it was applied
};

/// Where the temperatures of a zone or an item in one bake came from.
enum class TraceSource {
    log,         ///< measured: counts where there is one
    prediction,  ///< computed: stands in where nothing was measured
    nothing      ///< neither: what the bake gave there is not known
};

/// A bake the shell, a part of it or a removed panel went through. At least one set of traces; both outlive the history.
struct HistoryBake {
    std::string name;  ///< "bake 3"
    double began_at_s = 0.0;
    std::vector<std::string> zones;  ///< that took part; empty: all. A panel baked apart names its own
    std::vector<std::string> items;  ///< heat-sensitive items aboard
    const TraceSet* log = nullptr;
    const TraceSet* prediction = nullptr;
    bool planned = false;  ///< still to come: what it would do is told, what has to come out before it is named
};

struct ShellHistory {
    std::vector<Coat> coats;
    std::vector<HistoryBake> bakes;  ///< rising began_at_s
    std::vector<HeatSensitiveItem> items;
};

/// What one bake gave one coat on one zone.
struct BakeShare {
    std::size_t bake = 0;  ///< index into ShellHistory::bakes
    TraceSource source = TraceSource::nothing;
    Band dose;
    double peak_temperature_k = 0.0;  ///< 0 where the source is nothing
    Word word_after = Word::under;    ///< of the coat after this bake and all before it
};

/// A coat on one zone after all bakes. `total` holds the readings of all bakes together: doses and times added, the longest stay
/// and the hottest peak of any one bake; its moments (peak_at_s, ...) count from the start of the bake they belong to.
struct CoatVerdict {
    std::string coat;
    std::size_t coat_index = 0;
    ZoneVerdict total;
    std::vector<BakeShare> shares;                             ///< in order of time
    std::optional<std::size_t> peak_in, cured_in, over_since;  ///< indices into ShellHistory::bakes
    std::string covered_by;  ///< the next coat, where it went on before this one was cured; else empty
    std::string reason;      ///< one sentence in degrees Celsius; see reason_text()
};

/// An item after all bakes it was aboard. Limits over a lifetime count the sum, limits of one bake the worst bake.
struct ItemHistoryVerdict {
    ItemVerdict total;
    std::vector<std::size_t> aboard;       ///< indices into ShellHistory::bakes
    std::vector<Word> word_after;          ///< one for each of them
    std::vector<TraceSource> sources;      ///< one for each of them
    std::optional<std::size_t> passed_in;  ///< the first bake after which a limit was passed
    /// The first planned bake that passes a limit or comes near one, or has no trace of it.
    std::optional<std::size_t> remove_before;
    std::string reason;
};

enum class RecoatWarningKind { recoated_too_soon, recoated_too_late };
/// A coat that went over another outside of that one's recoat window, with no bake in between for too soon, not sanded for too
/// late.
struct RecoatWarning {
    RecoatWarningKind kind = RecoatWarningKind::recoated_too_soon;
    std::string coat, next_coat;
    std::vector<std::string> zones;
    double found_s = 0.0, accepted_s = 0.0;
    std::string reason;
};

/// A coat whose first bake came too soon or too late after it was sprayed; as HeatWarning, counted from the spraying.
struct CoatHeatWarning {
    std::string coat, bake;
    HeatWarning warning;
    std::string reason;
};

struct ShellVerdict {
    std::vector<std::string> bake_names;    ///< of ShellHistory::bakes
    std::vector<CoatVerdict> coats;         ///< worst first
    std::vector<ItemHistoryVerdict> items;  ///< worst first
    std::vector<RecoatWarning> recoats;
    std::vector<CoatHeatWarning> heat_warnings;
    std::vector<std::string> questions;  ///< what must be answered before it is trusted, whatever the words say
    std::vector<std::string> remarks;
    std::vector<std::string> uncertainty_origins;  ///< what the certainties rest on; empty without any

    /// The worst word of coats and items; not judged where there is neither.
    [[nodiscard]] Word worst() const noexcept;
};

/// Everything wrong with a history: bakes out of order, bakes of one zone that overlap, a coat sprayed while its zone was in a
/// bake, sanding before spraying, a coat twice on one zone, a bake without traces, an item aboard that nobody knows. Keys are
/// paths such as "bake[2].began_at" and "coat[0].zones".
[[nodiscard]] std::vector<Problem> problems_in(const ShellHistory& history);

/// The sentence behind a verdict; see reason.hpp.
/// @param bake_names  of the history, as in ShellVerdict
[[nodiscard]] std::string reason_text(const CoatVerdict& verdict, const std::vector<std::string>& bake_names, const Units& units);
[[nodiscard]] std::string reason_text(const ItemHistoryVerdict& verdict, const std::vector<std::string>& bake_names,
                                      const Units& units);
[[nodiscard]] std::string reason_text(const RecoatWarning& warning);
[[nodiscard]] std::string reason_text(const CoatHeatWarning& warning);

/// The last moment of a bake that was logged or predicted.
[[nodiscard]] inline double ended_at_s(const HistoryBake& bake) {
    // Where there is a log, the booth was opened when it ended, whatever was predicted.
    const TraceSet* traces = bake.log != nullptr ? bake.log : bake.prediction;
    return bake.began_at_s + (traces == nullptr ? 0.0 : traces->end_s());
}

[[nodiscard]] inline bool named(const std::vector<std::string>& names, const std::string& name) {
    return std::find(names.begin(), names.end(), name) != names.end();
}

[[nodiscard]] inline bool takes_part(const HistoryBake& bake, const std::string& zone) {
    return bake.zones.empty() || named(bake.zones, zone);
}

[[nodiscard]] inline bool share_a_zone(const HistoryBake& one, const HistoryBake& other) {
    if (one.zones.empty() || other.zones.empty()) return true;
    return std::any_of(one.zones.begin(), one.zones.end(), [&](const std::string& zone) { return named(other.zones, zone); });
}

/// Two usable samples or more; not so of null.
[[nodiscard]] bool can_be_judged(const Trace* trace);

/// A trace by name and where it came from: the log's where it can be judged, else the prediction's.
struct FoundTrace {
    const Trace* trace = nullptr;
    TraceSource source = TraceSource::nothing;
};
[[nodiscard]] FoundTrace find_trace(const HistoryBake& bake, const std::string& name);
/// The booth air, by its role, from the log before the prediction.
[[nodiscard]] const Trace* find_booth_air(const HistoryBake& bake);

/// The coat that went onto a zone next after one; of two at the same time the one listed first. Null where it is the last.
/// @param coat  a member of history.coats
[[nodiscard]] const Coat* next_coat_on(const ShellHistory& history, const Coat& coat, const std::string& zone);

/// Coats and items, worst first.
void put_in_order(ShellVerdict& verdict);
/// A coat that was covered before it was cured is CHECK where it would be GOOD.
void doubt_covered(CoatVerdict& coat);

}  // namespace bakewright::cure
