// SPDX-License-Identifier: Apache-2.0
#include "bakewright/profile/saved_reading.hpp"

#include "bakewright/base/error.hpp"
#include "document.hpp"
#include "table_reader.hpp"
#include "toml_writer.hpp"

namespace bakewright::profile {
namespace {
constexpr std::string_view kKind = "log_reading";
}

std::string to_toml(const SavedReading& reading) {
    KeyValues values;
    values.text("kind", kKind);
    values.text("name", reading.name);
    values.number("number", reading.number);
    std::string text = values.lines();
    for (const auto& [name, value] : reading.options) {
        KeyValues option;
        option.text("name", name);
        option.text("value", value);
        text += element("option", option);
    }
    return text;
}

SavedReading saved_reading_from_toml(std::string_view text, const std::string& origin) {
    Collector collector(origin);
    SavedReading reading;
    if (const std::optional<toml::table> root = parse_document(text, collector)) {
        TableReader reader(*root, {}, collector);
        std::string kind;
        if (reader.read_text("kind", kind, Need::required) && kind != kKind) reader.problem("kind", "is not \"log_reading\"");
        reader.read_text("name", reading.name, Need::required);
        double number = 1.0;
        if (reader.read_number("number", number, "a whole number from 1", Need::required) && number >= 1.0 && number < 1e6)
            reading.number = static_cast<int>(number);
        for (TableReader& row : reader.tables("option")) {
            auto& [name, value] = reading.options.emplace_back();
            row.read_text("name", name, Need::required);
            row.read_text("value", value, Need::required);
            row.finish();
        }
        reader.finish();
    }
    auto located = collector.finish(std::move(reading));
    if (!located.problems.empty()) throw InputError(std::move(located.problems));
    return std::move(located.record);
}

}  // namespace bakewright::profile
