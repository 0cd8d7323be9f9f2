// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "bakewright/base/quantity.hpp"
#include "bakewright/probe/merge_logs.hpp"
#include "bakewright/probe/read_log.hpp"

namespace bakewright::services {

/// The options that overrule how a log is read, without dashes: flags, those with one value, those that may be repeated. `air`
/// and `map` say what a column is.
inline constexpr std::array<std::string_view, 2> kReadingFlags = {"keep-clock", "no-flags"};
inline constexpr std::array<std::string_view, 16> kReadingSingle = {
    "delimiter", "decimal", "time-column",        "date-column", "time-form",    "temperature-unit", "skip-lines",
    "from-line", "to-line", "reference-junction", "name-column", "value-column", "spike-limit",      "stuck-time",
    "range",     "air"};
inline constexpr std::array<std::string_view, 7> kReadingRepeated = {"channel-unit", "channel", "thermocouple", "map",
                                                                     "scale",        "missing", "leave-out"};

[[nodiscard]] bool is_reading_flag(std::string_view name);

/// Such options as somebody gave them. Readings throw InputError that names the option with its dashes.
class GivenOptions {
public:
    GivenOptions() = default;
    /// @param given  name and value; a flag's value counts for nothing @throws InputError for a name that is none of the above
    explicit GivenOptions(std::vector<std::pair<std::string, std::string>> given);

    [[nodiscard]] const std::vector<std::pair<std::string, std::string>>& all() const noexcept { return given_; }
    [[nodiscard]] bool has(std::string_view name) const;
    [[nodiscard]] bool flag(std::string_view name) const { return has(name); }
    [[nodiscard]] std::string text(std::string_view name) const;  ///< of one that was given
    [[nodiscard]] std::string text_or(std::string_view name, const std::string& otherwise) const;
    [[nodiscard]] std::vector<std::string> texts(std::string_view name) const;
    [[nodiscard]] std::optional<double> quantity(std::string_view name, Dimension dimension) const;
    [[nodiscard]] std::optional<double> number(std::string_view name) const;

private:
    std::vector<std::pair<std::string, std::string>> given_;
};

/// What they say. @throws InputError that names the option
[[nodiscard]] probe::ReadOptions read_options(const GivenOptions& options);

/// "COLUMN=NAME" at the last '='. @throws InputError that names the option
[[nodiscard]] std::pair<std::string, std::string> assignment(const std::string& text, const std::string& option);

/// A channel that somebody decided not to believe.
struct LeftOut {
    std::string channel;             ///< name of its trace
    std::optional<double> from_s{};  ///< from this time of the log on; nothing: all of it
};
/// `leave-out`: NAME, or NAME=TIME. @throws InputError that names the option
[[nodiscard]] std::vector<LeftOut> left_out(const GivenOptions& options);

/// As a JSON object, to be kept beside the raw file: with it the file can be read the same way again.
[[nodiscard]] std::string reading_options_json(const GivenOptions& options);
/// The way back; of a text that is no such object, none.
[[nodiscard]] GivenOptions reading_options_from_json(const std::string& json);

/// True where two such texts take the same lines of a file.
[[nodiscard]] bool same_part(const std::string& one_json, const std::string& other_json);

/// How two logs were put together, to be kept with the bake.
[[nodiscard]] std::string merge_json(const probe::LogAlignment& alignment);

}  // namespace bakewright::services
