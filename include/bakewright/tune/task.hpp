// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <limits>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/bake/booth.hpp"
#include "bakewright/bake/cycle.hpp"
#include "bakewright/bake/shell.hpp"
#include "bakewright/bake/uncertainty.hpp"
#include "bakewright/base/trace.hpp"
#include "bakewright/base/work.hpp"
#include "bakewright/probe/channel_fault.hpp"
#include "bakewright/probe/probe_record.hpp"

/// What is learned from: logged bakes of a shell in a booth.
namespace bakewright::tune {

/// A logged bake to learn from. Its traces bear the names of zones, cavities and items.
struct LoggedBake {
    std::string name;  ///< for people: "bake 3 of 2026-10-02"
    TraceSet traces{};
    std::optional<bake::Cycle> cycle{};       ///< tells the fan modes; drives the model where the air was not logged
    std::optional<probe::ProbeSet> probes{};  ///< tolerance and attachment of each channel
};

/// A stretch of a bake's time.
struct TimeSpan {
    double from_s = -std::numeric_limits<double>::infinity();
    double to_s = std::numeric_limits<double>::infinity();
    [[nodiscard]] bool holds(double time_s) const noexcept { return time_s >= from_s && time_s <= to_s; }
};

/// What may be tuned; a word of each for the command line.
enum class Tunable {
    film,      ///< film coefficient of each film group
    zones,     ///< each probed zone's own deviation from its group, and that of the air along it
    modes,     ///< film by fan mode, where the cycle tells the modes
    links,     ///< conductance of links at probed zones
    masses,    ///< heat capacity of probed zones
    vertical,  ///< vertical air profile, where the booth states one
    walls,     ///< how far walls, ceiling and floor lie under the air; their loss, where the air is solved for
    air,       ///< what the booth's air is against what is set, fresh air, burner
    cavities   ///< leakage and film of cavities
};
[[nodiscard]] std::string_view tunable_name(Tunable tunable) noexcept;
[[nodiscard]] std::optional<Tunable> tunable_from_name(std::string_view name) noexcept;
[[nodiscard]] const std::vector<Tunable>& all_tunables();

struct TuneTask {
    bake::Shell shell;
    bake::Booth booth;
    std::vector<LoggedBake> bakes;  ///< at least one
};

/// By how much a number is moved to see what it does, in standard deviations.
inline constexpr double kNumberStep = 0.3;

struct TuneOptions {
    std::set<Tunable> what{all_tunables().begin(), all_tunables().end()};
    bake::Uncertainty prior{};            ///< what is believed of every number before any log
    std::vector<std::string> held_out{};  ///< names of bakes that are only predicted
    bool holds_out = true;                ///< false: no error on bakes left out (one fit in place of several)
    bool drives_by_cycle = false;         ///< the cycle drives the model although the log has the air, which is then fitted too
    bool keeps_suspects = false;          ///< channels that look faulty are fitted all the same
    /// Logarithms of what other bakes say for each of bake::discrepancy_sizes(); empty: nothing.
    std::vector<double> earlier_evidence{};
    double number_step = kNumberStep;  ///< as in EstimateOptions
    std::size_t thread_count = 0;      ///< 0: one a core
    Progress progress{};
};

/// What is wrong with a channel, as it looks against the model and the other channels.
struct ProbeFault {
    using Kind = probe::FaultKind;
    Kind kind = Kind::step;
    double from_s = 0.0;  ///< step, loose, frozen
    double amount = 0.0;  ///< step: kelvin; loose: share, 0 to 1; drift: kelvin an hour; wrong type: its rise over the true one
    std::string with{};   ///< exchanged: the other channel
    double statistic = 0.0;  ///< in standard deviations; exchanged: how much the sum of squares falls; 0: seen without a model
};

}  // namespace bakewright::tune
