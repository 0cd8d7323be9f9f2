#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

namespace bakewright::thermal {

/// Name of a place in a network that has a temperature: a node, which is solved for, or a boundary, which is given.
struct Place {
    enum class Kind : std::uint8_t { node, boundary } kind = Kind::node;
    std::uint32_t index = 0;
    bool operator==(const Place&) const = default;
};

/// A temperature that follows a place in a straight line: gain * T + offset_k. Lets one booth air stand for the hotter air
/// under the ceiling and the cooler air at the floor. gain > 0.
struct Following {
    Place place;
    double gain = 1.0;
    double offset_k = 0.0;
};

/// How many modes a network may have (fan modes of a booth); each scales the films of its films' group.
inline constexpr std::size_t kModeCount = 4;

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
};

/// Convection from air to a node: q = h A f(mode) (T_air - T_node) [W]; the air loses what the node gains.
struct Film {
    Following air{};
    Place node{};
    double conductance_w_per_k = 0.0;                        ///< h A at mode factor 1, > 0
    std::array<double, kModeCount> mode_factor{1, 1, 1, 1};  ///< > 0
    AccountIndex account = kNoAccount;
};

/// Radiation between a node and a surface round it: q = E sigma (T_wall^4 - T_node^4) [W].
struct Radiation {
    Following wall{};
    Place node{};
    double exchange_area_m2 = 0.0;  ///< E = emissivity (or grey exchange factor) times area, > 0
    AccountIndex account = kNoAccount;
};

/// Heat put straight into a node; how much is told segment by segment (Segment::source_w).
struct Source {
    Place node;
    AccountIndex account = kNoAccount;
};

/// A network of lumped heat capacities:
///
///     C_i dT_i/dt = sum_j G_ij (T_j - T_i) + sum_f h_f A_f (T_air,f - T_i) + sum_r E_r sigma (T_wall,r^4 - T_i^4) + Q_i(t)
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
    };

    /// @param heat_capacity_j_per_k > 0  @param start_k > 0
    Place add_node(std::string name, double heat_capacity_j_per_k, double start_k);
    Place add_boundary(std::string name);
    AccountIndex add_account(std::string name);
    void add_conduction(Conduction conduction);
    void add_film(Film film);
    void add_radiation(Radiation radiation);
    /// Returns the source's index in Segment::source_w.
    std::size_t add_source(Source source);

    [[nodiscard]] std::size_t node_count() const noexcept { return nodes_.size(); }
    [[nodiscard]] std::size_t boundary_count() const noexcept { return boundaries_.size(); }
    [[nodiscard]] const std::vector<Node>& nodes() const noexcept { return nodes_; }
    [[nodiscard]] const std::vector<std::string>& boundaries() const noexcept { return boundaries_; }
    [[nodiscard]] const std::vector<std::string>& accounts() const noexcept { return accounts_; }
    [[nodiscard]] double total_heat_capacity_j_per_k() const noexcept;
    [[nodiscard]] const std::vector<Conduction>& conductions() const noexcept { return conductions_; }
    [[nodiscard]] const std::vector<Film>& films() const noexcept { return films_; }
    [[nodiscard]] const std::vector<Radiation>& radiations() const noexcept { return radiations_; }
    [[nodiscard]] const std::vector<Source>& sources() const noexcept { return sources_; }

private:
    void ensure_known(Place place) const;
    void ensure_account(AccountIndex account) const;

    std::vector<Node> nodes_;
    std::vector<std::string> boundaries_;
    std::vector<std::string> accounts_;
    std::vector<Conduction> conductions_;
    std::vector<Film> films_;
    std::vector<Radiation> radiations_;
    std::vector<Source> sources_;
};

/// What is given from outside between two moments: boundary temperatures move in straight lines, mode and sources stand still.
/// Shapes: boundary_*_k hold boundary_count() values, source_w one a source.
struct Segment {
    double begin_s = 0.0;
    double end_s = 0.0;  ///< > begin_s
    std::vector<double> boundary_begin_k;
    std::vector<double> boundary_end_k;
    std::vector<double> source_w;
    std::size_t mode = 0;  ///< < kModeCount
};

}  // namespace bakewright::thermal
