#pragma once

#include <limits>
#include <optional>
#include <vector>

#include "bakewright/cure/joined_trace.hpp"

/// Readings of one trace against temperatures. All are exact for the straight lines between samples: crossings are solved, not
/// rounded to samples. Gaps are treated as JoinedTrace says. Inserting a sample on a line changes nothing.
namespace bakewright::cure {

/// A sample this little under a temperature is at it [K]: converting 140 degF to kelvin rounds in the last digits.
inline constexpr double kTemperatureRoundingK = 1e-9;

/// Time at or above one temperature.
struct StayReading {
    double longest_s = 0.0;            ///< longest unbroken stay
    double longest_from_s = 0.0;       ///< when it began; 0 where longest_s is 0
    double total_s = 0.0;              ///< all stays together
    std::optional<double> first_up_s;  ///< the first moment at or above it; also set where it only touches
};

[[nodiscard]] StayReading stay_at_or_above(const JoinedTrace& trace, double temperature_k);

/// One unbroken time at or above a temperature. until_s >= from_s: a touch has no length.
struct Stay {
    double from_s = 0.0;
    double until_s = 0.0;
};

/// The stays that stay_at_or_above() adds up, in the order of time.
[[nodiscard]] std::vector<Stay> stays_at_or_above(const JoinedTrace& trace, double temperature_k);

/// The hottest sample, and the first moment it was reached. Between samples a straight line is never hotter.
struct PeakReading {
    double temperature_k = 0.0;
    double at_s = 0.0;
};

/// Nothing for a trace without usable samples. What happened in an open gap is not in it: see JoinedTrace::gaps().
[[nodiscard]] std::optional<PeakReading> peak(const JoinedTrace& trace);

/// The largest mean rise over a span, and the start of that span.
struct RiseReading {
    double rate_k_per_s = 0.0;  ///< below 0 where the trace only cools
    double from_s = 0.0;
};

/// max over t of (T(t + span) - T(t)) / span. For straight lines the largest one starts or ends on a sample, so that only those
/// are tried. Nothing where no unbroken run is as long as the span.
/// @param span_s   > 0
/// @param until_s  spans that end later do not count
[[nodiscard]] std::optional<RiseReading> steepest_rise(const JoinedTrace& trace, double span_s,
                                                       double until_s = std::numeric_limits<double>::infinity());
/// The same for cooling: rate_k_per_s is the largest mean fall, above 0 where the trace cools.
[[nodiscard]] std::optional<RiseReading> steepest_fall(const JoinedTrace& trace, double span_s);

/// How the moment is told at which the heat came on. Common practice, no source.
struct HeatOnRule {
    double span_s = 120.0;    ///< the rise is looked at over this span
    double rise_k = 1.0;      ///< air that rises so much over the span may be heated
    double confirm_k = 5.0;   ///< and is, where it goes on to rise so much before it falls back
    double drop_k = 0.5;      ///< by more than this it has fallen back
    double on_line_k = 0.25;  ///< the moment is the last one within the first span no more than this over its coldest point
};

/// When the heat came on, from the trace of the booth air; nothing where it never did.
[[nodiscard]] std::optional<double> heat_on_s(const JoinedTrace& booth_air, const HeatOnRule& rule = {});

}  // namespace bakewright::cure
