#include "solve_report.hpp"

namespace bakewright::thermal {

SolveReporter::SolveReporter(const RateSystem<double>& system, const StateObserver& observer, double start_s, double interval_s)
    : system_(system), observer_(observer), start_s_(start_s), interval_s_(interval_s) {}

std::span<const double> SolveReporter::times_before(double end_s) {
    times_s_.clear();
    for (std::size_t index = next_index_;; ++index) {
        const double time_s = start_s_ + static_cast<double>(index) * interval_s_;
        if (time_s >= end_s - kSameMomentS) return times_s_;
        times_s_.push_back(time_s);
    }
}

void SolveReporter::report(double time_s, std::span<const double> y) {
    if (time_s >= next_s() - kSameMomentS) ++next_index_;
    if (time_s <= last_s_ + kSameMomentS) return;
    last_s_ = time_s;
    account_j_.clear();
    for (std::size_t a = 0; a < system_.account_count(); ++a) account_j_.push_back(system_.account_heat_j(y, a));
    observer_(time_s, y.first(system_.node_count()), account_j_);
}

}  // namespace bakewright::thermal
