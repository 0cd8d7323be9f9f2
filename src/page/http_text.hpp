// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "request.hpp"

namespace bakewright::page {

/// All of a request that is known before its body is read.
struct Head {
    std::string method;                                         ///< as sent
    std::string target;                                         ///< path and query, as sent
    std::vector<std::pair<std::string, std::string>> fields{};  ///< names in small letters, in the order sent
    std::optional<std::uint64_t> body_bytes{};                  ///< its Content-Length

    [[nodiscard]] std::size_t count(std::string_view name) const;
    [[nodiscard]] std::string field(std::string_view name) const;  ///< the first of that name; empty where there is none
};

/// The status line and every header, up to the empty line. @param closes  whether the connection closes after it
[[nodiscard]] std::string head_text(const Answer& answer, bool closes);

/// A sentence for whoever asks wrongly.
[[nodiscard]] Answer plain_answer(int status, std::string_view words);

/// Status 503, to be asked again in a second: nothing of the work was begun.
[[nodiscard]] Answer busy_answer(std::string_view words);

}  // namespace bakewright::page
