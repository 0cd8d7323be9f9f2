// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "bakewright/bake/cycle.hpp"
#include "bakewright/bake/track_record.hpp"
#include "bakewright/book/book.hpp"
#include "bakewright/book/ids.hpp"
#include "bakewright/plan/ensemble.hpp"
#include "bakewright/report/live.hpp"
#include "bakewright/services/live_seconds.hpp"
#include "bakewright/services/live_warnings.hpp"
#include "bakewright/services/stored_bake.hpp"
#include "bakewright/tune/estimate.hpp"
#include "bakewright/tune/forecast.hpp"

/// Knowing while it bakes: the state of a bake from its log so far.
namespace bakewright::services {

struct LiveOptions {
    std::optional<bake::Cycle>
        cycle{};                 ///< that is set; absent: the one kept with the bake, or with the prediction it is the log of
    bake::TrackRecord record{};  ///< of the booth, as judging takes it (booth_record()): its bands are then alike
    std::vector<double> earlier_evidence{};         ///< of the book's other bakes, likewise (evidence.hpp)
    std::optional<double> setpoint_k{};             ///< set now, in place of what the cycle still has
    std::size_t member_count = plan::kMemberCount;  ///< 40 to 1000
    std::size_t thread_count = 0;                   ///< 0: one a core
    bool moves_each_second = false;                 ///< LiveBake::seconds() is there after each update
};

/// A recording as far as its samples are kept: its traces, and behind them what came since they were brought up to date.
/// @throws InputError where there is no such bake; BookError
[[nodiscard]] StoredBake recorded_so_far(book::Book& book, book::BakeId bake);
/// The cycle of the prediction that a bake is the log of; nothing where it has none.
[[nodiscard]] std::optional<bake::Cycle> cycle_set_for(book::Book& book, const StoredBake& bake);

/// Leaves out what came later than a time since the start, as if it had not come yet.
void cut_off_at(StoredBake& bake, double time_s);

/// What was foretold at mid-hold, to be held against what came.
struct SaidAtMidHold {
    double at_s = 0.0;  ///< when it was said
    std::optional<double> heat_off_s{};
    struct Zone {
        std::string zone;
        cure::KnownFrom known_from = cure::KnownFrom::estimated;
        report::LiveMoment good{};
    };
    std::vector<Zone> zones{};
};
[[nodiscard]] SaidAtMidHold said_in(const report::LiveState& state);

/// Follows one bake from update to update: each begins where the last one ended. To be used from one thread at a time.
class LiveBake {
public:
    explicit LiveBake(LiveOptions options) : options_(std::move(options)) {}

    /// How the bake stands by its log so far. What cannot be told says why in the record; nothing is thrown for it.
    [[nodiscard]] report::LiveState update(const StoredBake& so_far);
    /// Warnings that this update raised or cleared.
    [[nodiscard]] const std::vector<report::LiveWarning>& changes() const noexcept { return changes_; }
    /// How it moves from the newest update on; null where it is not known, or nobody asked for it. Another thread may use it
    /// while the next update is made.
    [[nodiscard]] const std::shared_ptr<LiveSeconds>& seconds() const noexcept { return seconds_; }
    /// Nothing before mid-hold: the first update at which half of the hold that was foretold when it began is past.
    [[nodiscard]] const std::optional<SaidAtMidHold>& said() const noexcept { return said_; }

private:
    std::optional<tune::Forecast> foretold(const StoredBake& so_far, const std::optional<bake::Cycle>& cycle,
                                           report::LiveState& state);
    void note_mid_hold(const report::LiveState& state);

    LiveOptions options_;
    std::optional<tune::EstimatePoint> from_{};
    std::optional<tune::ForecastTraces> on_{};  ///< of the update at hand
    std::shared_ptr<LiveSeconds> seconds_{};
    WarningBoard board_;
    std::vector<report::LiveWarning> changes_;
    std::size_t updates_ = 0;
    std::optional<double> hold_ends_s_{};  ///< as foretold when the hold began
    std::optional<SaidAtMidHold> said_{};
};

}  // namespace bakewright::services
