// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <deque>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace bakewright::probe {

/// What becomes of a field of a row that is read as a plain one.
enum class FieldUse : std::uint8_t {
    number,
    text,
    both,  ///< a number of which the text is wanted too
};

/// Yields the rows of delimited text one at a time (RFC 4180, and a few liberties loggers take: blanks around fields,
/// any of CR LF, LF and CR as line end, text after a closing quote). Blank rows are passed over.
/// A delimiter of ' ' means runs of blanks and tabs.
/// Fields look into the text, or into storage of the scanner where a doubled quote had to be undone; both live as long as the
/// scanner does.
class RowScanner {
public:
    RowScanner(std::string_view text, char delimiter, int first_line = 1) noexcept
        : text_(text), delimiter_(delimiter), next_line_(first_line) {
        for (const char end : {'\n', '\r', delimiter, delimiter == ' ' ? '\t' : delimiter}) ends_field_[index(end)] = true;
    }

    /// Moves on to the next row; false at the end.
    bool next();
    /// The same for a row of the commonest kind: as many fields as uses, neither quotes nor blanks, and a number in digits in
    /// each that is to be one. Numbers and texts are put in place of what is there, each in the order of the fields. Where the
    /// next row is another, or the file ends in it, false, and the scanner stands where it stood; fields() tell nothing of a
    /// plain row.
    bool next_plain(std::span<const FieldUse> uses, char decimal_mark, std::vector<double>& numbers,
                    std::vector<std::string_view>& texts);
    /// Back to the beginning of the row that was just read.
    void back_to_row() noexcept {
        position_ = offset_;
        next_line_ = line_;
    }
    [[nodiscard]] std::span<const std::string_view> fields() const noexcept { return fields_; }
    /// Line of the row's first character, from 1.
    [[nodiscard]] int line() const noexcept { return line_; }
    /// Where the row starts in the text.
    [[nodiscard]] std::size_t offset() const noexcept { return offset_; }
    /// The row has no line end because the file stops in it.
    [[nodiscard]] bool ends_without_newline() const noexcept { return cut_; }
    /// Line of a quote that is never closed; 0 where there is none so far.
    [[nodiscard]] int open_quote_line() const noexcept { return open_quote_line_; }
    /// Line of the row that would come next.
    [[nodiscard]] int next_line() const noexcept { return next_line_; }

private:
    void read_row();
    std::string_view read_field();
    std::string_view read_quoted();
    std::string_view rest_after_quote(std::string_view inside);
    void skip_blanks() noexcept;
    void skip_to_field_end() noexcept;
    static std::size_t index(char c) noexcept { return static_cast<unsigned char>(c); }
    bool at_line_end() const noexcept;
    bool at_delimiter() const noexcept;
    void take_line_end() noexcept;

    std::string_view text_;
    char delimiter_;
    std::array<bool, 256> ends_field_{};
    std::size_t position_ = 0;
    int next_line_;
    int line_ = 0;
    std::size_t offset_ = 0;
    bool cut_ = false;
    int open_quote_line_ = 0;
    std::vector<std::string_view> fields_;
    std::deque<std::string> unquoted_;
};

/// Removes blanks, tabs and no-break spaces at both ends.
[[nodiscard]] std::string_view trimmed(std::string_view text) noexcept;

}  // namespace bakewright::probe
