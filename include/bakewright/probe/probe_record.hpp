// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/base/error.hpp"
#include "bakewright/base/trace.hpp"
#include "bakewright/probe/thermocouple.hpp"
#include "bakewright/probe/tolerance.hpp"

namespace bakewright {
class Fields;
}

/// What is known of the probes that a log was made with.
namespace bakewright::probe {

/// How a probe is held to what it measures.
enum class Attachment { in_air, embedded, welded, taped, clipped, magnet };

constexpr std::array<std::string_view, 6> words_of(Attachment) noexcept {
    return {"in air", "embedded", "welded", "taped", "clipped", "magnet"};
}

/// Share of the way from the surface to the air that a probe reads at most, 0 to 1.
///
///     share = h s / (lambda + h s)
///
/// for a bead behind a gap of air s that takes heat from the air with the film coefficient h = 10 W/m2K; lambda = 0.026 W/mK.
/// Gaps are common practice: welded 0.02 mm (0.01), taped and clipped 0.1 mm (0.04), magnet 0.5 mm (0.16). In air and embedded:
/// 0.
[[nodiscard]] double usual_air_share(Attachment attachment) noexcept;

struct ProbeRecord {
    std::string channel;  ///< name of the channel in the log
    std::string id;       ///< what is written on the probe; may be empty
    ThermocoupleType type = ThermocoupleType::k;
    std::optional<ToleranceClass> tolerance;
    Attachment attachment = Attachment::taped;
    double air_share = 0.0;  ///< 0 to 0.5: reads at most this share of the way from the surface to the air
    std::optional<Calibration> calibration;
    std::string calibrated_on;  ///< ISO 8601 date; empty without calibration
    std::string due_on;         ///< date of the next calibration; empty where none is set

    /// Standard uncertainty near a temperature: the calibration's, else that of the tolerance; nothing where neither tells [K].
    [[nodiscard]] std::optional<double> standard_uncertainty_k(double temperature_k) const;
};

/// The probes of one logger.
struct ProbeSet {
    std::string id;
    std::string title;
    std::vector<ProbeRecord> probes;

    [[nodiscard]] const ProbeRecord* find(std::string_view channel) const noexcept;
};

/// The fields of the probes below a set's id and title, with their ranges.
void visit_fields(CalibrationPoint& point, Fields& see);
void visit_fields(ProbeRecord& record, Fields& see);
void visit_fields(ProbeSet& set, Fields& see);
/// Everything wrong with a set; keys as in its profile ("probe[1].calibration.due"), indices from 0. Allowed beyond the ranges:
/// each channel once; points at rising temperatures; dates of the calendar, the due date not before that of the calibration.
[[nodiscard]] std::vector<Problem> problems_in(const ProbeSet& set);

/// What the probes did to a log.
struct ProbeUse {
    std::vector<std::string> corrected;  ///< channels whose readings were corrected
    std::vector<std::string> remarks;    ///< overdue calibrations, channels without a record, records without a channel
};

/// Corrects the readings of every channel that has a calibration; the raw file keeps what the logger wrote.
/// @param date  ISO 8601 date or time of the bake, which tells whether a calibration was overdue; empty where it is not known
ProbeUse apply_probes(TraceSet& traces, const ProbeSet& set, std::string_view date);

/// The readings as they would be if every surface probe erred by its whole air share on the unsafe side: zones and the test panel
/// colder while the air is hotter than they read, items hotter while the air is colder.
///
///     surface = (reading - share * air) / (1 - share)
///
/// Samples for which the air is not known stay. The air is the first trace with the role booth_air.
/// @param set  its channels bear the names of the traces
[[nodiscard]] TraceSet unsafe_readings(const TraceSet& traces, const ProbeSet& set);

}  // namespace bakewright::probe
