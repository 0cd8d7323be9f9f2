// SPDX-License-Identifier: Apache-2.0
#include "ensemble_kernel.hpp"

#include "bakewright/base/error.hpp"

namespace bakewright::thermal {

EnsembleKernel::~EnsembleKernel() = default;

std::vector<InstructionSet> instruction_sets() {
    std::vector<InstructionSet> sets{InstructionSet::baseline};
#ifdef BAKEWRIGHT_HAS_AVX2
    if (__builtin_cpu_supports("avx2") && __builtin_cpu_supports("fma")) sets.push_back(InstructionSet::avx2);
#endif
#ifdef BAKEWRIGHT_HAS_AVX512
    if (__builtin_cpu_supports("avx512f") && __builtin_cpu_supports("avx512dq") && __builtin_cpu_supports("avx512vl") &&
        __builtin_cpu_supports("fma"))
        sets.push_back(InstructionSet::avx512);
#endif
    return sets;
}

InstructionSet widest_up_to(InstructionSet most) {
    InstructionSet widest = InstructionSet::baseline;
    for (const InstructionSet set : instruction_sets())
        if (set <= most) widest = set;
    return widest;
}

std::unique_ptr<EnsembleKernel> make_kernel(InstructionSet set, const EnsembleTask& task) {
#ifdef BAKEWRIGHT_HAS_AVX512
    if (set == InstructionSet::avx512) return make_avx512_kernel(task);
#endif
#ifdef BAKEWRIGHT_HAS_AVX2
    if (set == InstructionSet::avx2) return make_avx2_kernel(task);
#endif
    ensure(set == InstructionSet::baseline, "the instruction set is one of this build");
    return make_baseline_kernel(task);
}

}  // namespace bakewright::thermal
