#include "probe_response.hpp"

#include <algorithm>
#include <cmath>

namespace bakewright::tune {

std::vector<double> responded(std::span<const float> zone_k, std::span<const float> air_k, double interval_s,
                              const ProbeResponse& response) {
    std::vector<double> out(zone_k.size());
    const auto target_k = [&](std::size_t i) {
        const double zone = zone_k[i];
        return zone + response.air_share * (static_cast<double>(air_k[i]) - zone);
    };
    const double lag_s = std::max(response.lag_s, 1e-6);
    const double decay = std::exp(-interval_s / lag_s);
    for (std::size_t i = 0; i < out.size(); ++i) {
        const double to_k = target_k(i);
        if (i == 0) {
            out[0] = to_k;
            continue;
        }
        const double from_k = target_k(i - 1);
        const double trail_k = (to_k - from_k) / interval_s * lag_s;
        out[i] = to_k - trail_k + (out[i - 1] - from_k + trail_k) * decay;
    }
    return out;
}

double on_grid(std::span<const double> values, double begin_s, double interval_s, double time_s) {
    const double at = std::clamp((time_s - begin_s) / interval_s, 0.0, static_cast<double>(values.size() - 1));
    const auto below = std::min(static_cast<std::size_t>(at), values.size() - 2);
    return values[below] + (at - static_cast<double>(below)) * (values[below + 1] - values[below]);
}

}  // namespace bakewright::tune
