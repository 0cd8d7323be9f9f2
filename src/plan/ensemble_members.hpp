// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "bakewright/bake/built_network.hpp"
#include "bakewright/bake/uncertainty.hpp"
#include "bakewright/thermal/ensemble.hpp"

namespace bakewright::plan {

/// Draws what sets the members of an ensemble apart; see Uncertainty. Safe to call from several threads.
class MemberDraw {
public:
    MemberDraw(const bake::BuiltNetwork& built, const bake::Shell& shell, const bake::Booth& booth,
               const bake::Uncertainty& uncertainty, std::uint64_t seed);
    void operator()(std::size_t index, thermal::EnsembleMember& member) const;

private:
    /// What is drawn of the learned numbers: a log factor, or kelvins, for each.
    struct Drawn {
        const std::vector<bake::LearnedNumber>& numbers;
        std::vector<double> deviation;
        [[nodiscard]] const double* find(bake::LearnedKind kind, const std::string& subject) const noexcept;
    };
    /// A factor exp(z * log_high) for a draw z > 0, exp(z * log_low) for one below: of the 5 and 95 % quantiles, per standard
    /// deviation.
    struct FactorDraw {
        thermal::FactorIndex factor = thermal::kNoFactor;
        double log_low = 0.0, log_high = 0.0;
        thermal::FactorIndex inverse = thermal::kNoFactor;  ///< gets one over the draw
        std::size_t group = 0;                              ///< of a film, in film_groups_
        std::optional<bake::LearnedKind> kind{};            ///< that may have been learned
        std::string subject{};
    };
    /// By the booth's record.
    [[nodiscard]] double scale(bool of_booth) const noexcept { return bake::spread_scale(booth_.record, of_booth); }
    [[nodiscard]] FactorDraw draw_of(const bake::NetworkFactor& factor);
    [[nodiscard]] std::vector<double> group_logs(std::vector<double>::const_iterator& z, const Drawn& drawn) const;

    const bake::BuiltNetwork& built_;
    const bake::Booth& booth_;
    const bake::Uncertainty& uncertainty_;
    bake::LearnedTogether learned_;
    std::vector<std::string> film_groups_;
    double group_log_low_ = 0.0, group_log_high_ = 0.0;
    std::uint64_t seed_;
    std::vector<FactorDraw> factors_;
    std::vector<FactorDraw> modes_;  ///< films of fan modes that were learned
};

}  // namespace bakewright::plan
