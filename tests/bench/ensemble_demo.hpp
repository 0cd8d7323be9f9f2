#pragma once

#include <functional>
#include <memory>
#include <span>
#include <vector>

#include "bakewright/thermal/network.hpp"
#include "bakewright/thermal/rate_layout.hpp"

namespace bakewright::bench {

/// A member's node temperatures, moment by moment of an output grid.
using NodeObserver = std::function<void(double time_s, std::span<const double> node_k)>;

/// What an ensemble costs without one: members solved one by one with SUNDIALS CVODE, BDF with KLU (ordered by AMD), the exact
/// Jacobian and the rates of RateSystem, set up once and restarted at every segment's end.
class CvodeLoop {
public:
    CvodeLoop(const thermal::Network& network, const std::vector<thermal::Segment>& segments, double interval_s,
              double relative_tolerance, double absolute_tolerance_k);
    CvodeLoop(const CvodeLoop&) = delete;
    CvodeLoop& operator=(const CvodeLoop&) = delete;
    ~CvodeLoop();
    /// @throws std::runtime_error where CVODE gives up
    void solve(const thermal::Member<double>& member, const NodeObserver& observer);

private:
    struct Parts;
    std::unique_ptr<Parts> parts_;
};

}  // namespace bakewright::bench
