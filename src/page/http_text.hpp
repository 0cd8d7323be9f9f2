#pragma once

#include <string>
#include <string_view>

#include "route.hpp"

/// Answers as text of HTTP/1.1.
namespace bakewright::page {

/// The status line and every header, up to the empty line. @param closes  whether the connection closes after it
[[nodiscard]] std::string head_text(const Answer& answer, bool closes);

/// A sentence for whoever asks wrongly.
[[nodiscard]] Answer plain_answer(int status, std::string_view words);

/// Status 503, to be asked again in a second: nothing of the work was begun.
[[nodiscard]] Answer busy_answer(std::string_view words);

}  // namespace bakewright::page
