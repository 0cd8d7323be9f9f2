// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <atomic>
#include <cstddef>
#include <cstdint>
#include <exception>
#include <functional>
#include <memory>
#include <mutex>
#include <optional>
#include <span>
#include <vector>

#include "ensemble_kernel.hpp"
#include "ensemble_tracker.hpp"
#include "rate_system.hpp"

namespace bakewright::thermal {

/// Solves members one by one, each with steps of its own. One object serves one thread.
class LoneSolver {
public:
    explicit LoneSolver(const EnsembleTask& task);
    /// The error norm is left alone. @throws SolveError
    void solve(const EnsembleMember& member, const PackOutput& output);

private:
    struct Watch {
        Watch(const WatchedPlace& watched, const RateLayout& layout, std::span<const FunctionTable* const> tables);
        Place place;
        FollowingTerm<double> following;
        std::optional<Place> than_place;
        std::optional<FollowingTerm<double>> than;
        Tracker<double> tracker;
    };
    [[nodiscard]] double seen_k(std::size_t watch, double time_s, std::span<const double> node_k) const;
    void load(const EnsembleMember& member);
    void watch(double time_s, std::span<const double> node_k, const PackOutput& output);

    const EnsembleTask& task_;
    RateSystem<double> system_;
    std::vector<Watch> watches_;
    std::vector<double> offset_k_;
    std::vector<Moment> moments_;  ///< all of the grid, the start first
    std::size_t next_moment_ = 0;
};

/// Counts of values in bins of equal width, for each of many series (a place at a moment). The ranges come from the values of
/// pilot members, so that memory does not grow with the members; counts are whole numbers, so that their sum does not depend on
/// the order of members.
class HistogramRanges {
public:
    static constexpr std::size_t kBins = 256;

    HistogramRanges() = default;
    /// @param pilot  by series, then pilot member; finite. A range reaches half the pilots' spread beyond them on either side.
    HistogramRanges(std::span<const float> pilot, std::size_t pilot_count);

    [[nodiscard]] std::size_t series_count() const noexcept { return low_.size(); }
    [[nodiscard]] std::size_t bin(std::size_t series, float value) const noexcept {
        const float x = (value - low_[series]) * bins_per_unit_[series];
        const float last = static_cast<float>(kBins - 1);
        return static_cast<std::size_t>(x > 0.0F ? (x < last ? x : last) : 0.0F);
    }
    [[nodiscard]] double bin_width(std::size_t series) const noexcept {
        return 1.0 / static_cast<double>(bins_per_unit_[series]);
    }
    [[nodiscard]] double widest_bin() const noexcept;
    /// @param counts  kBins of the series  @param total  their sum, > 0
    [[nodiscard]] double quantile(std::size_t series, std::span<const std::uint32_t> counts, std::uint64_t total,
                                  double level) const noexcept;

private:
    std::vector<float> low_, bins_per_unit_;
};

/// One run of solve_ensemble(): hands packs of members to threads and gathers what they make of them.
class EnsembleRun {
public:
    EnsembleRun(const EnsembleTask& task, const MemberGenerator& generator, const EnsembleOptions& options);
    ~EnsembleRun();
    [[nodiscard]] EnsembleResult run();

private:
    /// What a thread has for itself.
    struct Worker {
        std::unique_ptr<EnsembleKernel> kernel;
        std::optional<LoneSolver> alone;
        std::vector<EnsembleMember> members;
        std::vector<double> readings, error_norm;
        std::vector<float> trace_k, observed_k;
        std::vector<std::uint32_t> counts;  ///< by series, then bin
    };
    using Members = std::vector<std::size_t>;  ///< by index, rising

    void solve_range(std::size_t begin, std::size_t end);
    void solve_packs(const Members& members, const StepPlan& plan);
    void solve_alone(const Members& members);
    [[nodiscard]] Members take_rejected(const Members& members);

    void for_each(std::size_t count, const std::function<void(Worker&, std::size_t)>& work);
    void solve_pack(Worker& worker, std::span<const std::size_t> members, const StepPlan& plan);
    void solve_one(Worker& worker, std::size_t member);
    void generate(std::size_t index, EnsembleMember& member) const;
    void keep(Worker& worker, std::size_t member, std::size_t lane, std::size_t width);
    [[nodiscard]] bool goes_on();
    void note_failure(std::size_t member, std::exception_ptr failure);

    void set_ranges();
    void add_quantiles(EnsembleQuantiles& quantiles) const;
    [[nodiscard]] std::vector<double> quantiles_of(std::size_t series) const;
    [[nodiscard]] std::vector<std::uint32_t> counts_of(std::size_t series) const;

    const EnsembleTask& task_;
    const MemberGenerator& generator_;
    const EnsembleOptions& options_;
    EnsembleMember plain_;
    InstructionSet set_;
    std::vector<Worker> workers_;
    EnsembleResult result_;
    std::vector<std::uint8_t> is_rejected_;  ///< by member; each is written by one thread

    std::size_t pilot_count_ = 0;
    std::vector<float> pilot_k_;  ///< by series, then pilot member
    HistogramRanges ranges_;

    std::atomic<std::size_t> done_count_{0}, lowest_failed_;
    std::atomic<bool> is_cancelled_{false};
    std::mutex failure_mutex_;
    std::exception_ptr failure_;
};

}  // namespace bakewright::thermal
