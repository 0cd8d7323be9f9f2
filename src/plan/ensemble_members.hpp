#pragma once

#include <cstddef>
#include <vector>

#include "bakewright/bake/built_network.hpp"
#include "bakewright/plan/ensemble.hpp"

namespace bakewright::plan {

/// Draws what sets the members of an ensemble apart; see Uncertainty. Safe to call from several threads.
class MemberDraw {
public:
    MemberDraw(const bake::BuiltNetwork& built, const bake::Booth& booth, const EnsemblePredictOptions& options);
    void operator()(std::size_t index, thermal::EnsembleMember& member) const;

private:
    /// A factor exp(z * log_high) for a draw z > 0, exp(z * log_low) for one below: of the 5 and 95 % quantiles, per standard
    /// deviation.
    struct FactorDraw {
        thermal::FactorIndex factor = thermal::kNoFactor;
        double log_low = 0.0, log_high = 0.0;
        thermal::FactorIndex inverse = thermal::kNoFactor;  ///< gets one over the draw
    };
    [[nodiscard]] FactorDraw draw_of(const bake::NetworkFactor& factor) const;

    const bake::BuiltNetwork& built_;
    const bake::Booth& booth_;
    const Uncertainty& uncertainty_;
    std::uint64_t seed_;
    std::vector<FactorDraw> factors_;
    bool solves_air_;
};

}  // namespace bakewright::plan
