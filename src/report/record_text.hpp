// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>

#include "bakewright/record/recorder.hpp"
#include "bakewright/report/json.hpp"
#include "bakewright/report/text.hpp"

namespace bakewright::report {

/// How a recording stands, on one screen: newest reading of each channel, what its sources do, what waits, when the book last
/// took something, what happened last.
[[nodiscard]] std::string recording_screen(const record::RecorderStatus& status, const std::string& booth,
                                           const TextOptions& options);
/// The same in one line, for a log.
[[nodiscard]] std::string recording_line(const record::RecorderStatus& status, const TextOptions& options);
/// What a recording came to, when it has ended.
[[nodiscard]] std::string recording_summary(const record::RecorderStatus& status, const TextOptions& options);
/// The same for programs (docs/json.md).
[[nodiscard]] Json recording_document(const record::RecorderStatus& status, const std::string& booth);
/// What the book says of a recording: its booth, whether it has ended, what happened meanwhile.
[[nodiscard]] std::string recording_text(const book::Recording& recording, const TextOptions& options);
/// What happened to a recording, a line each.
[[nodiscard]] std::vector<std::string> recording_events(const std::vector<book::RecordingEvent>& events);

}  // namespace bakewright::report
