// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "bakewright/bake/build_network.hpp"

namespace bakewright::plan {

/// The network of a shell in its booth, driven by a cycle and followed for options.after_s. (ensemble.cpp)
[[nodiscard]] bake::DrivenNetwork driven_by(const bake::Shell& shell, const bake::Booth& booth, const bake::Cycle& cycle,
                                            const bake::PredictOptions& options);

}  // namespace bakewright::plan
