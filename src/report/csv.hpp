// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "bakewright/base/format.hpp"
#include "bakewright/base/trace.hpp"

namespace bakewright::report {

struct CsvOptions {
    Units units{};
    /// Kelvin whatever the units, with as many digits as read back to the same double. Otherwise the user's degrees with two
    /// decimals and seconds with at most six.
    bool exact = false;
    /// Writes samples that are flagged (spike, stuck, ...) too. Otherwise they are blank like missing ones.
    bool flagged_samples = false;
    /// Starts with the UTF-8 mark that some spreadsheets need to read the degree sign.
    bool byte_order_mark = false;
    /// As spreadsheets of most of Europe open it: columns separated by semicolons, a comma before the decimals.
    bool semicolons = false;
};

/// The traces as one CSV table (RFC 4180: comma, CRLF, quotes doubled). Columns: "time [s]", then each trace as "roof skin [°C]".
/// Rows: every time at which any trace has a sample; a field is blank where its trace has none there.
/// A name that a spreadsheet would run as a formula (it begins with = + - @ or their full-width forms) gets a ' in front.
[[nodiscard]] std::string traces_csv(const TraceSet& traces, const CsvOptions& options = {});

/// The parts of traces_csv(): its first line, of the names alone, and the rows of some samples. Rows behind one another are those
/// of the whole where each part begins after the one before ends.
[[nodiscard]] std::string csv_heading(const std::vector<std::string>& names, const CsvOptions& options = {});
[[nodiscard]] std::string csv_rows(const TraceSet& traces, const CsvOptions& options = {});

/// The heading of samples_csv().
inline constexpr std::string_view kSamplesHeading = "bake_uid,trace,role,time_s,temperature_k,quality,clock_time\r\n";

/// The moment of a sample, "2026-03-07T08:00:12.500+01:00", in the zone that the start has, if any; empty where the start is no
/// moment.
[[nodiscard]] std::string clock_time(std::string_view started_at, double time_s);

/// One trace as rows of one sample each, for programs that read many bakes as one table: every digit, flags as words, the field
/// blank where a temperature is missing, and the clock's time where the bake's start is known.
[[nodiscard]] std::string samples_csv(const Trace& trace, std::string_view bake_uid, std::string_view started_at = {});

/// A text as one field: quoted where it must be, with a ' in front where a spreadsheet would run it as a formula.
[[nodiscard]] std::string csv_field(std::string text);

}  // namespace bakewright::report
