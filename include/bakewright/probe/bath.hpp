// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

#include "bakewright/base/trace.hpp"
#include "bakewright/probe/probe_record.hpp"

/// Calibrating probes in baths: all of them together in melting ice, in warm water beside a thermometer, in boiling water.
namespace bakewright::probe {

/// A bath of known temperature.
struct Bath {
    std::string name;  ///< for people: "ice"
    double temperature_k = 0.0;
    double standard_k = 0.1;  ///< how well that is known, 1 standard deviation
};

/// Crushed ice packed into clean water, stirred: 0 degC within 0.1 K (common practice, no source; made with care 0.002 K).
[[nodiscard]] Bath ice_bath();
/// Warm water that was stirred, by the thermometer beside the probes.
[[nodiscard]] Bath warm_bath(double temperature_k, double standard_k);
/// Water that boils at a height above the sea. Pressure by the standard atmosphere, p = p0 (1 - 2.25577e-5 h)^5.25588 (ISO
/// 2533:1975); the boiling point by 1/T = 1/T0 - (R/L) ln(p/p0) with 373.124 K (ITS-90) and L = 40.66 kJ/mol (Clausius &
/// Clapeyron; within 0.1 K up to 3000 m). The weather's 1.5 kPa either way are 0.4 K. @param altitude_m  -400 to 5000
[[nodiscard]] Bath boiling_bath(double altitude_m);

/// What one channel read in one bath.
struct BathReading {
    std::string channel;
    Bath bath;
    double reading_k = 0.0;  ///< mean over the steadiest kBathStayS
    double scatter_k = 0.0;  ///< standard deviation of a reading then
    double from_s = 0.0;     ///< when that begins
    [[nodiscard]] double correction_k() const noexcept { return bath.temperature_k - reading_k; }
    [[nodiscard]] double standard_k() const noexcept;
};
/// The shortest stay in a bath that counts, and the widest standard deviation in it: common practice, no source.
inline constexpr double kBathStayS = 120.0, kMostBathScatterK = 0.3;
/// A probe further off than this is not calibrated but replaced: 2.5 K is what class 2 allows (IEC 60584-1:2013), twice that is a
/// fault.
inline constexpr double kFarthestOffK = 5.0;

struct BathCalibration {
    std::vector<BathReading> readings;  ///< by channel, then bath
    std::vector<std::string> left_out;  ///< a sentence each: channels that were steady in no bath, or are too far off
};
/// Finds each channel's steadiest stay in each bath: of all within kFarthestOffK of it the one with the least scatter. Channels
/// may go through the baths in any order. @throws InputError where there is no bath, or two lie within 2 kFarthestOffK of each
/// other
[[nodiscard]] BathCalibration read_baths(const TraceSet& traces, const std::vector<Bath>& baths);

/// The records with what the baths found, a probe a channel: points by temperature, the largest of their uncertainties expanded
/// by 2. What is known of type and attachment stays; a channel without a record gets type K, taped.
/// @param date  ISO 8601
[[nodiscard]] ProbeSet calibrated(ProbeSet set, const BathCalibration& found, const std::string& date);

}  // namespace bakewright::probe
