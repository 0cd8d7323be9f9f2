// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <limits>
#include <optional>
#include <span>
#include <vector>

#include "bakewright/codec/samples.hpp"
#include "usual_step.hpp"

namespace bakewright::probe {

/// Two printed numbers that are equal stay so in kelvin to 1e-13.
inline constexpr double kRoundingK = 1e-6;

/// Usable samples that follow each other and have one value.
struct EqualRun {
    std::size_t first, end;
};

/// What going through a trace once looks out for, so that most rules need not go through it again.
struct LookOut {
    double jump_k = std::numeric_limits<double>::infinity();      ///< steps above it
    double run_time_s = std::numeric_limits<double>::infinity();  ///< runs that last so long
    std::size_t run_samples = 2;                                  ///< runs of so many at the lowest or highest value
};

/// What going through the usable samples of a trace tells. Samples are numbered among the usable ones.
struct ScannedSamples {
    std::vector<std::size_t> first_good{0};  ///< number of the first usable sample of each page, and behind the last
    std::vector<double> first_time_s;        ///< of the first usable sample of each page; of the page before where there is none
    double first_k = std::numeric_limits<double>::quiet_NaN();  ///< the first usable sample
    double least_k = 0.0, most_k = 0.0;
    double resolution_k = 0.0;    ///< smallest difference between neighbours that is none of rounding [K]; 0 where nothing moves
    double usual_step_s = 0.0;    ///< median of the times between neighbours; 0 where there are fewer than two [s]
    double longest_step_s = 0.0;  ///< longest time between neighbours, the first such; 0 where there are fewer than two [s]
    double longest_step_from_s = 0.0;
    /// Samples that lie more than LookOut::jump_k from the one before; nothing where they are too many to be listed.
    std::optional<std::vector<std::size_t>> jumps{std::in_place};
    std::vector<EqualRun> long_runs;  ///< runs that last LookOut::run_time_s or longer
    std::vector<EqualRun> end_runs;   ///< runs of LookOut::run_samples or more at the lowest or highest value, in order

    [[nodiscard]] std::size_t size() const noexcept { return first_good.back(); }
};

/// One way through all samples of a trace, page after page.
class SampleScan {
public:
    explicit SampleScan(const LookOut& look_out) : look_out_(look_out) {}

    /// Takes a page; where it has no flags all of its samples are good.
    void take(const codec::Samples& page);
    /// To be called once, behind the last page.
    [[nodiscard]] ScannedSamples finish();

private:
    void take_usable(std::span<const double> time_s, std::span<const double> temperature_k);
    void take_temperatures(std::span<const double> temperature_k);
    void note_jumps(std::span<const double> temperature_k);
    void take_times(std::span<const double> time_s);
    bool has_no_run(std::span<const double> temperature_k) const;
    void take_runs(std::span<const double> time_s, std::span<const double> temperature_k);
    void take_runs_of(std::size_t first, std::span<const double> time_s, std::span<const double> temperature_k);
    void close_run();
    void keep_end(double beyond_k, double& end_k, std::vector<EqualRun>& runs) const;

    const LookOut look_out_;
    ScannedSamples out_;
    double finest_k_ = std::numeric_limits<double>::infinity();
    double last_k_ = 0.0, last_s_ = 0.0, step_s_ = 0.0;
    std::size_t equal_steps_ = 0;  ///< of step_s_, not yet counted
    UsualStep steps_;
    EqualRun run_{0, 0};  ///< that goes on
    double run_k_ = 0.0, run_from_s_ = 0.0, run_to_s_ = 0.0;
    double low_k_ = std::numeric_limits<double>::infinity(), high_k_ = -std::numeric_limits<double>::infinity();
    std::vector<EqualRun> low_, high_;
    std::vector<double> usable_s_, usable_k_;
};

}  // namespace bakewright::probe
