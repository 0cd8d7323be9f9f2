// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <string>

#include "bakewright/report/html.hpp"

namespace bakewright::report {

/// What the chart's script draws, and what the page must say about it.
struct ChartData {
    std::string json;  ///< shape: see web/chart.js
    bool has_predicted = false;
    bool has_logged = false;
    bool has_estimated = false;
    bool has_bands = false;
    std::size_t thinned = 0;  ///< traces drawn with fewer samples than they have
    [[nodiscard]] bool empty() const noexcept { return !has_predicted && !has_logged; }
};

[[nodiscard]] ChartData chart_data(const ReportInput& input);

/// When the bake began by the clock: the report's own word, else the log's, else the prediction's; empty where unknown.
[[nodiscard]] std::string started_at(const ReportInput& input);

}  // namespace bakewright::report
