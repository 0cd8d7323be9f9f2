// SPDX-License-Identifier: Apache-2.0
#include "bakewright/tune/trend.hpp"

#include <algorithm>
#include <boost/math/distributions/normal.hpp>
#include <cmath>
#include <numeric>

#include "bakewright/base/error.hpp"

namespace bakewright::tune {
namespace {

constexpr std::size_t kFewestPoints = 3;
constexpr std::size_t kMostExact = 100;
constexpr double kInterval = 0.05, kFalseAlarms = 0.05;  // probabilities
constexpr double kKindCount = 3.0;                       // air, bias, lag
constexpr double kBand_k = 3.0, kPlateau_k = 5.0, kLeastShare = 0.15;
constexpr double kTrendNoticed_k = 0.5, kTrendNoticed_s = 30.0;

double median_of(std::vector<double> values) {
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), middle, values.end());
    if (values.size() % 2 == 1) return *middle;
    return 0.5 * (*middle + *std::max_element(values.begin(), middle));
}

/// Chances of each number of inversions of a permutation by chance, 0 to n (n - 1) / 2: one more element adds 0 to n - 1 of them.
std::vector<double> inversion_chances(std::size_t points) {
    std::vector<double> chances{1.0};
    for (std::size_t n = 2; n <= points; ++n) {
        std::vector<double> next(chances.size() + n - 1, 0.0);
        for (std::size_t i = 0; i < chances.size(); ++i)
            for (std::size_t more = 0; more < n; ++more) next[i + more] += chances[i] / static_cast<double>(n);
        chances = std::move(next);
    }
    return chances;
}

/// How rare each S is among orders of chance.
class KendallChances {
public:
    explicit KendallChances(std::size_t points) : points_(points) {
        if (points <= kMostExact) inversions_ = inversion_chances(points);
    }

    /// Of |S| so large or larger.
    [[nodiscard]] double at_least(std::size_t s) const {
        if (s == 0) return 1.0;
        if (inversions_.empty()) return by_normal(static_cast<double>(s));
        const std::size_t pairs = inversions_.size() - 1;
        if (s > pairs) return 0.0;
        // S = pairs - 2 * inversions
        const auto end = inversions_.begin() + static_cast<std::ptrdiff_t>((pairs - s) / 2 + 1);
        return std::min(1.0, 2.0 * std::accumulate(inversions_.begin(), end, 0.0));
    }
    /// The least |S| that chance reaches in no more than this share; nothing where none is so rare.
    [[nodiscard]] std::optional<std::size_t> critical(double probability) const {
        const std::size_t pairs = points_ * (points_ - 1) / 2;
        if (at_least(pairs) > probability) return std::nullopt;
        // S has the parity of the number of pairs; chances fall as it grows.
        std::size_t low = 0, high = pairs / 2;
        while (low < high) {
            const std::size_t middle = (low + high) / 2;
            if (at_least(pairs % 2 + 2 * middle) <= probability)
                high = middle;
            else
                low = middle + 1;
        }
        return pairs % 2 + 2 * high;
    }

private:
    [[nodiscard]] double by_normal(double s) const {
        const auto n = static_cast<double>(points_);
        const double z = (s - 1.0) / std::sqrt(n * (n - 1.0) * (2.0 * n + 5.0) / 18.0);
        return 2.0 * boost::math::cdf(boost::math::complement(boost::math::normal_distribution<double>(), z));
    }

    std::size_t points_;
    std::vector<double> inversions_;
};

}  // namespace

double kendall_probability(std::size_t points, std::size_t s) { return KendallChances(points).at_least(s); }

std::optional<RobustSlope> robust_slope(std::span<const double> time, std::span<const double> value) {
    ensure(time.size() == value.size(), "each value has its time");
    std::vector<double> slopes;
    std::ptrdiff_t s = 0;
    for (std::size_t b = 0; b < time.size(); ++b) {
        for (std::size_t a = 0; a < b; ++a) {
            if (time[a] == time[b]) continue;
            slopes.push_back((value[b] - value[a]) / (time[b] - time[a]));
            s += slopes.back() > 0.0 ? 1 : slopes.back() < 0.0 ? -1 : 0;
        }
    }
    if (time.size() < kFewestPoints || slopes.size() < kFewestPoints) return std::nullopt;
    RobustSlope out;
    out.slope = median_of(slopes);
    const KendallChances chances(time.size());
    out.probability = chances.at_least(static_cast<std::size_t>(std::abs(s)));
    if (const auto critical = chances.critical(kInterval); critical && *critical <= slopes.size()) {
        std::sort(slopes.begin(), slopes.end());
        const std::size_t from_end = (slopes.size() - *critical) / 2;
        out.low = slopes[from_end];
        out.high = slopes[slopes.size() - 1 - from_end];
    }
    return out;
}

namespace {

/// Sorted readings of the plateau: those near the narrow band that holds the most of the hotter half.
std::vector<double> plateau_of(const Trace& air) {
    std::vector<double> sorted_k = air.usable_samples().temperature_k;
    if (sorted_k.empty()) return {};
    std::sort(sorted_k.begin(), sorted_k.end());
    const double half_way_k = 0.5 * (sorted_k.front() + sorted_k.back());
    auto densest = sorted_k.end(), up_to = sorted_k.end();
    for (auto from = std::lower_bound(sorted_k.begin(), sorted_k.end(), half_way_k), to = from; from != sorted_k.end(); ++from) {
        while (to != sorted_k.end() && *to <= *from + kBand_k) ++to;
        if (densest != sorted_k.end() && to - from <= up_to - densest) continue;
        densest = from;
        up_to = to;
    }
    if (static_cast<double>(up_to - densest) < kLeastShare * static_cast<double>(sorted_k.size())) return {};
    const double middle_k = 0.5 * (*densest + *std::prev(up_to));
    return {std::lower_bound(sorted_k.begin(), sorted_k.end(), middle_k - kPlateau_k),
            std::upper_bound(sorted_k.begin(), sorted_k.end(), middle_k + kPlateau_k)};
}

}  // namespace

std::optional<double> plateau_offset_k(const Trace& air, const std::vector<bake::ResolvedStage>& stages) {
    std::optional<double> set_k;
    for (const bake::ResolvedStage& stage : stages)
        if (stage.kind == bake::StageKind::hold) set_k = std::max(set_k.value_or(stage.end_k), stage.end_k);
    std::vector<double> plateau_k = plateau_of(air);
    if (!set_k || plateau_k.empty()) return std::nullopt;
    return median_of(std::move(plateau_k)) - *set_k;
}

std::vector<BakeOfTrend::Group> by_group(const Comparison& comparison,
                                         const std::function<std::string(const std::string& channel)>& group_of) {
    struct Sum {
        BakeOfTrend::Group group;
        double lag_s = 0.0, lags = 0.0;
    };
    std::vector<Sum> sums;
    for (const ChannelComparison& channel : comparison.channels) {
        const std::string name = group_of(channel.predicted);
        if (name.empty()) continue;
        auto at = std::find_if(sums.begin(), sums.end(), [&](const Sum& sum) { return sum.group.name == name; });
        if (at == sums.end()) at = sums.insert(sums.end(), Sum{{name, 0, 0.0, {}}});
        ++at->group.zones;
        at->group.bias_k += channel.bias_k;
        if (channel.lag_s) at->lag_s += *channel.lag_s, at->lags += 1.0;
    }
    std::vector<BakeOfTrend::Group> groups;
    for (Sum& sum : sums) {
        sum.group.bias_k /= static_cast<double>(sum.group.zones);
        if (sum.lags > 0.0) sum.group.lag_s = sum.lag_s / sum.lags;
        groups.push_back(std::move(sum.group));
    }
    std::sort(groups.begin(), groups.end(), [](const auto& a, const auto& b) { return a.name < b.name; });
    return groups;
}

namespace {

/// The bakes' values of one quantity.
struct Series {
    Trend::Of of;
    std::string group;
    std::vector<double> at_s, value;
};

Series& series_of(std::vector<Series>& all, Trend::Of of, const std::string& group) {
    const auto known =
        std::find_if(all.begin(), all.end(), [&](const Series& one) { return one.of == of && one.group == group; });
    return known != all.end() ? *known : all.emplace_back(Series{of, group, {}, {}});
}

std::vector<Series> series_in(const std::vector<BakeOfTrend>& bakes) {
    std::vector<Series> all;
    const auto put = [&](Trend::Of of, const std::string& group, double at_s, double value) {
        Series& series = series_of(all, of, group);
        series.at_s.push_back(at_s);
        series.value.push_back(value);
    };
    for (const BakeOfTrend& bake : bakes) {
        if (bake.air_offset_k) put(Trend::Of::air, {}, bake.at_s, *bake.air_offset_k);
        for (const BakeOfTrend::Group& group : bake.groups) {
            put(Trend::Of::bias, group.name, bake.at_s, group.bias_k);
            if (group.lag_s) put(Trend::Of::lag, group.name, bake.at_s, *group.lag_s);
        }
    }
    std::erase_if(all, [](const Series& one) { return one.value.size() < kFewestPoints; });
    std::stable_sort(all.begin(), all.end(),
                     [](const Series& a, const Series& b) { return a.of != b.of ? a.of < b.of : a.group < b.group; });
    return all;
}

}  // namespace

BoothTrend booth_trend(std::vector<BakeOfTrend> bakes) {
    std::stable_sort(bakes.begin(), bakes.end(), [](const BakeOfTrend& a, const BakeOfTrend& b) { return a.at_s < b.at_s; });
    BoothTrend out;
    const std::vector<Series> all = series_in(bakes);
    for (const Series& series : all) {
        const auto slope = robust_slope(series.at_s, series.value);
        if (!slope) continue;
        const auto alike = std::count_if(all.begin(), all.end(), [&](const Series& one) { return one.of == series.of; });
        const double rare = kFalseAlarms / (kKindCount * static_cast<double>(alike));
        Trend trend{series.of, series.group, series.value.size(), median_of(series.value), *slope, 0.0, false};
        trend.change = slope->slope * (series.at_s.back() - series.at_s.front());
        // Chances are whole numbers over a factorial: what equals the limit but for rounding is within it.
        trend.is_told = slope->probability <= rare * (1.0 + 1e-9) &&
                        std::abs(trend.change) >= (series.of == Trend::Of::lag ? kTrendNoticed_s : kTrendNoticed_k);
        out.trends.push_back(std::move(trend));
    }
    out.bakes = std::move(bakes);
    return out;
}

}  // namespace bakewright::tune
