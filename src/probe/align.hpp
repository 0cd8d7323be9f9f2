// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "bakewright/base/trace.hpp"
#include "bakewright/probe/merge_logs.hpp"

namespace bakewright::probe {

/// Finds the shift of the second air trace that brings it to the first; fills the fields of an alignment that tell how well.
/// @param within_s  largest shift either way that is looked at; infinity for every one that leaves an overlap
/// @throws InputError where the shift is not to be trusted
void align(const Trace& first_air, const Trace& second_air, double within_s, LogAlignment& found);

}  // namespace bakewright::probe
