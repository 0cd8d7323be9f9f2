// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>

#include "bakewright/services/import_log.hpp"
#include "bakewright/services/reading_options.hpp"
#include "bakewright/tune/empty_booth.hpp"

/// A booth's profile from the log of one run of it with nothing inside.
namespace bakewright::services {

/// A log of the empty booth, and what is said of it.
struct BoothLogTask {
    LogFile file;
    /// How it is read. `map` says what a column is: air, air at 0.3 m, wall, ceiling, floor, outside, set point; `air` is the
    /// column of the air in the middle. Columns of which nothing is said go by their names, else they are left out.
    GivenOptions reading;
    std::optional<double> setpoint_k;
    std::optional<double> heat_on_s, heat_off_s;  ///< by the log's time
    bool fans_change = false;
};

/// @throws InputError with the file, in plain words
[[nodiscard]] tune::EmptyRun empty_run(const BoothLogTask& task);

/// What the fit found, put into the text that the booth was read from: remarks and order stay; each number that is told bears one
/// with its range. Reads back as the fit's booth.
/// @param id  of the booth @throws InputError
[[nodiscard]] std::string text_of_fit(const std::string& text, const std::string& id, const tune::EmptyBoothFit& fit);

/// Fits a booth's text to a log. Nobody said how strong the heater is where its source begins with builder::kGuess.
/// @param text  of the booth as its maker or questions have it
struct FittedBoothText {
    tune::EmptyBoothFit fit;
    std::string text;
};
[[nodiscard]] FittedBoothText fitted_booth(const std::string& text, const std::string& id, const BoothLogTask& task);

}  // namespace bakewright::services
