// SPDX-License-Identifier: Apache-2.0
#include "bakewright/thermal/slab.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <complex>
#include <cstddef>
#include <numbers>
#include <optional>
#include <span>
#include <vector>

#include "bakewright/base/error.hpp"

namespace bakewright::thermal {
namespace {

/// Face temperatures of a stack by Laplace transform, kept at the points that the inversion needs, so that one exact stack is
/// compared with many sets of nodes.
class SlabResponse {
public:
    SlabResponse(std::span<const StackLayer> layers, const SplitRequest& request);

    /// Range of the error of nodes against the exact stack during and after a ramp [K].
    [[nodiscard]] SplitError error_of(const SlabSplit& split) const;

private:
    using Complex = std::complex<double>;
    /// [T, q] at the outer face = chain [T, q] at the inner face, T a temperature and q the heat flux inward.
    struct Chain {
        Complex a{1.0}, b{0.0}, c{0.0}, d{1.0};
        void append_layer(const StackLayer& layer, Complex s);
        void append_capacity(Complex capacity_s);
        void append_resistance(double resistance);
    };
    /// Temperatures of both faces for unit air temperatures: outer air alone, and air on both sides.
    struct Faces {
        Complex outer_by_outer, inner_by_outer, outer_by_both, inner_by_both;
    };

    [[nodiscard]] Faces faces(const Chain& chain) const;
    [[nodiscard]] Faces faces_of(std::span<const StackLayer> layers, Complex s) const;
    [[nodiscard]] Faces faces_of(const SlabSplit& split, Complex s) const;

    SplitRequest request_;
    std::vector<double> times_s_;
    std::vector<Complex> points_;  ///< kTerms a time
    std::vector<Complex> weights_;
    std::vector<Faces> exact_;
};

constexpr int kTerms = 10;  // of the inversion: about 1e-6 of the error predicted
constexpr int kTimes = 28;

using Complex = std::complex<double>;

struct TalbotTerm {
    Complex point;   ///< s t
    Complex weight;  ///< f(t) = sum Re(weight F(s)) / t
};

/// Fixed Talbot method, Abate & Valko (2004), equations (17) to (20), for t = 1.
std::array<TalbotTerm, kTerms> talbot_terms() {
    constexpr double r = 2.0 * kTerms / 5.0;
    std::array<TalbotTerm, kTerms> terms;
    terms[0] = {Complex{r}, Complex{0.5 * std::exp(r) * r / kTerms}};
    for (int k = 1; k < kTerms; ++k) {
        const double angle = k * std::numbers::pi / kTerms;
        const double cotangent = 1.0 / std::tan(angle);
        const double sigma = angle + (angle * cotangent - 1.0) * cotangent;
        const Complex point = r * angle * Complex{cotangent, 1.0};
        terms[static_cast<std::size_t>(k)] = {point, std::exp(point) * Complex{1.0, sigma} * (r / kTerms)};
    }
    return terms;
}

double total_capacity(std::span<const StackLayer> layers) {
    double sum = 0.0;
    for (const StackLayer& layer : layers) sum += layer.thickness_m * layer.heat_capacity_j_per_m3_k;
    return sum;
}

double total_resistance(std::span<const StackLayer> layers) {
    double sum = 0.0;
    for (std::size_t i = 0; i < layers.size(); ++i) {
        sum += layers[i].thickness_m / layers[i].conductivity_w_per_m_k;
        if (i + 1 < layers.size()) sum += layers[i].contact_resistance_m2_k_per_w;
    }
    return sum;
}

double longest_ramp_s(const SplitRequest& request) { return request.air_rise_k / request.heating_rate_k_per_s; }

/// From a hundredth of the time heat takes to cross the stack, up to where the ramp has settled; the ramp's own end among them.
std::vector<double> sample_times(std::span<const StackLayer> layers, const SplitRequest& request) {
    const double capacity = total_capacity(layers);
    const double crossing_s = total_resistance(layers) * capacity;
    const double filling_s = capacity / (request.outer_w_per_m2_k + request.inner_w_per_m2_k);
    const double first_s = 0.01 * crossing_s;
    const double last_s = 4.0 * (crossing_s + filling_s);
    std::vector<double> times;
    for (int i = 0; i < kTimes; ++i) times.push_back(first_s * std::pow(last_s / first_s, i / (kTimes - 1.0)));
    times.push_back(longest_ramp_s(request));
    std::sort(times.begin(), times.end());
    return times;
}

/// An error sampled over time while a ramp goes on for ever, from zero at time zero.
class ErrorSamples {
public:
    explicit ErrorSamples(std::span<const double> times_s) : times_s_(times_s) {}
    void take(double value) { values_.push_back(value); }

    /// Largest error of a ramp that stops after any time up to longest_s. By superposition a stopped ramp is the endless one less
    /// the same begun later, so that its error is a difference between two moments of the endless one.
    [[nodiscard]] double largest_when_stopped(double longest_s) const {
        double largest = 0.0;
        for (std::size_t late = 0; late < values_.size(); ++late) {
            const double earliest_s = std::max(times_s_[late] - longest_s, 0.0);
            largest = std::max(largest, std::abs(values_[late] - at(earliest_s)));
            for (std::size_t early = 0; early < late; ++early)
                if (times_s_[early] >= earliest_s) largest = std::max(largest, std::abs(values_[late] - values_[early]));
        }
        return largest;
    }

private:
    [[nodiscard]] double at(double time_s) const {
        const auto next = std::lower_bound(times_s_.begin(), times_s_.end(), time_s);
        const auto index = static_cast<std::size_t>(next - times_s_.begin());
        const double begin_s = index == 0 ? 0.0 : times_s_[index - 1];
        const double begin = index == 0 ? 0.0 : values_[index - 1];
        if (times_s_[index] <= begin_s) return begin;
        return begin + (values_[index] - begin) * (time_s - begin_s) / (times_s_[index] - begin_s);
    }

    std::span<const double> times_s_;
    std::vector<double> values_;
};

void SlabResponse::Chain::append_layer(const StackLayer& layer, Complex s) {
    const Complex root = std::sqrt(s * layer.heat_capacity_j_per_m3_k / layer.conductivity_w_per_m_k);
    const Complex argument = root * layer.thickness_m;
    const Complex admittance = root * layer.conductivity_w_per_m_k;
    const Complex cosine = std::cosh(argument);
    const Complex sine = std::sinh(argument);
    const Chain before = *this;
    a = before.a * cosine + before.b * sine * admittance;
    b = before.a * sine / admittance + before.b * cosine;
    c = before.c * cosine + before.d * sine * admittance;
    d = before.c * sine / admittance + before.d * cosine;
}

void SlabResponse::Chain::append_capacity(Complex capacity_s) {
    a += b * capacity_s;
    c += d * capacity_s;
}

void SlabResponse::Chain::append_resistance(double resistance) {
    b += a * resistance;
    d += c * resistance;
}

SlabResponse::SlabResponse(std::span<const StackLayer> layers, const SplitRequest& request)
    : request_(request), times_s_(sample_times(layers, request)) {
    const std::array<TalbotTerm, kTerms> terms = talbot_terms();
    for (const double time_s : times_s_) {
        for (const TalbotTerm& term : terms) {
            const Complex s = term.point / time_s;
            points_.push_back(s);
            weights_.push_back(term.weight / time_s * request_.heating_rate_k_per_s / (s * s));  // transform of a ramp
            exact_.push_back(faces_of(layers, s));
        }
    }
}

/// Solves q_outer = h_o (E_o - T_outer), q_inner = h_i (T_inner - E_i) together with the chain.
SlabResponse::Faces SlabResponse::faces(const Chain& chain) const {
    const double outer = request_.outer_w_per_m2_k;
    const double inner = request_.inner_w_per_m2_k;
    const Complex through = (outer * chain.b + chain.d) * inner;
    const Complex whole = outer * chain.a + chain.c + through;
    Faces result;
    result.inner_by_outer = outer / whole;
    result.outer_by_outer = (chain.a + chain.b * inner) * result.inner_by_outer;
    const Complex inner_by_inner = through / whole;
    result.inner_by_both = result.inner_by_outer + inner_by_inner;
    result.outer_by_both = result.outer_by_outer + chain.a * inner_by_inner + chain.b * inner * (inner_by_inner - 1.0);
    return result;
}

SlabResponse::Faces SlabResponse::faces_of(std::span<const StackLayer> layers, Complex s) const {
    Chain chain;
    for (std::size_t i = 0; i < layers.size(); ++i) {
        chain.append_layer(layers[i], s);
        if (i + 1 < layers.size()) chain.append_resistance(layers[i].contact_resistance_m2_k_per_w);
    }
    return faces(chain);
}

SlabResponse::Faces SlabResponse::faces_of(const SlabSplit& split, Complex s) const {
    Chain chain;
    for (std::size_t i = 0; i < split.node_count(); ++i) {
        if (i > 0) chain.append_resistance(1.0 / split.conductance_w_per_m2_k[i - 1]);
        chain.append_capacity(split.heat_capacity_j_per_m2_k[i] * s);
    }
    return faces(chain);
}

SplitError SlabResponse::error_of(const SlabSplit& split) const {
    std::array<ErrorSamples, 4> samples{ErrorSamples(times_s_), ErrorSamples(times_s_), ErrorSamples(times_s_),
                                        ErrorSamples(times_s_)};
    for (std::size_t t = 0; t < times_s_.size(); ++t) {
        std::array<double, 4> error{};
        for (std::size_t j = t * kTerms; j < (t + 1) * kTerms; ++j) {
            const Faces nodes = faces_of(split, points_[j]);
            error[0] += (weights_[j] * (nodes.outer_by_outer - exact_[j].outer_by_outer)).real();
            error[1] += (weights_[j] * (nodes.outer_by_both - exact_[j].outer_by_both)).real();
            error[2] += (weights_[j] * (nodes.inner_by_outer - exact_[j].inner_by_outer)).real();
            error[3] += (weights_[j] * (nodes.inner_by_both - exact_[j].inner_by_both)).real();
        }
        for (std::size_t k = 0; k < error.size(); ++k) samples[k].take(error[k]);
    }
    const double ramp_s = longest_ramp_s(request_);
    const auto larger = [&](std::size_t first) {
        return std::max(samples[first].largest_when_stopped(ramp_s), samples[first + 1].largest_when_stopped(ramp_s));
    };
    return {larger(0), larger(2)};
}

/// A layer whose own Biot number is below this keeps no cell: its resistance moves no temperature by a thousandth of the film's
/// drop.
constexpr double kThinBiot = 1e-3;

using Cells = std::vector<std::size_t>;

double larger_error(const SlabSplit& split) { return std::max(split.outer_error_k, split.inner_error_k); }

void check(std::span<const StackLayer> layers, const SplitRequest& request) {
    const auto positive = [](double value) { return std::isfinite(value) && value > 0.0; };
    ensure(!layers.empty(), "a stack has at least one layer");
    for (const StackLayer& layer : layers) {
        ensure(positive(layer.thickness_m) && positive(layer.conductivity_w_per_m_k) && positive(layer.heat_capacity_j_per_m3_k),
               "a layer's thickness, conductivity and heat capacity are above 0");
        ensure(std::isfinite(layer.contact_resistance_m2_k_per_w) && layer.contact_resistance_m2_k_per_w >= 0.0,
               "a contact resistance is 0 or more");
    }
    ensure(positive(request.outer_w_per_m2_k), "the outer coefficient of a stack is above 0");
    ensure(std::isfinite(request.inner_w_per_m2_k) && request.inner_w_per_m2_k >= 0.0,
           "the inner coefficient of a stack is 0 or more");
    ensure(positive(request.heating_rate_k_per_s) && positive(request.air_rise_k) && positive(request.error_bound_k),
           "heating rate, rise and error bound of a stack are above 0");
    ensure(request.most_nodes >= 2, "a stack may be split into two nodes at least");
}

double crossing_time_s(const StackLayer& layer) {
    return layer.thickness_m * layer.thickness_m * layer.heat_capacity_j_per_m3_k / layer.conductivity_w_per_m_k;
}

bool is_thin(const StackLayer& layer, const SplitRequest& request) {
    const double strongest = std::max(request.outer_w_per_m2_k, request.inner_w_per_m2_k);
    return strongest * layer.thickness_m / layer.conductivity_w_per_m_k < kThinBiot;
}

/// Cells by a level of fineness: in proportion to the root of the time heat takes to cross each layer, `level` in the slowest
/// one.
Cells cells_at_level(std::span<const StackLayer> layers, const SplitRequest& request, std::size_t level) {
    double slowest_s = 0.0;
    for (const StackLayer& layer : layers) slowest_s = std::max(slowest_s, crossing_time_s(layer));
    Cells cells;
    for (const StackLayer& layer : layers) {
        const double share = std::sqrt(crossing_time_s(layer) / slowest_s);
        const double wanted = std::ceil(static_cast<double>(level) * share - 1e-9);
        cells.push_back(is_thin(layer, request) ? 0 : static_cast<std::size_t>(std::max(wanted, 1.0)));
    }
    return cells;
}

std::size_t node_count_of(std::span<const StackLayer> layers, const Cells& cells) {
    std::size_t count = 1;
    for (std::size_t i = 0; i < cells.size(); ++i) {
        count += cells[i];
        if (i + 1 < cells.size() && layers[i].contact_resistance_m2_k_per_w > 0.0) ++count;
    }
    return count;
}

/// Tries sets of cells against one exact stack.
class Search {
public:
    Search(std::span<const StackLayer> layers, const SplitRequest& request)
        : layers_(layers), request_(request), response_(layers, request) {}

    [[nodiscard]] SlabSplit measured(SlabSplit split) const {
        const SplitError error = response_.error_of(split);
        split.outer_error_k = error.outer_k;
        split.inner_error_k = error.inner_k;
        split.bound_reached = larger_error(split) <= request_.error_bound_k;
        return split;
    }

    [[nodiscard]] SlabSplit lumped() const {
        SlabSplit split;
        split.position_m = {0.0};
        split.heat_capacity_j_per_m2_k = {0.0};
        for (const StackLayer& layer : layers_)
            split.heat_capacity_j_per_m2_k[0] += layer.thickness_m * layer.heat_capacity_j_per_m3_k;
        return measured(std::move(split));
    }

    /// The first level within the bound, then fewer cells layer by layer while it holds; the finest allowed where none does.
    [[nodiscard]] SlabSplit fewest() const {
        Cells best = cells_at_level(layers_, request_, 1);
        for (std::size_t level = 1;; ++level) {
            const Cells cells = cells_at_level(layers_, request_, level);
            if (level > 1 && (cells == best || node_count_of(layers_, cells) > request_.most_nodes)) break;
            best = cells;
            if (const auto split = within_bound(cells)) return trimmed(cells, *split);
        }
        return measured(split_by_cells(layers_, best));
    }

private:
    [[nodiscard]] std::optional<SlabSplit> within_bound(const Cells& cells) const {
        SlabSplit split = measured(split_by_cells(layers_, cells));
        if (!split.bound_reached) return std::nullopt;
        return split;
    }
    [[nodiscard]] SlabSplit trimmed(Cells cells, SlabSplit split) const {
        for (std::size_t i = 0; i < cells.size();) {
            Cells fewer = cells;
            if (fewer[i] > 1) --fewer[i];
            const auto shorter = fewer != cells ? within_bound(fewer) : std::nullopt;
            if (!shorter) {
                ++i;
                continue;
            }
            cells = fewer;
            split = *shorter;
        }
        return split;
    }

    std::span<const StackLayer> layers_;
    SplitRequest request_;
    SlabResponse response_;
};

double thickness_mm(std::span<const StackLayer> layers) {
    double sum_m = 0.0;
    for (const StackLayer& layer : layers) sum_m += layer.thickness_m;
    return sum_m * 1e3;
}

std::string reason_for(const SlabSplit& split, std::span<const StackLayer> layers, const SplitRequest& request) {
    const double rate_k_per_min = request.heating_rate_k_per_s * 60.0;
    const std::string stack = fmt::format("{:.1f} mm", thickness_mm(layers));
    if (split.is_lumped())
        return fmt::format(
            "{} kept as one node: Biot number {:.2g} is below {:g}, and at {:.1f} K/min its faces stay within {:.2g} K.", stack,
            split.biot, kLumpedBiotLimit, rate_k_per_min, split.lumped_error_k);
    const std::string why = split.biot >= kLumpedBiotLimit
                                ? fmt::format("Biot number {:.2g} is not below {:g}", split.biot, kLumpedBiotLimit)
                                : fmt::format("Biot number {:.2g} would allow one node, the error would not", split.biot);
    return fmt::format("{} split into {} nodes: {}; at {:.1f} K/min one node would miss a face by {:.2g} K, these by {:.2g} K{}.",
                       stack, split.node_count(), why, rate_k_per_min, split.lumped_error_k, larger_error(split),
                       split.bound_reached ? "" : fmt::format(", more than the {:.2g} K asked for", request.error_bound_k));
}

}  // namespace

double stack_biot(std::span<const StackLayer> layers, double outer_w_per_m2_k, double inner_w_per_m2_k) {
    double resistance = 0.0;
    for (std::size_t i = 0; i < layers.size(); ++i) {
        resistance += layers[i].thickness_m / layers[i].conductivity_w_per_m_k;
        if (i + 1 < layers.size()) resistance += layers[i].contact_resistance_m2_k_per_w;
    }
    const double strongest = std::max(outer_w_per_m2_k, inner_w_per_m2_k);
    return strongest * strongest * resistance / (outer_w_per_m2_k + inner_w_per_m2_k);
}

SlabSplit split_by_cells(std::span<const StackLayer> layers, std::span<const std::size_t> cells) {
    ensure(layers.size() == cells.size(), "one number of cells a layer");
    SlabSplit split;
    double depth_m = 0.0;
    const auto add_node = [&](double capacity) {
        split.position_m.push_back(depth_m);
        split.heat_capacity_j_per_m2_k.push_back(capacity);
    };
    add_node(0.0);
    for (std::size_t i = 0; i < layers.size(); ++i) {
        const StackLayer& layer = layers[i];
        const double capacity = layer.thickness_m * layer.heat_capacity_j_per_m3_k;
        if (cells[i] == 0) split.heat_capacity_j_per_m2_k.back() += capacity;
        const double count = static_cast<double>(std::max<std::size_t>(cells[i], 1));
        const double top_m = depth_m;
        for (std::size_t cell = 0; cell < cells[i]; ++cell) {
            depth_m = top_m + layer.thickness_m * static_cast<double>(cell + 1) / count;
            split.heat_capacity_j_per_m2_k.back() += 0.5 * capacity / count;
            split.conductance_w_per_m2_k.push_back(layer.conductivity_w_per_m_k * count / layer.thickness_m);
            add_node(0.5 * capacity / count);
        }
        depth_m = top_m + layer.thickness_m;
        if (i + 1 == layers.size() || layer.contact_resistance_m2_k_per_w == 0.0) continue;
        split.conductance_w_per_m2_k.push_back(1.0 / layer.contact_resistance_m2_k_per_w);
        add_node(0.0);
    }
    return split;
}

SplitError predicted_split_error(std::span<const StackLayer> layers, const SlabSplit& split, const SplitRequest& request) {
    check(layers, request);
    return SlabResponse(layers, request).error_of(split);
}

SlabSplit split_stack(std::span<const StackLayer> layers, const SplitRequest& request) {
    check(layers, request);
    const Search search(layers, request);
    const double biot = stack_biot(layers, request.outer_w_per_m2_k, request.inner_w_per_m2_k);
    SlabSplit split = search.lumped();
    const double lumped_error_k = larger_error(split);
    if (biot >= kLumpedBiotLimit || !split.bound_reached) split = search.fewest();
    split.biot = biot;
    split.lumped_error_k = lumped_error_k;
    split.reason = reason_for(split, layers, request);
    return split;
}

}  // namespace bakewright::thermal
