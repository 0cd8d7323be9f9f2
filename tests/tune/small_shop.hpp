// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>

#include "bakewright/bake/booth.hpp"
#include "bakewright/bake/cycle.hpp"
#include "bakewright/bake/shell.hpp"
#include "bakewright/tune/tune.hpp"

/// An invented shop of one small shell, whose logs are made by the model itself with numbers that are known.
namespace bakewright::test {

[[nodiscard]] bake::Shell small_shell();
[[nodiscard]] bake::Booth small_booth();
[[nodiscard]] bake::Cycle small_cycle(double setpoint_k);

/// What the log is made with, beyond shell and booth.
struct LogMaking {
    std::uint64_t seed = 1;
    double noise_k = 0.15;           ///< of every sample, normal
    double offset_standard_k = 0.0;  ///< of every probe, normal
    double setpoint_k = 333.15;
    double interval_s = 30.0;
};

/// A log of every zone and of the booth's air, as a bake with these records would have given it.
[[nodiscard]] tune::LoggedBake logged(const std::string& name, const bake::Shell& truth, const bake::Booth& booth,
                                      const LogMaking& making);

[[nodiscard]] Trace& channel(tune::LoggedBake& bake, const std::string& name);
[[nodiscard]] const tune::TunedNumber* number(const tune::TuneResult& result, bake::LearnedKind kind, const std::string& subject);

}  // namespace bakewright::test
