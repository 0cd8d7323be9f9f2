// SPDX-License-Identifier: Apache-2.0
#include "bakewright/thermal/ensemble_options.hpp"

#include <algorithm>
#include <cmath>

#include "bakewright/base/error.hpp"

namespace bakewright::thermal {

double TabulatedFunction::at(double temperature_k) const noexcept {
    const double last = static_cast<double>(value.size() - 1);
    const double x = std::clamp((temperature_k - lowest_k) / step_k, 0.0, last);
    const auto i = static_cast<std::size_t>(std::min(x, last - 1.0));
    return value[i] + (x - static_cast<double>(i)) * (value[i + 1] - value[i]);
}

void TabulatedFunction::check() const {
    ensure(std::isfinite(lowest_k) && std::isfinite(step_k) && step_k > 0.0, "a table's step is positive");
    ensure(value.size() >= 2 && value.size() < 1'000'000'000, "a table has at least two points");
    ensure(std::all_of(value.begin(), value.end(), [](double v) { return std::isfinite(v); }), "a table's values are finite");
}

void EnsembleOptions::check() const {
    ensure(member_count > 0 && member_count <= 0xffffffffU, "an ensemble has one member or more, at most 2^32 - 1");
    ensure(std::isfinite(output_interval_s) && output_interval_s > 0.0, "the output interval is positive");
    ensure(largest_error_k >= 1e-6 && largest_error_k <= 1.0 / 2.0, "the largest error is 1e-6 to 0.5 K");
    ensure(std::all_of(quantile_levels.begin(), quantile_levels.end(), [](double level) { return level >= 0.0 && level <= 1.0; }),
           "quantile levels are 0 to 1");
    ensure(std::is_sorted(quantile_levels.begin(), quantile_levels.end()), "quantile levels rise");
    ensure(!keeps_traces || member_count <= kExactQuantileMembers, "traces are kept of few members");
    ensure(quantile_stride > 0, "quantiles are told of every moment, or of every so many");
    if (quantile_levels.empty() && !keeps_traces && !observe) return;
    const double multiple = quantile_interval_s / output_interval_s;
    ensure(multiple >= 0.5 && multiple < 1e9 && std::abs(multiple - std::round(multiple)) <= 1e-9 * multiple,
           "the interval of quantiles is a multiple of the output interval");
}

std::vector<double> EnsembleResult::column(std::size_t place, std::size_t reading) const {
    std::vector<double> values;
    for (std::size_t member = 0; member < member_count(); ++member) values.push_back(row(member)[first_column[place] + reading]);
    return values;
}

}  // namespace bakewright::thermal
