// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>

#include "bakewright/bake/booth.hpp"
#include "bakewright/bake/shell.hpp"
#include "bakewright/base/trace.hpp"

/// The oven of tests/data/nist-oven-rods and its rods.
namespace bakewright::test {

/// A log of the folder, its named columns mapped to zones.
[[nodiscard]] TraceSet oven_log(const std::string& file, const std::vector<std::string>& rods);
[[nodiscard]] bake::Shell oven_rods();  ///< half an inch and one inch, as in the profile
[[nodiscard]] bake::Booth oven();

}  // namespace bakewright::test
