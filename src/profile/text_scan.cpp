// SPDX-License-Identifier: Apache-2.0
#include "text_scan.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "bakewright/profile/text_rules.hpp"

namespace bakewright::profile {
namespace {

constexpr std::string_view kByteOrderMark = "\xef\xbb\xbf";

/// Walks over TOML text just closely enough to tell keys from strings and remarks.
class Scanner {
public:
    explicit Scanner(std::string_view text) : text_(text), at_(text.starts_with(kByteOrderMark) ? kByteOrderMark.size() : 0) {}

    std::optional<ScanFault> first_fault() {
        while (at_ < text_.size()) {
            if (is_foreign(text_[at_])) return ScanFault{line_, foreign_message()};
            step();
            if (dots_ > kMostKeyDots)
                return ScanFault{line_,
                                 fmt::format("a key has more than {} dots; keys of profiles have one or two", kMostKeyDots)};
        }
        return std::nullopt;
    }

private:
    static bool is_foreign(char letter) { return static_cast<unsigned char>(letter) >= 0x80U; }

    /// The whole foreign stretch, so that a character of several bytes is shown as one.
    [[nodiscard]] std::string foreign_message() const {
        std::size_t end = at_;
        while (end < text_.size() && is_foreign(text_[end])) ++end;
        return fmt::format("{} stands outside of quotes; quotes are written \" and remarks start with #",
                           shown(text_.substr(at_, end - at_)));
    }

    void step() {
        const char letter = text_[at_];
        if (letter == '#') return skip_remark();
        if (letter == '"' || letter == '\'') return skip_string();
        if (letter == '\n') ++line_;
        if (letter == '.') ++dots_;
        if (std::string_view("\n=,[]{}").find(letter) != std::string_view::npos) dots_ = 0;
        ++at_;
    }

    void skip_remark() { at_ = std::min(text_.find('\n', at_), text_.size()); }

    void skip_string() {
        const std::string_view skipped = text_.substr(at_, end_of_string(text_, at_) - at_);
        line_ += static_cast<int>(std::count(skipped.begin(), skipped.end(), '\n'));
        at_ += skipped.size();
    }

    std::string_view text_;
    std::size_t at_;
    int line_ = 1;
    int dots_ = 0;
};

}  // namespace

std::size_t end_of_string(std::string_view toml, std::size_t at) {
    const char quote = toml[at];
    const std::string mark(3, quote);
    const bool has_lines = toml.substr(at).starts_with(mark);
    const auto is_end = [&] { return has_lines ? toml.substr(at).starts_with(mark) : toml[at] == quote || toml[at] == '\n'; };
    at += has_lines ? mark.size() : 1;
    while (at < toml.size() && !is_end()) at += quote == '"' && toml[at] == '\\' ? 2 : 1;
    // Up to two quotes of the content may touch the three that close it.
    for (std::size_t closing = has_lines ? 5 : 1; closing > 0 && at < toml.size() && toml[at] == quote; --closing) ++at;
    return std::min(at, toml.size());
}

std::optional<ScanFault> fault_before_parsing(std::string_view toml) { return Scanner(toml).first_fault(); }

}  // namespace bakewright::profile
