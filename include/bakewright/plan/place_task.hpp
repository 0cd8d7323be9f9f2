// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/bake/booth.hpp"
#include "bakewright/bake/built_network.hpp"
#include "bakewright/bake/cycle.hpp"
#include "bakewright/bake/shell.hpp"
#include "bakewright/bake/uncertainty.hpp"
#include "bakewright/cure/coating.hpp"

/// What is asked of where probes go.
namespace bakewright::plan {

/// What one wants to know better of a bake.
enum class ProbeAim {
    hold,     ///< how long the hold has to be: the zones that may decide it, each as often as it does
    cure,     ///< how far every coated zone is cured
    items,    ///< how hot the items get, each as often as it is the one nearest to its limit
    learning  ///< the whole course of every coated zone
};
constexpr std::array<std::string_view, 4> words_of(ProbeAim) noexcept { return {"hold", "cure", "items", "learning"}; }

/// What an ice bath and a warm one leave of a probe's offset [K], 1 standard deviation: common practice, no source.
inline constexpr double kCalibratedStandardK = 0.3;
/// Offset of a thermocouple that nobody calibrated [K]: 2.5 K / sqrt(3), type K class 2 (IEC 60584-1:2013; GUM 4.3.7).
inline constexpr double kUsualProbeStandardK = 1.4434;
/// Where nothing was tuned: common practice, no source. Tuned on the rods of docs/real-logs.md 1.2 K are left that stay alike for
/// an hour, on the demo's invented log 0.2 K for a minute; a booth lies between.
inline constexpr double kUsualResidualK = 0.5, kUsualResidualS = 600.0;
/// So many places are named where nobody asks for more or fewer.
inline constexpr std::size_t kUsualPlaces = 4;

struct PlaceOptions {
    ProbeAim aim = ProbeAim::hold;
    bake::Uncertainty uncertainty{};
    double probe_standard_k = kUsualProbeStandardK;  ///< of a probe's offset, > 0
    /// What a sample differs by from the best model, > 0, and how long that stays alike, >= 0: what was left when shell or booth
    /// were tuned, else kUsualResidualK and kUsualResidualS.
    std::optional<double> residual_k{}, residual_time_s{};
    std::vector<std::string> probed{};  ///< places that have a probe already
    std::size_t most = kUsualPlaces;    ///< places that tell most; those for safety come besides
    bake::PredictOptions predict{};     ///< its start counts
    std::size_t thread_count = 0;       ///< 0: one a core. The answer does not depend on it
};

/// What is asked about. Refers to the caller's records.
struct PlaceTask {
    const bake::Shell& shell;
    const bake::Booth& booth;
    const bake::Cycle& cycle;
    const cure::Coating* coating = nullptr;  ///< null: nothing but learning can be asked
    const std::vector<cure::HeatSensitiveItem>& items;
};

}  // namespace bakewright::plan
