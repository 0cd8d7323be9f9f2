#pragma once

#include <deque>
#include <vector>

#include "bakewright/cure/confidence.hpp"
#include "bakewright/cure/joined_trace.hpp"

namespace bakewright::cure {

/// An item's traces, of one bake or several, as the keeping of its limits hangs on how far they are off.
class ItemOffsets {
public:
    explicit ItemOffsets(std::vector<ExposureLimit> limits) : limits_(std::move(limits)) {}

    void add(const Trace& trace, double standard_k);
    [[nodiscard]] bool empty() const noexcept { return parts_.empty(); }
    [[nodiscard]] Certainty certainty() const;

private:
    struct Part {
        Part(const Trace& from, double uncertainty_k) : trace(from), standard_k(uncertainty_k) {}
        JoinedTrace trace;
        double standard_k;
    };
    [[nodiscard]] bool passed(const ExposureLimit& limit, double deviations) const;

    std::vector<ExposureLimit> limits_;
    std::deque<Part> parts_;  // a joined trace does not move
};

}  // namespace bakewright::cure
