// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/plan/place_task.hpp"

/// Where probes go: the one answer that plan, probe-advice, the bake card and the page give.
namespace bakewright::plan {

/// Why a probe goes somewhere.
enum class PlaceReason {
    tells,         ///< it takes away doubt
    weakest_item,  ///< the item nearest to its limit, for its own sake
    air_high,      ///< the booth's air under the ceiling
    air_low,       ///< and near the floor
    test_panel
};
constexpr std::array<std::string_view, 5> words_of(PlaceReason) noexcept {
    return {"tells most", "weakest item", "booth air, high", "booth air, low", "test panel"};
}

/// A place for a probe. Standard deviations before and after it count the probes before it in the list.
struct ProbePlace {
    std::string zone{};      ///< name of its trace: zone, strip of one, cavity, item, wall; empty for air high and low
    std::string strip_of{};  ///< the zone that it is a strip of; else empty
    PlaceReason reason = PlaceReason::tells;
    /// Of the variance of what is asked, 0 to 1, that goes with it and those before it together.
    double share = 0.0;
    double own_before_k = 0.0, own_after_k = 0.0;  ///< of its own temperature, root mean square over the bake
    double aim_before = 0.0, aim_after = 0.0;      ///< of what is asked: seconds of hold, or kelvins; root mean square
    std::string teaches{};                         ///< what is known so much better by it, for people

    [[nodiscard]] bool is_for_safety() const noexcept { return reason != PlaceReason::tells; }
};

/// What calibrating the probes is worth beside having more of them.
struct CalibrationWorth {
    std::size_t probes = 0;                    ///< so many, calibrated to kCalibratedStandardK
    std::optional<std::size_t> as_they_are{};  ///< tell as much as so many as they are; nothing: more than one on every place
    std::size_t places = 0;                    ///< that there are
};
struct ProbePlaces {
    ProbeAim aim = ProbeAim::learning;  ///< as answered: learning where no zone comes near being cured, or there is no item
    std::vector<ProbePlace> places;     ///< those that tell most, then those for safety
    std::vector<ProbePlace> next;       ///< every place, were it the only one beside those that have a probe: best first
    std::optional<CalibrationWorth> calibration;     ///< nothing where nothing is open, or the probes are as good as calibrated
    double residual_k = 0.0, residual_time_s = 0.0;  ///< as calculated with
    std::string residual_origin;                     ///< where they are from, for people
};

/// The places where so many probes together take away most of what is not known of the answer that is asked, once they have
/// logged the bake, a sample a minute. Everything that an ensemble varies is not known (bake::MemberSpace), the model's own
/// errors among it, with the spread that they have over all their sizes; temperatures are linear in it. The booth's air is logged
/// in any case. With C the covariance of those numbers, g the slopes of what is asked and J those of the readings, whitened,
///
///     C' = C - C J^T (1 + J C J^T)^-1 J C,   and  sum g C' g^T  is to be least.
///
/// Places are added one by one, each where it then tells most; then each is exchanged for any other as long as that helps. A
/// reading's error is the probe's offset and a first-order series: covariance residual_k^2 exp(-|t - t'| / residual_time_s)
/// (Bayley & Hammersley, J. R. Stat. Soc. Suppl. 8 (1946) 184).
/// A zone's need of hold is what its credit lacks over the rate at its peak, the rate read through what is not known of the
/// temperature; a zone counts as often as 512 draws have it the last. Source: I-optimal design (Atkinson, Donev & Tobias,
/// Optimum Experimental Designs, with SAS (2007), ch. 10; exchange after Fedorov, ch. 12; from memory).
/// @throws InputError for records with problems, a probed place that there is not, an aim without a coating; SolveError
[[nodiscard]] ProbePlaces probe_places(const PlaceTask& task, const PlaceOptions& options = {});

}  // namespace bakewright::plan
