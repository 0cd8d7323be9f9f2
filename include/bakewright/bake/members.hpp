// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "bakewright/bake/built_network.hpp"
#include "bakewright/bake/uncertainty.hpp"
#include "bakewright/thermal/ensemble.hpp"

/// What is not known of a bake, as independent standard normal numbers, and what they do to its network.
namespace bakewright::bake {

/// What one of the numbers stands for.
struct DrawnNumber {
    enum class Kind {
        air,           ///< the booth's air, or the set point, is so much hotter
        outside,       ///< so is what lies outside the booth
        start,         ///< so is the shell at the start
        film_group,    ///< film of a film group; subject: group
        factor,        ///< a factor of the network of its own; subject as NetworkFactor
        learned,       ///< one of what was learned from logs together, turned so that it stands alone; subject: name_of() it
        own_air,       ///< the air along one zone is hotter than the model has it; subject: zone
        surroundings,  ///< so are walls, ceiling and floor
        surface        ///< offset of the probe on a surface that was logged; subject: the surface
    } kind = Kind::air;
    FactorKind factor = FactorKind::film;  ///< of Kind::factor
    std::string subject{};

    /// Whether it belongs to one bake alone, and another bake of the same shell has one of its own.
    [[nodiscard]] bool is_of_one_bake() const noexcept { return kind <= Kind::start || kind == Kind::surface; }
    [[nodiscard]] bool is_discrepancy() const noexcept { return kind == Kind::own_air || kind == Kind::surroundings; }
};

/// "film of zone door"
[[nodiscard]] std::string name_of(LearnedKind kind, const std::string& subject);

/// How large the model's own errors are: standard deviations at the rise at which a booth states its offsets in full [K].
struct DiscrepancySize {
    double own_air_k = 0.0;       ///< of each zone's own air
    double surroundings_k = 0.0;  ///< of walls, ceiling and floor together
    double weight = 0.0;          ///< how likely that size is; of all together 1
};
/// Every pair of the sizes that are thought possible, by an experiment on a hundred bakes each of booths that were made to differ
/// so; common practice, no source. `widest` is the last.
[[nodiscard]] std::vector<DiscrepancySize> discrepancy_sizes(const Uncertainty& uncertainty);

/// Turns standard normal numbers into a member of an ensemble; see Uncertainty. Safe to use from several threads. Refers to what
/// it is made with, which must outlive it.
class MemberSpace {
public:
    MemberSpace(const BuiltNetwork& built, const Shell& shell, const Booth& booth, const Uncertainty& uncertainty);

    /// Each of the numbers, in the order in which set() takes them.
    [[nodiscard]] const std::vector<DrawnNumber>& numbers() const noexcept { return numbers_; }
    [[nodiscard]] const std::vector<DiscrepancySize>& sizes() const noexcept { return sizes_; }
    /// By how much a number of is_discrepancy() shrinks where the model's errors are of that size: 0 to 1.
    [[nodiscard]] double shrunk(const DrawnNumber& number, const DiscrepancySize& size) const noexcept;
    /// Standard deviation of a number: the logarithm of a factor (the mean of both sides), or kelvin; of errors of the model that
    /// of the widest size. 1 of what was learned; 0 of a number in whose place something learned counts, which then does nothing.
    [[nodiscard]] double standard(std::size_t number) const;

    /// @param normals  one for each of numbers(); errors of the model in standard deviations of the widest size
    void set(std::span<const double> normals, thermal::EnsembleMember& member) const;
    /// Draws member number `index` before anything was measured: the size of the model's errors first.
    [[nodiscard]] std::vector<double> draw(std::uint64_t seed, std::size_t index) const;

private:
    /// A factor exp(z * log_high) for a draw z > 0, exp(z * log_low) for one below: of the 5 and 95 % quantiles, per standard
    /// deviation.
    struct FactorDraw {
        thermal::FactorIndex factor = thermal::kNoFactor;
        double log_low = 0.0, log_high = 0.0;
        thermal::FactorIndex inverse = thermal::kNoFactor;  ///< gets one over the draw
        std::size_t group = 0;                              ///< of a film, in film_groups_
        std::optional<LearnedKind> kind{};                  ///< that may have been learned
        std::string subject{};
    };
    struct Discrepancy {
        thermal::FactorIndex factor = thermal::kNoFactor;
        double standard_k = 0.0;  ///< of the widest size, about what was learned
        LearnedKind kind = LearnedKind::own_air;
        std::string subject{};
    };
    /// By the booth's record.
    [[nodiscard]] double scale(bool of_booth) const noexcept { return spread_scale(booth_.record, of_booth); }
    [[nodiscard]] bool is_open(const NetworkFactor& factor) const;
    [[nodiscard]] FactorDraw draw_of(const NetworkFactor& factor);
    void add_discrepancy(const NetworkFactor& factor);
    void name_numbers();
    [[nodiscard]] const double* find_learned(std::span<const double> deviation, LearnedKind kind,
                                             const std::string& subject) const;
    [[nodiscard]] bool is_learned(LearnedKind kind, const std::string& subject) const;
    [[nodiscard]] std::vector<double> group_logs(std::span<const double> normals, std::span<const double> learned) const;
    [[nodiscard]] std::vector<double> learned_deviations(std::span<const double> normals) const;

    const BuiltNetwork& built_;
    const Booth& booth_;
    const Uncertainty& uncertainty_;
    LearnedTogether learned_;
    std::vector<std::string> film_groups_;
    double group_log_low_ = 0.0, group_log_high_ = 0.0;
    std::vector<FactorDraw> factors_;
    std::vector<FactorDraw> modes_;  ///< films of fan modes that were learned
    std::vector<Discrepancy> discrepancies_;
    std::vector<DiscrepancySize> sizes_;
    std::vector<DrawnNumber> numbers_;
};

}  // namespace bakewright::bake
