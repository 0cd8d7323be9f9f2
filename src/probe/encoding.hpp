// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <string_view>

#include "problem_list.hpp"

namespace bakewright::probe {

/// The text of a file in UTF-8 without byte-order mark. text() looks into the original bytes where they are UTF-8 already.
struct DecodedText {
    std::string encoding;
    std::string_view original;
    std::string converted;
    bool is_converted = false;
    std::size_t padding_bytes = 0;  ///< zero bytes behind the text, and what was left of a row before them

    [[nodiscard]] std::string_view text() const noexcept { return is_converted ? std::string_view(converted) : original; }
};

/// Byte-order mark first; then UTF-16 by its zero bytes; then UTF-8 where every byte sequence is valid; else Latin-1
/// (with the printable characters that Windows code page 1252 puts at 0x80 to 0x9F).
/// @throws InputError for an empty file, a spreadsheet or other binary file (zero bytes)
[[nodiscard]] DecodedText decode_text(std::string_view bytes, ProblemList& problems);

[[nodiscard]] std::string padding_remark(std::size_t bytes);

/// Valid UTF-8 (RFC 3629) without zero bytes.
[[nodiscard]] bool is_plain_utf8(std::string_view bytes) noexcept;

}  // namespace bakewright::probe
