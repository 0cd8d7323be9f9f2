#pragma once

#include <optional>

#include "bakewright/thermal/rate_system.hpp"
#include "ensemble_kernel.hpp"
#include "ensemble_tracker.hpp"

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

}  // namespace bakewright::thermal
