// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

#include "bakewright/bake/built_network.hpp"
#include "bakewright/base/format.hpp"
#include "bakewright/tune/fit.hpp"
#include "bakewright/tune/task.hpp"

namespace bakewright::tune {

inline constexpr double kFactorStep = 0.03;  ///< of a log factor
inline constexpr double kKelvinStep = 0.2;

/// One unknown of a bake's model or of its probes.
struct Unknown {
    enum class Kind {
        learned,       ///< a number of shell or booth: logarithm of a factor, or kelvins
        start,         ///< how much hotter the shell began than its first readings say [K]
        own_error,     ///< of the model: a zone's own air, or the surroundings [K]; never fitted here
        air_probe,     ///< offset of the probe whose air drives the model [K]
        probe_offset,  ///< [K]
        probe_share,   ///< of the way from the zone to the air
        probe_lag      ///< [s]
    };
    Kind kind = Kind::learned;
    bake::LearnedKind learned = bake::LearnedKind::group_film;
    std::string subject;   ///< of a learned number; channel of a probe
    std::size_t bake = 0;  ///< of a probe
    Phrase name;           ///< for people
    double start = 0.0;
    double prior_mean = 0.0, prior_standard = 1.0;
    double lower = 0.0, upper = 0.0;

    /// Whether a solve is needed to see what it does.
    [[nodiscard]] bool is_of_model() const noexcept { return kind <= Kind::air_probe; }
    [[nodiscard]] bool is_factor() const noexcept { return kind == Kind::learned && learned != bake::LearnedKind::air_offset; }
    /// Value for people: the factor, or what it is.
    [[nodiscard]] double shown(double value) const noexcept;
    /// By how much it is moved to see what it does: some tenths of a kelvin either way.
    [[nodiscard]] double step() const noexcept { return is_factor() ? kFactorStep : kKelvinStep; }
    [[nodiscard]] FitParameter parameter() const;
};

/// What unknowns are made from, of one bake.
struct BakeFacts {
    const bake::BuiltNetwork& built;
    const LoggedBake& log;
    std::vector<std::string> channels;  ///< that are fitted
    std::vector<bool> is_surface;       ///< a probe on a zone
    bool is_replay = false;
    bool tells_modes = false;
};

/// Unknowns of the model first, then those of the probes. Numbers without any effect are left out.
/// @param film_spread  prior standard deviation of a zone's own log film
[[nodiscard]] std::vector<Unknown> unknowns_for(const TuneTask& task, const TuneOptions& options,
                                                const std::vector<BakeFacts>& bakes, double film_spread);

/// Standard uncertainty of a channel's probe near 60 degC: by its record, else that of a class 2 type K probe (IEC 60584-1).
[[nodiscard]] double probe_standard_k(const LoggedBake& bake, const std::string& channel);

}  // namespace bakewright::tune
