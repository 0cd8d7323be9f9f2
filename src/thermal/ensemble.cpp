#include "bakewright/thermal/ensemble.hpp"

#include <algorithm>
#include <cmath>

#include "bakewright/base/error.hpp"
#include "ensemble_run.hpp"

namespace bakewright::thermal {
namespace {

void check(const Reading& reading) {
    ensure(std::isfinite(reading.threshold_k), "a threshold is finite");
    if (reading.kind != Reading::Kind::integral) return;
    ensure(reading.function != nullptr, "an integral has a function");
    reading.function->check();
}

bool is_level(double level) { return level >= 0.0 && level <= 1.0; }

}  // namespace

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
    ensure(std::all_of(quantile_levels.begin(), quantile_levels.end(), is_level), "quantile levels are 0 to 1");
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

EnsembleResult solve_ensemble(const Network& network, std::span<const Segment> segments, std::span<const WatchedPlace> watched,
                              const MemberGenerator& generator, const EnsembleOptions& options) {
    options.check();
    ensure(!segments.empty(), "an ensemble has at least one segment");
    ensure(!watched.empty(), "an ensemble watches at least one place");
    for (const WatchedPlace& place : watched)
        for (const Reading& reading : place.readings) check(reading);
    EnsembleTask task = make_task(network, segments, watched, options);
    if (is_side_by_side(network)) plan_steps(task);
    return EnsembleRun(task, generator, options).run();
}

double quantile(std::vector<double> values, double level) {
    ensure(!values.empty() && is_level(level), "a quantile is of at least one number, at a level of 0 to 1");
    const double rank = level * static_cast<double>(values.size() - 1);
    const auto below = static_cast<std::ptrdiff_t>(rank);
    const auto at = values.begin() + below;
    std::nth_element(values.begin(), at, values.end());
    if (at + 1 == values.end()) return *at;
    return *at + (rank - static_cast<double>(below)) * (*std::min_element(at + 1, values.end()) - *at);
}

EventProbability probability(const EnsembleResult& result, const std::function<bool(std::span<const double> row)>& has_happened) {
    ensure(result.is_complete && result.member_count() > 0, "the ensemble is complete");
    std::size_t count = 0;
    for (std::size_t member = 0; member < result.member_count(); ++member) count += has_happened(result.row(member)) ? 1 : 0;
    constexpr double z = 1.959963984540054;  // 97.5 % of a standard normal distribution
    const double n = static_cast<double>(result.member_count());
    const double share = static_cast<double>(count) / n;
    const double middle = (share + z * z / (2.0 * n)) / (1.0 + z * z / n);
    const double half = z / (1.0 + z * z / n) * std::sqrt(share * (1.0 - share) / n + z * z / (4.0 * n * n));
    return {share, std::max(0.0, middle - half), std::min(1.0, middle + half)};
}

}  // namespace bakewright::thermal
