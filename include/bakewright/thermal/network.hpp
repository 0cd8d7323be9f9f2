// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "bakewright/thermal/films.hpp"

namespace bakewright::thermal {

/// Name of a place in a network that has a temperature: a node, which is solved for, or a boundary, which is given.
struct Place {
    enum class Kind : std::uint8_t { node, boundary } kind = Kind::node;
    std::uint32_t index = 0;
    bool operator==(const Place&) const = default;
};

/// A factor of a network multiplies the numbers that name it, member by member of an ensemble; 1 for the network itself.
using FactorIndex = std::uint32_t;
inline constexpr FactorIndex kNoFactor = 0xffffffffU;

/// A temperature that follows a place in a straight line: gain * T + offset_k. Lets one booth air stand for the hotter air
/// under the ceiling and the cooler air at the floor. gain > 0. The factor multiplies the distance from the place, that is
/// gain - 1 and offset_k.
struct Following {
    Place place;
    double gain = 1.0;
    double offset_k = 0.0;
    FactorIndex factor = kNoFactor;
    /// Below this temperature of the place, and in segments without heat (Segment::is_heated), it is at the place itself: air is
    /// hotter under the ceiling because it was heated. The line meets the place there: gain * above_k + offset_k = above_k.
    double above_k = kFollowsAlways;
    /// A second factor adds to the gain drawn_gain (its value - 1), and to the offset what keeps the line through above_k: an
    /// error of the place that grows with its rise, and that no member but one drawn has.
    FactorIndex drawn = kNoFactor;
    double drawn_gain = 0.0;  ///< > 0 where drawn; above_k must then be finite

    static constexpr double kFollowsAlways = -std::numeric_limits<double>::infinity();
    /// Where it is when the place is at a temperature, in a segment with heat.
    [[nodiscard]] constexpr double at_k(double place_k) const noexcept {
        return place_k >= above_k ? gain * place_k + offset_k : place_k;
    }
};

/// How many modes a network may have (fan modes of a booth, and its doors open); each scales the films of its films' group.
inline constexpr std::size_t kModeCount = 5;
using ModeFactors = std::array<double, kModeCount>;
using ModeFactorIndices = std::array<FactorIndex, kModeCount>;
inline constexpr ModeFactorIndices kNoModeFactors{kNoFactor, kNoFactor, kNoFactor, kNoFactor, kNoFactor};

/// An account of a network adds up the heat [J] that flows along the edges booked on it, so that energy can be seen to close.
/// It is integrated beside the temperatures, by the same steps.
using AccountIndex = std::uint32_t;
inline constexpr AccountIndex kNoAccount = 0xffffffffU;

/// Heat conduction between two places: q = G (T_from - T_to) [W]; booked as heat into `to`.
struct Conduction {
    Place from;
    Place to;
    double conductance_w_per_k = 0.0;  ///< > 0
    AccountIndex account = kNoAccount;
    FactorIndex factor = kNoFactor;  ///< on the conductance
};

/// Convection from air to a node with a coefficient that is given: q = h A f(mode) (T_air - T_node) [W]; the air loses what the
/// node gains. Also air that is exchanged: h A is then its heat capacity a second.
struct Film {
    Following air{};
    Place node{};
    double conductance_w_per_k = 0.0;        ///< h A at mode factor 1, > 0
    ModeFactors mode_factor{1, 1, 1, 1, 1};  ///< >= 0
    AccountIndex account = kNoAccount;
    FactorIndex factor = kNoFactor;                    ///< on the conductance
    ModeFactorIndices factor_by_mode{kNoModeFactors};  ///< on each mode_factor
};

/// Convection from air to a node with a coefficient from correlations: q = h(T_node, T_air) A (T_air - T_node) [W].
struct Convection {
    Following air{};
    Place node{};
    double area_m2 = 0.0;                      ///< > 0
    FilmModel film{};                          ///< without problems
    ModeFactors forced_factor{1, 1, 1, 1, 1};  ///< on the forced part of h alone, >= 0
    AccountIndex account = kNoAccount;
    FactorIndex factor = kNoFactor;                    ///< on the whole of h
    ModeFactorIndices factor_by_mode{kNoModeFactors};  ///< on each forced_factor
};

/// Conduction and convection of the air between two faces: q = h(T_outer, T_inner) A (T_outer - T_inner) [W]; booked as heat into
/// the inner one. Radiation across the gap is an edge of its own.
struct GapConvection {
    Place outer{};
    Place inner{};
    double area_m2 = 0.0;  ///< > 0
    GapModel gap{};        ///< without problems
    AccountIndex account = kNoAccount;
    FactorIndex factor = kNoFactor;  ///< on h
};

/// Radiation between a node and a surface round it: q = E sigma (T_wall^4 - T_node^4) [W].
struct Radiation {
    Following wall{};
    Place node{};
    double exchange_area_m2 = 0.0;  ///< E = emissivity (or grey exchange factor) times area, > 0
    AccountIndex account = kNoAccount;
    FactorIndex factor = kNoFactor;  ///< on E
};

/// Heat put straight into a node; how much is told segment by segment (Segment::source_w).
struct Source {
    Place node;
    AccountIndex account = kNoAccount;
};

/// A heater of limited power that warms a node under control of a sensor, as a burner warms a booth's air. With the error
/// e = T_setpoint - T_sensor:
///
///  - proportional_integral: demand P* = K (e + I), power P = P* held between 0 and the largest; dI/dt = e / T_i while P = P*,
///  and
///    (P / K - I) / T_i while it is not, so that I does not wind up (back-calculation with the tracking time T_i).
///    Below the least power that can burn without a break the heater pulses; the mean over the pulses counts.
///  - on_off: the largest power from where the sensor falls to half a band under the set point until it has risen to half a band
///    above it; else none.
///  - proportional: P = K (e + bias), held between 0 and the largest. Over a narrow band it stands for an ideal controller that
///    has so much power and no more; with K = power / band and half a band of bias for the mean of an on-off heater that
///    switches faster than anything follows. The bias is bias_k, but no more than the set point lies above bias_from_k: a set
///    point at the ambient asks for no heat.
///
/// Where the limit place reaches limit_k the heater trips and stays off.
/// Source: Astrom & Hagglund, PID Controllers, 2nd ed. (1995), sections 3.2 and 3.5 (back-calculation; from memory).
struct Heater {
    enum class Control : std::uint8_t { proportional_integral, on_off, proportional } control = Control::proportional_integral;
    Place node;                                                     ///< warmed; a node
    Place sensor;                                                   ///< read by the controller; a node with the sensor's lag
    Place setpoint;                                                 ///< a boundary
    double largest_power_w = 0.0;                                   ///< > 0
    double gain_w_per_k = 0.0;                                      ///< proportional_integral, proportional: K > 0
    double integral_time_s = 0.0;                                   ///< proportional_integral: T_i > 0
    double bias_k = 0.0;                                            ///< proportional, >= 0
    double bias_from_k = -std::numeric_limits<double>::infinity();  ///< proportional; on_off where its mean counts
    double band_k = 0.0;                                            ///< on_off: > 0
    std::array<bool, kModeCount> may_fire{true, true, true, true, true};
    Place limit{};                    ///< a node, watched by the high limit
    std::optional<double> limit_k{};  ///< absent: no high limit
    AccountIndex account = kNoAccount;
    FactorIndex factor = kNoFactor;  ///< on the largest power

    /// Whether its power moves between nothing and the largest, in place of being one or the other.
    [[nodiscard]] bool modulates() const noexcept { return control != Control::on_off; }
};

/// A network of lumped heat capacities:
///
///     C_i dT_i/dt = sum_j G_ij (T_j - T_i) + sum_f h_f A_f (T_air,f - T_i) + sum_r E_r sigma (T_wall,r^4 - T_i^4) + Q_i(t) + P_i
///
/// Holds for:   bodies whose inside is at one temperature (Bi < 0.1), or slices of a body thin enough to be so.
/// Leaves out:  view factors between parts, moisture, latent heat.
/// Source: Incropera & DeWitt, Fundamentals of Heat and Mass Transfer, 6th ed., section 5.3 (general lumped capacitance
/// analysis).
class Network {
public:
    struct Node {
        std::string name;
        double heat_capacity_j_per_k = 0.0;
        double start_k = 0.0;
        FactorIndex factor = kNoFactor;  ///< on the heat capacity
    };

    /// @param heat_capacity_j_per_k > 0  @param start_k > 0
    Place add_node(std::string name, double heat_capacity_j_per_k, double start_k, FactorIndex factor = kNoFactor);
    /// Where a node starts, in place of what it was added with: a solve that goes on from where another was. @param start_k > 0
    void set_start(std::size_t node, double start_k);
    Place add_boundary(std::string name);
    AccountIndex add_account(std::string name);
    FactorIndex add_factor(std::string name);
    void add_conduction(Conduction conduction);
    void add_film(Film film);
    void add_convection(const Convection& convection);
    void add_gap_convection(const GapConvection& gap);
    void add_radiation(Radiation radiation);
    void add_heater(Heater heater);
    /// Returns the source's index in Segment::source_w.
    std::size_t add_source(Source source);

    [[nodiscard]] std::size_t node_count() const noexcept { return nodes_.size(); }
    [[nodiscard]] std::size_t boundary_count() const noexcept { return boundaries_.size(); }
    [[nodiscard]] const std::vector<Node>& nodes() const noexcept { return nodes_; }
    [[nodiscard]] const std::vector<std::string>& boundaries() const noexcept { return boundaries_; }
    [[nodiscard]] const std::vector<std::string>& accounts() const noexcept { return accounts_; }
    [[nodiscard]] const std::vector<std::string>& factors() const noexcept { return factors_; }
    [[nodiscard]] double total_heat_capacity_j_per_k() const noexcept;
    /// Whether a heater may switch by itself: on and off by its band, or off by its high limit.
    [[nodiscard]] bool has_switches() const noexcept;
    [[nodiscard]] const std::vector<Conduction>& conductions() const noexcept { return conductions_; }
    [[nodiscard]] const std::vector<Film>& films() const noexcept { return films_; }
    [[nodiscard]] const std::vector<Convection>& convections() const noexcept { return convections_; }
    [[nodiscard]] const std::vector<GapConvection>& gap_convections() const noexcept { return gap_convections_; }
    [[nodiscard]] const std::vector<Radiation>& radiations() const noexcept { return radiations_; }
    [[nodiscard]] const std::vector<Source>& sources() const noexcept { return sources_; }
    [[nodiscard]] const std::vector<Heater>& heaters() const noexcept { return heaters_; }

private:
    void ensure_known(Place place) const;
    void ensure_node(Place place) const;
    void ensure_booking(AccountIndex account, FactorIndex factor) const;
    void ensure_following(const Following& following, Place node) const;

    std::vector<Node> nodes_;
    std::vector<std::string> boundaries_;
    std::vector<std::string> accounts_;
    std::vector<std::string> factors_;
    std::vector<Conduction> conductions_;
    std::vector<Film> films_;
    std::vector<Convection> convections_;
    std::vector<GapConvection> gap_convections_;
    std::vector<Radiation> radiations_;
    std::vector<Source> sources_;
    std::vector<Heater> heaters_;
};

/// What is given from outside between two moments: boundary temperatures move in straight lines, mode and sources stand still.
/// Shapes: boundary_*_k hold boundary_count() values, source_w one a source.
struct Segment {
    double begin_s = 0.0;
    double end_s = 0.0;  ///< > begin_s
    std::vector<double> boundary_begin_k;
    std::vector<double> boundary_end_k;
    std::vector<double> source_w;
    std::size_t mode = 0;   ///< < kModeCount
    bool is_heated = true;  ///< false: temperatures that follow a place above a level (Following::above_k) are at the place
};

/// What sets one member of an ensemble apart from the network (for packs: one a lane).
/// Shapes: factor one a factor of the network; boundary_* one a boundary.
template <class Real>
struct Member {
    explicit Member(const Network& network)
        : factor(network.factors().size(), Real{} + 1.0),
          boundary_gain(network.boundary_count(), Real{} + 1.0),
          boundary_offset_k(network.boundary_count(), Real{}) {}

    std::vector<Real> factor;             ///< > 0
    std::vector<Real> boundary_gain;      ///< > 0: a boundary is at gain T + offset
    std::vector<Real> boundary_offset_k;  ///< [K]
    Real start_shift_k{};                 ///< on every node's start [K]

    [[nodiscard]] Real of(FactorIndex index) const { return index == kNoFactor ? Real{} + 1.0 : factor[index]; }
};

}  // namespace bakewright::thermal
