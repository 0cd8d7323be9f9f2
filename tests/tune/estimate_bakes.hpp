// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <cstdint>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "bakewright/bake/members.hpp"
#include "bakewright/cure/coating.hpp"
#include "bakewright/tune/estimate.hpp"

/// Bakes of the demo van that are invented with a truth drawn from what is believed of it, logged by probes with errors.
namespace bakewright::test {

/// How the truth differs from what the estimate is told.
struct TruthMaking {
    std::uint64_t seed = 1;
    double own_air_k = 0.0;                   ///< standard deviation of each zone's own air, in full
    double colder_walls_k = 0.0;              ///< walls, ceiling and floor lie so much lower, in full
    std::size_t probed = 8;                   ///< zones with a probe, drawn anew for each bake
    double probe_standard_k = 1.4;            ///< offset of each probe, and of the air's
    std::optional<tune::ProbeFault> fault{};  ///< of the first probe; exchanged: with the second
    double late_s = 0.0;                      ///< the heat comes on so much later than the cycle has it
    struct Dip {
        double from_s = 0.0, until_s = 0.0, depth_k = 0.0;
    };
    std::optional<Dip> dip{};  ///< of the air: at once, such as a door that opens
};

struct MadeBake {
    tune::TuneTask task;              ///< with one log
    TraceSet truth;                   ///< of every zone, every 30 s
    std::vector<std::string> probed;  ///< the first has the fault
    bake::Uncertainty prior;
};

/// The demo van in its booth. @throws InputError
struct DemoVan {
    DemoVan();
    bake::Shell shell;
    bake::Booth booth;
    bake::Cycle cycle;
    cure::Coating coating;
    std::vector<std::string> coated;
};

[[nodiscard]] MadeBake made_bake(const DemoVan& van, const TruthMaking& making);

/// How an estimate met the truth, for zones with a probe and without.
struct Score {
    double inside = 0.0, moments = 0.0;                       ///< moments of traces within the 90 % band
    double square_k2 = 0.0, band_k = 0.0;                     ///< sums over the moments
    double peak_inside = 0.0, hot_inside = 0.0, zones = 0.0;  ///< peak, and minutes at 50 degC or more, within their bands
    [[nodiscard]] double coverage() const { return inside / moments; }
    [[nodiscard]] double rms_k() const;
    [[nodiscard]] double mean_band_k() const { return band_k / moments; }
    void add(const Score& other);
};
struct BakeScore {
    Score probed, unprobed;
};
/// @param drawn  empty: members as before any log
[[nodiscard]] BakeScore score_of(const DemoVan& van, const MadeBake& made, const tune::BakeEstimate& estimate);

}  // namespace bakewright::test
