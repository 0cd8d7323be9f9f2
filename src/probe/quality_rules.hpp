#pragma once

#include <cstddef>
#include <string>
#include <utility>
#include <vector>

#include "bakewright/base/trace.hpp"
#include "bakewright/probe/quality.hpp"

namespace bakewright::probe {

/// The usable samples of a trace, in order; the trace must outlive it and keep its samples.
class GoodSamples {
public:
    explicit GoodSamples(const Trace& trace);
    [[nodiscard]] std::size_t size() const noexcept { return index_.size(); }
    [[nodiscard]] double time_s(std::size_t i) const { return trace_->time_s[index_[i]]; }
    [[nodiscard]] double temperature_k(std::size_t i) const { return trace_->temperature_k[index_[i]]; }
    [[nodiscard]] std::size_t sample(std::size_t i) const { return index_[i]; }  ///< position in the trace
    [[nodiscard]] const std::string& name() const noexcept { return trace_->name; }
    [[nodiscard]] double least_k() const noexcept { return least_k_; }
    [[nodiscard]] double most_k() const noexcept { return most_k_; }
    /// Smallest difference between neighbours that is none of rounding [K]; 0 where nothing moves.
    [[nodiscard]] double resolution_k() const noexcept { return resolution_k_; }
    /// How far the samples between two times lie apart [K]; 0 where there are fewer than two.
    [[nodiscard]] double movement_k(double from_s, double to_s) const;

private:
    const Trace* trace_;
    std::vector<std::size_t> index_;
    double least_k_ = 0.0, most_k_ = 0.0, resolution_k_ = 0.0;
};

/// Samples of a trace and the flag each is to get; the first flag of a sample holds.
using FlagList = std::vector<std::pair<std::size_t, SampleQuality>>;

/// The rules of QualityRules, one function each.
void find_spikes(const GoodSamples& good, const QualityRules& rules, FlagList& flags);
void find_clipped(const GoodSamples& good, const QualityRules& rules, FlagList& flags);
void find_stuck(const std::vector<GoodSamples>& all, const QualityRules& rules, std::vector<FlagList>& flags);

/// Says where two channels or more stop at the same highest or lowest value for ten samples without being flagged.
void remark_shared_ends(const std::vector<GoodSamples>& all, const std::vector<FlagList>& flags,
                        std::vector<std::string>& remarks);

void set_flags(const FlagList& flags, Trace& trace);

}  // namespace bakewright::probe
