// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <Eigen/Dense>
#include <cstddef>
#include <vector>

#include "bake_model.hpp"
#include "bakewright/tune/task.hpp"

namespace bakewright::tune {

/// How a bake's channels hang on the numbers of shell and booth that are not known, and how well those are.
struct Sensitivity {
    std::vector<Unknown> unknowns;    ///< of the model
    std::vector<ModelTraces> traces;  ///< at where they start, then with each moved by its step
    Eigen::MatrixXd covariance;       ///< of the unknowns: learned where it was, else as believed beforehand

    /// Of a channel at a moment of the model's grid, by an unknown.
    [[nodiscard]] double slope(std::size_t channel, std::size_t moment, std::size_t unknown) const {
        return (traces[unknown + 1].channel_k[channel][moment] - traces[0].channel_k[channel][moment]) / unknowns[unknown].step();
    }
};

/// Everything that may be tuned but probes and fan modes, and the model's own errors, with the bake driven by its cycle.
[[nodiscard]] TuneOptions all_but_probes(const bake::Uncertainty& prior);

/// @param model  of the task's bake, made with all_but_probes(); is told the unknowns @throws SolveError
[[nodiscard]] Sensitivity sensitivity_of(BakeModel& model, const TuneTask& task, const bake::Uncertainty& prior);

}  // namespace bakewright::tune
