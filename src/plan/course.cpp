#include "course.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "bakewright/base/error.hpp"
#include "bakewright/thermal/solve.hpp"

namespace bakewright::plan {
namespace {

/// Moments closer than this are one.
constexpr double kSameMomentS = 1e-6;

/// Weights of the polynomial through some moments, at one moment (Lagrange).
std::array<double, 4> weights(std::span<const double> at_s, double time_s) {
    std::array<double, 4> weight{};
    for (std::size_t i = 0; i < at_s.size(); ++i) {
        weight[i] = 1.0;
        for (std::size_t j = 0; j < at_s.size(); ++j)
            if (j != i) weight[i] *= (time_s - at_s[j]) / (at_s[i] - at_s[j]);
    }
    return weight;
}

}  // namespace

Course::Course(const bake::BuiltNetwork& built, const thermal::Network& network, std::vector<thermal::Segment> segments,
               const bake::PredictOptions& options)
    : segments_(std::move(segments)), nodes_(built.network.node_count()) {
    const thermal::SolveOptions how{.relative_tolerance = options.relative_tolerance,
                                    .absolute_tolerance_k = options.absolute_tolerance_k,
                                    .output_interval_s = options.output_interval_s,
                                    .with_accounts = false};
    const double span_s = segments_.back().end_s - segments_.front().begin_s;
    const std::size_t moments = static_cast<std::size_t>(span_s / options.output_interval_s) + segments_.size() + 2;
    time_s_.reserve(moments);
    node_k_.reserve(moments * nodes_);
    thermal::solve(network, segments_, how, [&](double time_s, std::span<const double> node_k, std::span<const double>) {
        time_s_.push_back(time_s);
        node_k_.insert(node_k_.end(), node_k.begin(), node_k.end());
    });
}

std::vector<double> Course::nodes_at(double time_s, double from_s) const {
    const auto first = std::lower_bound(time_s_.begin(), time_s_.end(), from_s - kSameMomentS);
    const auto after = std::lower_bound(first, time_s_.end(), time_s - kSameMomentS);
    ensure(after != time_s_.end(), "a course is asked for a moment it holds");
    const auto row = [&](std::ptrdiff_t index) { return node_k_.begin() + index * static_cast<std::ptrdiff_t>(nodes_); };
    const std::ptrdiff_t at = after - time_s_.begin();
    if (std::abs(*after - time_s) <= kSameMomentS) return {row(at), row(at + 1)};
    const std::ptrdiff_t low = first - time_s_.begin(), high = std::ssize(time_s_);
    const std::ptrdiff_t begin = std::max(low, std::min(at - 2, high - 4)), end = std::min(begin + 4, high);
    const auto weight =
        weights(std::span(time_s_).subspan(static_cast<std::size_t>(begin), static_cast<std::size_t>(end - begin)), time_s);
    std::vector<double> node_k(nodes_, 0.0);
    for (std::ptrdiff_t m = begin; m < end; ++m)
        for (std::size_t n = 0; n < nodes_; ++n)
            node_k[n] += weight[static_cast<std::size_t>(m - begin)] * row(m)[static_cast<std::ptrdiff_t>(n)];
    return node_k;
}

double Course::place_k(const bake::TraceOrigin& origin, std::span<const double> node_k, double time_s) const {
    const thermal::Following& at = origin.at;
    const double place_k =
        at.place.kind == thermal::Place::Kind::node ? node_k[at.place.index] : boundary_k(at.place.index, time_s);
    return at.at_k(place_k);
}

void Course::add_to(Trace& trace, const bake::TraceOrigin& origin, double until_s) const {
    const double last_s = trace.time_s.empty() ? -HUGE_VAL : trace.time_s.back();
    const auto first = std::upper_bound(time_s_.begin(), time_s_.end(), last_s + kSameMomentS);
    const auto end = std::upper_bound(first, time_s_.end(), until_s + kSameMomentS);
    trace.time_s.insert(trace.time_s.end(), first, end);
    trace.temperature_k.reserve(trace.time_s.size());
    const thermal::Following& at = origin.at;
    for (auto i = static_cast<std::size_t>(first - time_s_.begin()); i < static_cast<std::size_t>(end - time_s_.begin()); ++i) {
        const bool is_node = at.place.kind == thermal::Place::Kind::node;
        const double there_k = is_node ? node_k_[i * nodes_ + at.place.index] : boundary_k(at.place.index, time_s_[i]);
        trace.temperature_k.push_back(at.at_k(there_k));
    }
}

double Course::boundary_k(std::size_t index, double time_s) const {
    const auto ends_before = [](const thermal::Segment& segment, double moment_s) { return segment.end_s < moment_s; };
    auto segment = std::lower_bound(segments_.begin(), segments_.end(), time_s, ends_before);
    if (segment == segments_.end()) --segment;
    const double share = (time_s - segment->begin_s) / (segment->end_s - segment->begin_s);
    return segment->boundary_begin_k[index] + share * (segment->boundary_end_k[index] - segment->boundary_begin_k[index]);
}

}  // namespace bakewright::plan
