// SPDX-License-Identifier: Apache-2.0
#include "bakewright/thermal/ensemble.hpp"

#include <algorithm>
#include <array>
#include <boost/random/normal_distribution.hpp>
#include <boost/random/seed_seq.hpp>
#include <boost/random/taus88.hpp>
#include <cmath>
#include <numbers>

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

// The distributions of the standard library differ from platform to platform; Boost's do not.
void draw_normals(std::uint64_t seed, std::size_t member, std::span<double> out) {
    const std::uint64_t index = member;
    const std::array<std::uint32_t, 4> words{static_cast<std::uint32_t>(seed), static_cast<std::uint32_t>(seed >> 32U),
                                             static_cast<std::uint32_t>(index), static_cast<std::uint32_t>(index >> 32U)};
    boost::random::seed_seq sequence(words.begin(), words.end());
    boost::random::taus88 engine(sequence);
    boost::random::normal_distribution<double> normal;
    for (double& number : out) number = normal(engine);
}

double cumulative_normal(double z) noexcept { return 0.5 * std::erfc(-z / std::numbers::sqrt2); }

}  // namespace bakewright::thermal
