#pragma once

#include <atomic>
#include <cstdint>
#include <exception>
#include <functional>
#include <memory>
#include <mutex>
#include <optional>
#include <vector>

#include "ensemble_alone.hpp"
#include "ensemble_kernel.hpp"
#include "ensemble_quantiles.hpp"

namespace bakewright::thermal {

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
