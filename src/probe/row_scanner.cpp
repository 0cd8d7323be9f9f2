// SPDX-License-Identifier: Apache-2.0
#include "row_scanner.hpp"

#include <algorithm>
#include <cmath>

#include "cell.hpp"
#include "plain_number.hpp"

namespace bakewright::probe {
namespace {
constexpr std::string_view kNoBreakSpace = "\xC2\xA0";
}

std::string_view trimmed(std::string_view text) noexcept {
    // Most fields of a log are digits up to both ends.
    const auto is_plain = [](char c) { return c > ' ' && c <= '~'; };
    if (!text.empty() && is_plain(text.front()) && is_plain(text.back())) return text;
    for (;;) {
        if (!text.empty() && (text.front() == ' ' || text.front() == '\t')) {
            text.remove_prefix(1);
        } else if (text.substr(0, 2) == kNoBreakSpace) {
            text.remove_prefix(2);
        } else {
            break;
        }
    }
    for (;;) {
        if (!text.empty() && (text.back() == ' ' || text.back() == '\t')) {
            text.remove_suffix(1);
        } else if (text.size() >= 2 && text.substr(text.size() - 2) == kNoBreakSpace) {
            text.remove_suffix(2);
        } else {
            break;
        }
    }
    return text;
}

bool RowScanner::at_line_end() const noexcept {
    return position_ >= text_.size() || text_[position_] == '\n' || text_[position_] == '\r';
}

bool RowScanner::at_delimiter() const noexcept {
    if (position_ >= text_.size()) return false;
    const char c = text_[position_];
    return delimiter_ == ' ' ? c == ' ' || c == '\t' : c == delimiter_;
}

void RowScanner::skip_blanks() noexcept {
    while (position_ < text_.size() && (text_[position_] == ' ' || text_[position_] == '\t') &&
           (delimiter_ == ' ' || text_[position_] != delimiter_))
        ++position_;
}

void RowScanner::skip_to_field_end() noexcept {
    while (position_ < text_.size() && !ends_field_[index(text_[position_])]) ++position_;
}

void RowScanner::take_line_end() noexcept {
    cut_ = position_ >= text_.size();
    if (cut_) return;
    const bool carriage_return = text_[position_] == '\r';
    ++position_;
    if (carriage_return && position_ < text_.size() && text_[position_] == '\n') ++position_;
    ++next_line_;
}

bool RowScanner::next() {
    while (position_ < text_.size()) {
        line_ = next_line_;
        offset_ = position_;
        read_row();
        const auto filled = [](std::string_view field) { return !field.empty(); };
        if (std::any_of(fields_.begin(), fields_.end(), filled)) return true;
    }
    return false;
}

bool RowScanner::next_plain(std::span<const FieldUse> uses, char decimal_mark, std::vector<double>& numbers,
                            std::vector<std::string_view>& texts) {
    if (delimiter_ == ' ') return false;
    const char *at = text_.data() + position_, *const end = text_.data() + text_.size();
    numbers.clear();
    texts.clear();
    for (std::size_t field = 0; field < uses.size(); ++field) {
        const char* const from = at;
        if (uses[field] != FieldUse::text) {
            double value = 0.0;
            at = read_plain_number(from, end, decimal_mark, value);
            if (at == nullptr) return false;
            numbers.push_back(value);
            if (uses[field] == FieldUse::both) texts.emplace_back(from, static_cast<std::size_t>(at - from));
        } else {
            while (at != end && !ends_field_[index(*at)]) ++at;
            const std::string_view text(from, static_cast<std::size_t>(at - from));
            if (trimmed(text).size() != text.size()) return false;
            texts.push_back(text);
        }
        const bool last = field + 1 == uses.size();
        if (at == end || (last ? *at != '\n' && *at != '\r' : *at != delimiter_)) return false;
        if (!last) ++at;
    }
    line_ = next_line_;
    offset_ = position_;
    position_ = static_cast<std::size_t>(at - text_.data());
    take_line_end();
    return true;
}

void RowScanner::read_row() {
    fields_.clear();
    if (delimiter_ == ' ') skip_blanks();
    while (!at_line_end()) {
        fields_.push_back(read_field());
        if (delimiter_ == ' ') {
            skip_blanks();
        } else if (at_delimiter()) {
            ++position_;
            if (at_line_end()) fields_.emplace_back();
        }
    }
    take_line_end();
}

std::string_view RowScanner::read_field() {
    skip_blanks();
    if (position_ < text_.size() && text_[position_] == '"') return read_quoted();
    const std::size_t start = position_;
    skip_to_field_end();
    return trimmed(text_.substr(start, position_ - start));
}

std::string_view RowScanner::read_quoted() {
    const int quote_line = next_line_;
    const std::size_t start = ++position_;
    bool doubled = false;
    int lines = 0;
    for (;; ++position_) {
        if (position_ >= text_.size()) {
            open_quote_line_ = quote_line;
            return text_.substr(start);
        }
        const char c = text_[position_];
        if (c == '\n' || (c == '\r' && (position_ + 1 >= text_.size() || text_[position_ + 1] != '\n'))) ++lines;
        if (c != '"') continue;
        if (position_ + 1 >= text_.size() || text_[position_ + 1] != '"') break;
        doubled = true;
        ++position_;
    }
    next_line_ += lines;
    std::string_view inside = text_.substr(start, position_ - start);
    ++position_;
    if (doubled) {
        std::string& plain = unquoted_.emplace_back();
        for (std::size_t i = 0; i < inside.size(); ++i) {
            plain.push_back(inside[i]);
            if (inside[i] == '"') ++i;
        }
        inside = plain;
    }
    return rest_after_quote(inside);
}

/// `"3/4" rod` is not RFC 4180, yet written: what follows the closing quote belongs to the field.
std::string_view RowScanner::rest_after_quote(std::string_view inside) {
    const std::size_t start = position_;
    skip_to_field_end();
    const std::string_view rest = trimmed(text_.substr(start, position_ - start));
    if (rest.empty()) return trimmed(inside);
    std::string& whole = unquoted_.emplace_back(inside);
    whole.push_back('"');
    whole.append(text_.substr(start, position_ - start));
    return trimmed(whole);
}

}  // namespace bakewright::probe
