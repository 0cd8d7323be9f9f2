// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/base/format.hpp"

namespace bakewright::page {

/// The JSON object that a request bears. Every reading throws InputError that names the key and what is accepted.
class Body {
public:
    /// @throws InputError for a text that is no JSON object, holds a number too large, or is nested deeper than 16
    explicit Body(std::string_view text);

    [[nodiscard]] bool has(const char* key) const;  ///< there and not null
    [[nodiscard]] double number(const char* key, double least, double most) const;
    [[nodiscard]] std::optional<double> maybe_number(const char* key, double least, double most) const;
    [[nodiscard]] std::vector<double> numbers(const char* key, double least, double most) const;  ///< empty where absent
    [[nodiscard]] std::string text(const char* key) const;                                        ///< at most 4096 bytes, UTF-8
    [[nodiscard]] std::string text_or(const char* key, const std::string& otherwise) const;
    [[nodiscard]] std::string long_text(const char* key) const;
    /// A bake, by its number or by a text: "12", its uid or the first digits of it.
    [[nodiscard]] std::string reference(const char* key) const;
    [[nodiscard]] std::vector<std::string> references(const char* key) const;  ///< empty where absent
    [[nodiscard]] std::vector<std::string> texts(const char* key) const;       ///< empty where absent
    /// Names and texts, in the order of their names: an object whose values are texts, or lists of texts.
    [[nodiscard]] std::vector<std::pair<std::string, std::string>> pairs(const char* key) const;
    [[nodiscard]] bool flag(const char* key) const;  ///< false where absent
    [[nodiscard]] Units units() const;               ///< key "units": "metric", "us" or "si"; metric where absent

private:
    [[nodiscard]] const nlohmann::json& at(const char* key) const;
    nlohmann::json json_;
};

/// A name that is a file's name on every system, and no path: the same. @throws InputError
[[nodiscard]] std::string safe_name(const std::string& name);

}  // namespace bakewright::page
