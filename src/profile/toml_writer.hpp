// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <map>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "bakewright/base/quantity.hpp"

namespace bakewright::profile {

/// The keys of one table in the order they are written: as lines of their own, or as an inline table.
class KeyValues {
public:
    void text(std::string_view key, std::string_view value);
    void boolean(std::string_view key, bool value);
    void number(std::string_view key, double value);
    void quantity(std::string_view key, double value, Dimension dimension);
    void numbers(std::string_view key, const std::vector<double>& values);
    void texts(std::string_view key, const std::vector<std::string>& values);
    void table(std::string_view key, const KeyValues& values) { raw(key, values.inline_table()); }
    /// A list of inline tables, one a line.
    void tables(std::string_view key, const std::vector<KeyValues>& values);
    /// Stands behind the last key where keys have lines of their own. @param text  one line
    void remark(std::string text) { remarks_[entries_.size() - 1] = std::move(text); }

    [[nodiscard]] bool empty() const noexcept { return entries_.empty(); }
    [[nodiscard]] std::string lines() const;
    [[nodiscard]] std::string inline_table() const;

private:
    void raw(std::string_view key, std::string_view value);

    std::vector<std::string> entries_;
    std::map<std::size_t, std::string> remarks_;
};

[[nodiscard]] KeyValues table_of(const std::map<std::string, std::string>& texts);

/// kind, id and title at the top of a profile.
[[nodiscard]] KeyValues head(std::string_view kind, std::string_view id, std::string_view title);

/// "\n[header]\n" and the keys below it; nothing where there are no keys.
[[nodiscard]] std::string section(std::string_view header, const KeyValues& values);
/// "\n[[header]]\n" and the keys below it.
[[nodiscard]] std::string element(std::string_view header, const KeyValues& values);

}  // namespace bakewright::profile
