#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "bakewright/bake/built_network.hpp"
#include "bakewright/base/trace.hpp"

namespace bakewright::plan {

/// A solve as it went: every node at every output moment, from which traces are read.
class Course {
public:
    /// Solves from where the network's nodes start. @param network  of `built`, with starts of its own
    Course(const bake::BuiltNetwork& built, const thermal::Network& network, std::vector<thermal::Segment> segments,
           const bake::PredictOptions& options);

    [[nodiscard]] std::span<const double> time_s() const noexcept { return time_s_; }
    /// Every node at a moment: by the cubic through the four output moments round it that lie from `from_s` on, where a segment
    /// with a corner at its beginning starts. Promise: from_s <= time_s <= the end.
    [[nodiscard]] std::vector<double> nodes_at(double time_s, double from_s) const;
    /// The temperatures of a place at the output moments up to `until_s`, added to a trace; those not later than its last are
    /// left out.
    void add_to(Trace& trace, const bake::TraceOrigin& origin, double until_s) const;
    [[nodiscard]] double place_k(const bake::TraceOrigin& origin, std::span<const double> node_k, double time_s) const;

private:
    [[nodiscard]] double boundary_k(std::size_t index, double time_s) const;

    std::vector<thermal::Segment> segments_;
    std::size_t nodes_;
    std::vector<double> time_s_;
    std::vector<double> node_k_;  ///< nodes_ values a moment
};

}  // namespace bakewright::plan
