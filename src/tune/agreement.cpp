#include "bakewright/tune/agreement.hpp"

#include <algorithm>
#include <cmath>

#include "bakewright/base/error.hpp"
#include "difference.hpp"

namespace bakewright::tune {
namespace {

/// A place on the grid of the model's spread: so much of the next moment's.
struct GridPlace {
    std::size_t below = 0;
    double share = 0.0;
};

GridPlace place_at(const std::vector<double>& time_s, double at_s) {
    const auto next = std::upper_bound(time_s.begin(), time_s.end(), at_s);
    if (next == time_s.begin() || time_s.size() < 2) return {};
    if (next == time_s.end()) return {time_s.size() - 2, 1.0};
    const auto below = static_cast<std::size_t>(next - time_s.begin()) - 1;
    return {below, (at_s - time_s[below]) / (time_s[below + 1] - time_s[below])};
}

double at(const std::vector<double>& values, const GridPlace& place) {
    if (values.empty()) return 0.0;
    const double here = values[place.below];
    return place.share > 0.0 ? here + place.share * (values[place.below + 1] - here) : here;
}

/// Sums over the samples of a channel.
class AgreementSum {
public:
    AgreementSum(const Trace& predicted, const ChannelAllowance& allowance) : predicted_(predicted), allowance_(allowance) {
        if (allowance.unsafe) unsafe_ = allowance.unsafe->usable_samples();
        out_.channel = predicted.name;
        out_.role = predicted.role;
        out_.probe_k = allowance.probe_k;
    }

    void add(const LoggedPoint& point) {
        const double predicted_k = temperature_at_k(predicted_, point.time_s);
        if (!std::isfinite(predicted_k)) return;
        const double interpolation_k = interpolation_error_k(predicted_, point.time_s);
        const double unsafe_k = unsafe_reading_k(point);
        const GridPlace place = place_at(allowance_.time_s, point.time_s);
        const double below_k = at(allowance_.below_k, place), above_k = at(allowance_.above_k, place);
        ++out_.samples;
        out_.interpolation_k = std::max(out_.interpolation_k, interpolation_k);
        out_.attachment_k += std::abs(unsafe_k - point.temperature_k);
        out_.below_k += below_k;
        out_.above_k += above_k;
        const double too_hot_k =
            predicted_k - below_k - interpolation_k - (std::max(point.temperature_k, unsafe_k) + allowance_.probe_k);
        const double too_cold_k =
            std::min(point.temperature_k, unsafe_k) - allowance_.probe_k - (predicted_k + above_k + interpolation_k);
        if (too_hot_k <= 0.0 && too_cold_k <= 0.0)
            ++out_.inside;
        else
            take_excess(point.time_s, too_hot_k > 0.0 ? too_hot_k : -too_cold_k);
    }

    [[nodiscard]] std::optional<ChannelAgreement> result() const {
        if (out_.samples < 2) return std::nullopt;
        ChannelAgreement made = out_;
        for (double* mean : {&made.attachment_k, &made.below_k, &made.above_k}) *mean /= static_cast<double>(made.samples);
        return made;
    }

private:
    [[nodiscard]] double unsafe_reading_k(const LoggedPoint& point) const {
        const double unsafe_k = unsafe_.size() > 0 ? temperature_at_k(unsafe_, point.time_s) : point.temperature_k;
        return std::isfinite(unsafe_k) ? unsafe_k : point.temperature_k;
    }
    void take_excess(double time_s, double excess_k) {
        if (std::abs(excess_k) <= std::abs(out_.largest_excess_k)) return;
        out_.largest_excess_k = excess_k;
        out_.largest_excess_at_s = time_s;
    }

    const Trace& predicted_;
    const ChannelAllowance& allowance_;
    Trace unsafe_;
    ChannelAgreement out_;
};

}  // namespace

std::optional<ChannelAgreement> channel_agreement(const Trace& predicted, const Trace& logged,
                                                  const ChannelAllowance& allowance) {
    const std::size_t moments = allowance.time_s.size();
    ensure(allowance.probe_k >= 0.0 && allowance.below_k.size() == moments && allowance.above_k.size() == moments,
           "an allowance has a tolerance and a spread at each of its moments");
    if (predicted.size() < 2) return std::nullopt;
    AgreementSum sum(predicted, allowance);
    for (const LoggedPoint& point : in_common_time(logged_points(logged), predicted)) sum.add(point);
    return sum.result();
}

}  // namespace bakewright::tune
