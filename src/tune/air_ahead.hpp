// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "bakewright/bake/booth.hpp"
#include "bakewright/bake/cycle.hpp"
#include "bakewright/base/trace.hpp"
#include "bakewright/tune/phases.hpp"

/// What the booth's air will do from now on; see forecast.hpp.
namespace bakewright::tune {

/// So far apart is what a member's air is off by told [s].
inline constexpr double kAirStepS = 150.0;
/// What the air is off by fades with this time constant [s]; common practice, no source: see forecast.hpp.
inline constexpr double kAirFadesS = 300.0;

/// What sets the air ahead of one member apart.
struct AirOfMember {
    double offset_k = 0.0;        ///< true air less logged air
    double level_k = 0.0;         ///< of the air over what is set, at the booth's full rise
    double rate_factor = 1.0;     ///< of ramps, > 0
    double late_s = 0.0;          ///< that the heat comes on, >= 0
    double cool_factor = 1.0;     ///< of cooling, > 0
    std::vector<double> drift{};  ///< standard normal numbers, one a step; empty: none
};

class AirAhead {
public:
    /// @param air  logged so far, usable samples alone, at least two
    AirAhead(const bake::Booth& booth, Trace air, std::vector<PhaseSpan> phases, std::vector<bake::ResolvedStage> stages,
             std::optional<double> setpoint_k);

    [[nodiscard]] double now_s() const noexcept { return now_s_; }
    [[nodiscard]] std::optional<double> setpoint_k() const noexcept;
    [[nodiscard]] std::optional<double> cycle_off_s() const noexcept;
    /// Whether nothing tells what is set: no cycle and no hold yet.
    [[nodiscard]] bool is_unknown() const noexcept;

    /// @param offset_k  true air less logged air of the member
    [[nodiscard]] AirOfMember draw(std::uint64_t seed, std::size_t member, double offset_k, std::size_t steps) const;
    /// The likeliest.
    [[nodiscard]] AirOfMember likeliest() const;

    /// What is set from now on: corners of straight lines [s], [K].
    struct Corner {
        double time_s = 0.0, temperature_k = 0.0;
    };
    [[nodiscard]] std::vector<Corner> set_ahead(const AirOfMember& member, std::optional<double> heat_off_s,
                                                double until_s) const;
    /// The member's air on the scale of the log (true air less offset_k) at now + k kAirStepS, up to until_s.
    [[nodiscard]] std::vector<double> steps_k(const AirOfMember& member, std::optional<double> heat_off_s, double until_s) const;
    /// The likeliest air from now on, at every step and corner, on the scale of the log.
    [[nodiscard]] Trace course(std::optional<double> heat_off_s, double until_s) const;
    /// How much of what the air is off by, each second that it is, stays for good in the level that is told from it [1/s]; 0
    /// where no hold tells the level.
    [[nodiscard]] double stays_per_s() const noexcept;
    /// Stages ahead, for the fans' modes.
    [[nodiscard]] std::vector<bake::ResolvedStage> stages_ahead(std::optional<double> heat_off_s, double until_s) const;

private:
    struct Leg {
        bake::StageKind kind = bake::StageKind::hold;
        double to_k = 0.0;
        std::optional<double> lasts_s{};       ///< of a hold or a wait
        std::optional<double> rate_k_per_s{};  ///< of a ramp
    };
    void lay_legs(const std::vector<bake::ResolvedStage>& stages);
    /// Cooling that is under way goes on as it does, within what its kind allows.
    void cool_as_seen(double rate_k_per_s);
    [[nodiscard]] double shape_k(double set_k, double level_k) const;
    /// What is set now over the ambient, as a share of the booth's full rise.
    [[nodiscard]] double rise_now() const noexcept;
    /// How much of the hold's mean is level, and not the air's swings.
    [[nodiscard]] static double told_by_hold(double rise) noexcept;
    void add_cooling(std::vector<Corner>& corners, const AirOfMember& member, double until_s) const;

    const bake::Booth* booth_;
    Trace air_;
    std::vector<PhaseSpan> phases_;
    double now_s_ = 0.0, now_k_ = 0.0;
    double ramp_rate_k_per_s_ = 0.0;      ///< of one set by hand
    std::optional<double> over_set_k_{};  ///< mean of logged less set over the hold so far
    double over_s_ = 0.0;                 ///< so long of it
    double set_now_k_ = 0.0;
    std::vector<Leg> legs_;  ///< that are still to come; the first goes on from now
    bool is_late_ = false;   ///< the heat should be on by the cycle, and is not
    bool cools_ = false;
    std::optional<double> cool_rate_k_per_s_{};  ///< of the cycle
    double cooling_s_ = 900.0;  ///< time constant where no cycle says: common practice, no source; as seen, once it cools
    double cool_to_k_ = 0.0;
    std::optional<double> cycle_off_s_{};
};

}  // namespace bakewright::tune
