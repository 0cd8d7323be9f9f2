// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/base/trace.hpp"
#include "bakewright/report/text.hpp"

namespace bakewright::report {

struct PlotOptions {
    TextOptions text{};
    std::size_t rows = 16;            ///< of the plot itself, 4 to 60
    bool dots = true;                 ///< braille characters, eight dots each; otherwise letters of ASCII alone
    std::optional<double> level_k{};  ///< drawn across: the temperature of a schedule
    std::string started_at{};         ///< ISO 8601: the time axis is then the clock's
};

/// What a small plot can carry: the booth air, the coated zone with the coolest peak and that with the hottest, the item with the
/// hottest. Indices into traces, each once.
[[nodiscard]] std::vector<std::size_t> traces_to_plot(const TraceSet& traces, const std::vector<std::string>& coated_zones = {});

/// Temperatures over time for a terminal, as wide as its text style says (at least 40 columns). Each curve bears its letter along
/// it, so that no colour is needed, and the letters are told below. Gaps stay open. Lines ended by '\n'; empty without samples.
[[nodiscard]] std::string temperature_plot(const TraceSet& traces, const std::vector<std::size_t>& shown,
                                           const PlotOptions& options);

}  // namespace bakewright::report
