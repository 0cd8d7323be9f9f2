// SPDX-License-Identifier: Apache-2.0
#include "toml_writer.hpp"

#include <fmt/format.h>
#include <toml++/toml.h>

#include <cmath>
#include <sstream>

#include "bakewright/base/error.hpp"
#include "bakewright/profile/edit.hpp"
#include "bakewright/profile/text_rules.hpp"

namespace bakewright::profile {
namespace {

/// A text as a TOML string. Only what the reader takes back is written. @throws InputError
std::string quoted(std::string_view text) {
    const std::string fault = text.empty() ? std::string() : fault_of_text(text, kLongestText);
    if (!fault.empty()) throw InputError(Problem{.file = {}, .line = 0, .key = {}, .message = "a text of the record " + fault});
    const toml::value<std::string> value{std::string(text)};
    std::ostringstream stream;
    stream << toml::toml_formatter(value, toml::format_flags::none);
    return stream.str();
}

std::string key_text(std::string_view key) {
    constexpr std::string_view kBare = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_-";
    const bool bare = !key.empty() && key.find_first_not_of(kBare) == std::string_view::npos;
    return bare ? std::string(key) : quoted(key);
}

}  // namespace

std::string text_value(std::string_view text) { return quoted(text); }

void KeyValues::raw(std::string_view key, std::string_view value) {
    entries_.push_back(fmt::format("{} = {}", key_text(key), value));
}

void KeyValues::text(std::string_view key, std::string_view value) { raw(key, quoted(value)); }

void KeyValues::boolean(std::string_view key, bool value) { raw(key, value ? "true" : "false"); }

void KeyValues::number(std::string_view key, double value) {
    ensure(std::isfinite(value), "a number written to a profile is finite");
    raw(key, fmt::format("{}", value));
}

void KeyValues::quantity(std::string_view key, double value, Dimension dimension) { text(key, si_text(value, dimension)); }

void KeyValues::numbers(std::string_view key, const std::vector<double>& values) {
    for (const double value : values) ensure(std::isfinite(value), "a number written to a profile is finite");
    raw(key, fmt::format("[{}]", fmt::join(values, ", ")));
}

void KeyValues::texts(std::string_view key, const std::vector<std::string>& values) {
    std::vector<std::string> all;
    for (const std::string& value : values) all.push_back(quoted(value));
    raw(key, fmt::format("[{}]", fmt::join(all, ", ")));
}

void KeyValues::tables(std::string_view key, const std::vector<KeyValues>& values) {
    std::string list = "[\n";
    for (const KeyValues& value : values) list += fmt::format("    {},\n", value.inline_table());
    raw(key, list + "]");
}

std::string KeyValues::lines() const {
    std::string text;
    for (std::size_t i = 0; i < entries_.size(); ++i) {
        const auto said = remarks_.find(i);
        text += entries_[i] + (said == remarks_.end() ? "" : "  # " + said->second) + "\n";
    }
    return text;
}

std::string KeyValues::inline_table() const { return fmt::format("{{ {} }}", fmt::join(entries_, ", ")); }

KeyValues table_of(const std::map<std::string, std::string>& texts) {
    KeyValues values;
    for (const auto& [key, text] : texts) values.text(key, text);
    return values;
}

KeyValues head(std::string_view kind, std::string_view id, std::string_view title) {
    KeyValues values;
    values.text("kind", kind);
    values.text("id", id);
    values.text("title", title);
    return values;
}

std::string section(std::string_view header, const KeyValues& values) {
    return values.empty() ? std::string() : fmt::format("\n[{}]\n{}", header, values.lines());
}

std::string element(std::string_view header, const KeyValues& values) {
    return fmt::format("\n[[{}]]\n{}", header, values.lines());
}

}  // namespace bakewright::profile
