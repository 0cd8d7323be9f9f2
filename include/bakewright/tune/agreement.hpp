#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "bakewright/base/trace.hpp"

namespace bakewright::tune {

/// How far the prediction and the log of one channel may be off without either being wrong.
/// Shapes: time_s, below_k and above_k of one length, time rising; beyond its ends the nearest counts.
struct ChannelAllowance {
    double probe_k = 0.0;         ///< what the probe may read too much or too little, its tolerance; >= 0
    std::optional<Trace> unsafe;  ///< the log as it would be if the probe erred by its whole share of the air on the unsafe side
    std::vector<double> time_s;   ///< of the model's spread
    std::vector<double> below_k, above_k;  ///< so far may the truth lie below and above the prediction, >= 0
};

/// Whether a channel's prediction and log can be of one temperature.
struct ChannelAgreement {
    std::string channel;
    TraceRole role = TraceRole::unmapped;
    std::size_t samples = 0, inside = 0;  ///< logged samples compared; of them those that can be of one temperature
    double probe_k = 0.0;                 ///< as allowed
    double attachment_k = 0.0;            ///< mean error of the probe's attachment on its unsafe side
    double below_k = 0.0, above_k = 0.0;  ///< the model's spread, means
    double interpolation_k = 0.0;         ///< largest error of reading the prediction between its samples; see ChannelComparison
    double largest_excess_k = 0.0;  ///< beyond all that, > 0 where the prediction is hotter than the log; 0 where all are inside
    double largest_excess_at_s = 0.0;

    [[nodiscard]] double share_inside() const noexcept {
        return samples > 0 ? static_cast<double>(inside) / static_cast<double>(samples) : 0.0;
    }
    /// Nearly all samples are inside: one in twenty may be outside by chance.
    [[nodiscard]] bool agrees() const noexcept { return share_inside() >= kAgrees; }
    static constexpr double kAgrees = 0.95;
};

/// A whole bake, and what its allowances rest on, for people.
struct Agreement {
    std::vector<ChannelAgreement> channels;  ///< smallest share inside first
    std::string probes_origin, model_origin;
};

/// Compares a channel at its usable samples in common time. A sample is inside where the range of the truth that the reading
/// leaves (the reading and its unsafe twin, the tolerance either way) meets the one the prediction leaves (its spread, and the
/// error of reading it between its samples, either way). The parts are added, not their squares: each may be off by all of it for
/// a whole bake. Nothing where fewer than two samples are in common time.
[[nodiscard]] std::optional<ChannelAgreement> channel_agreement(const Trace& predicted, const Trace& logged,
                                                                const ChannelAllowance& allowance);

}  // namespace bakewright::tune
