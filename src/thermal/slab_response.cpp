#include "slab_response.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <numbers>

namespace bakewright::thermal {
namespace {

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
class Samples {
public:
    explicit Samples(std::span<const double> times_s) : times_s_(times_s) {}
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

}  // namespace

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
    std::array<Samples, 4> samples{Samples(times_s_), Samples(times_s_), Samples(times_s_), Samples(times_s_)};
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

}  // namespace bakewright::thermal
