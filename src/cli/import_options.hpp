// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "bakewright/services/reading_options.hpp"
#include "options.hpp"

namespace bakewright::cli {

/// Adds the options that overrule how a log is read.
void describe_reading(Options& options);

/// Those that were given, in the order in which the shop area lists them.
[[nodiscard]] services::GivenOptions reading_options(const Options& options);

}  // namespace bakewright::cli
