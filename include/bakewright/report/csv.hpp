#pragma once

#include <string>
#include <string_view>

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
};

/// The traces as one CSV table (RFC 4180: comma, CRLF, quotes doubled). Columns: "time [s]", then each trace as "roof skin [°C]".
/// Rows: every time at which any trace has a sample; a field is blank where its trace has none there.
/// A name that a spreadsheet would run as a formula (it begins with = + - @ or their full-width forms) gets a ' in front.
[[nodiscard]] std::string traces_csv(const TraceSet& traces, const CsvOptions& options = {});

/// The heading of samples_csv().
inline constexpr std::string_view kSamplesHeading = "bake_uid,trace,role,time_s,temperature_k,quality\r\n";

/// One trace as rows of one sample each, for programs that read many bakes as one table: every digit, flags as words, the field
/// blank where a temperature is missing.
[[nodiscard]] std::string samples_csv(const Trace& trace, std::string_view bake_uid);

/// A text as one field: quoted where it must be, with a ' in front where a spreadsheet would run it as a formula.
[[nodiscard]] std::string csv_field(std::string text);

}  // namespace bakewright::report
