#pragma once

#include "options.hpp"

namespace bakewright::cli {

/// `report --shell`: the history of a shell as one HTML file. Returns the exit status.
[[nodiscard]] int report_shell(const Options& options);

}  // namespace bakewright::cli
