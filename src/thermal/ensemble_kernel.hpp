// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <memory>
#include <span>

#include "ensemble_task.hpp"

namespace bakewright::thermal {

/// What a kernel makes of a pack.
struct PackOutput {
    double* readings;  ///< by member, then column
    float* trace_k;    ///< by place, moment with quantiles, member
    double*
        error_norm;  ///< by member: the largest of a step, in units of the task's tolerance; not a number where the member is not
};

/// Solves members side by side with planned steps. One object serves one thread; the lanes do not touch each other.
class EnsembleKernel {
public:
    EnsembleKernel() = default;
    EnsembleKernel(const EnsembleKernel&) = delete;
    EnsembleKernel& operator=(const EnsembleKernel&) = delete;
    virtual ~EnsembleKernel();
    [[nodiscard]] virtual std::size_t width() const noexcept = 0;
    /// @param members   width() of them
    /// @param plan      one of the task's
    virtual void solve(std::span<const EnsembleMember> members, const StepPlan& plan, const PackOutput& output) = 0;
};

// One source file for each instruction set; those of avx2 and avx512 are there where the build has them.
[[nodiscard]] std::unique_ptr<EnsembleKernel> make_baseline_kernel(const EnsembleTask& task);
[[nodiscard]] std::unique_ptr<EnsembleKernel> make_avx2_kernel(const EnsembleTask& task);
[[nodiscard]] std::unique_ptr<EnsembleKernel> make_avx512_kernel(const EnsembleTask& task);

/// The widest of instruction_sets() up to one.
[[nodiscard]] InstructionSet widest_up_to(InstructionSet most);
[[nodiscard]] std::unique_ptr<EnsembleKernel> make_kernel(InstructionSet set, const EnsembleTask& task);

}  // namespace bakewright::thermal
