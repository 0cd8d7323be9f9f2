// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace bakewright {

/// What a trace was measured on or computed for.
enum class TraceRole {
    booth_air,   ///< air at the booth's reference place
    booth_wall,  ///< inner face of the booth walls
    zone,        ///< a zone of the shell, at its coated face
    cavity_air,  ///< air inside the shell
    item,        ///< a heat-sensitive item
    test_panel,  ///< the free-hanging panel
    unmapped     ///< a channel of a log that nobody has named yet
};

[[nodiscard]] std::string_view trace_role_name(TraceRole role) noexcept;
[[nodiscard]] std::optional<TraceRole> trace_role_from_name(std::string_view name) noexcept;

/// What is known about one sample. Samples are flagged, never deleted.
enum class SampleQuality : std::uint8_t { good, missing, open_circuit, out_of_range, spike, stuck, clipped };

[[nodiscard]] std::string_view sample_quality_name(SampleQuality quality) noexcept;

/// One named temperature over time, simulated or logged; between samples it is a straight line.
/// Shapes: time_s and temperature_k have the same length; quality has that length or is empty (all good).
/// time_s [s] since the start of the bake, strictly increasing, finite, may start below 0. temperature_k [K] is NaN where a
/// sample is missing.
struct Trace {
    std::string name;
    TraceRole role = TraceRole::unmapped;
    std::vector<double> time_s;
    std::vector<double> temperature_k;
    std::vector<SampleQuality> quality;

    [[nodiscard]] std::size_t size() const noexcept { return time_s.size(); }
    /// True for a sample that is finite and flagged good.
    [[nodiscard]] bool usable(std::size_t index) const noexcept;
    /// Only the usable samples, flags dropped.
    [[nodiscard]] Trace usable_samples() const;
    /// @throws PromiseError where the shapes or the order of time are not as promised above.
    void ensure_well_formed() const;
};

/// Temperature at a time by the straight line between the neighbouring samples; NaN outside the trace or beside a sample
/// that is missing or flagged (ask trace.usable_samples() to bridge those).
[[nodiscard]] double temperature_at_k(const Trace& trace, double time_s);

/// The named traces of one bake. Names are unique.
struct TraceSet {
    std::vector<Trace> traces;
    std::string started_at;  ///< ISO 8601 local or zoned clock time of time 0; empty where unknown

    [[nodiscard]] const Trace* find(std::string_view name) const noexcept;
    /// The first trace of a role; null where there is none.
    [[nodiscard]] const Trace* first(TraceRole role) const noexcept;
    /// Latest time of any trace [s]; 0 for an empty set.
    [[nodiscard]] double end_s() const noexcept;
    void ensure_well_formed() const;
};

}  // namespace bakewright
