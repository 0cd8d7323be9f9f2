// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <toml++/toml.h>

#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/base/fields.hpp"
#include "collector.hpp"

namespace bakewright::profile {

/// Reads one table of a profile. Every read_* fills its target where the key is there and right, and otherwise leaves it as it is
/// and tells the collector what is wrong. It returns true where the target was filled. A required key that is missing is a
/// problem. finish() then reports the keys that nobody asked for.
class TableReader {
public:
    TableReader(const toml::table& table, std::string path, Collector& collector)
        : table_(&table), path_(std::move(path)), collector_(&collector) {}

    [[nodiscard]] Collector& collector() const noexcept { return *collector_; }
    [[nodiscard]] const std::string& path() const noexcept { return path_; }
    [[nodiscard]] std::string path_of(std::string_view key) const;
    /// Whether the key is there; makes it a known key.
    bool has(std::string_view key);
    [[nodiscard]] bool holds_table(std::string_view key) const { return (*table_)[key].is_table(); }
    [[nodiscard]] bool holds_text(std::string_view key, std::string_view text) const { return (*table_)[key] == text; }
    void problem(std::string_view key, std::string message) const { collector_->add(path_of(key), std::move(message)); }
    /// Notes that a default stands in for a key that is missing: "45 °C (common practice)".
    void note_default(std::string_view key, std::string_view value_and_source);

    bool read_text(std::string_view key, std::string& target, Need need = Need::optional);
    bool read_name(std::string_view key, std::string& target, Need need = Need::optional);
    bool read_boolean(std::string_view key, bool& target);
    /// A number without unit. @param accepted  for messages, such as "a number from 0 to 1"
    bool read_number(std::string_view key, double& target, std::string_view accepted, Need need = Need::optional);
    bool read_quantity(std::string_view key, Dimension dimension, double& target, Need need = Need::optional,
                       GaugeSeries series = GaugeSeries::none);
    /// One quantity, which then stands for all three, or a table of low, value and high.
    std::optional<Spread> read_spread(std::string_view key, Dimension dimension);
    /// A list of numbers without unit.
    bool read_numbers(std::string_view key, std::vector<double>& target);
    bool read_names(std::string_view key, std::vector<std::string>& target, Need need = Need::optional);
    /// A table of texts; its keys are free. A dotted key (burner.power = "...") is one key.
    void read_texts(std::string_view key, std::map<std::string, std::string>& target);

    /// The index of one of the words.
    std::optional<std::size_t> read_word(std::string_view key, std::span<const std::string_view> words,
                                         Need need = Need::optional);

    [[nodiscard]] std::optional<TableReader> table(std::string_view key, Need need = Need::optional);
    /// Readers of an array of tables ([[key]] or key = [{...}]).
    [[nodiscard]] std::vector<TableReader> tables(std::string_view key, Need need = Need::optional);

    /// Reports unknown keys, with the nearest known one, and the required keys that are missing.
    void finish();

private:
    const toml::node* find(std::string_view key, Need need, std::string accepted);
    bool refuse_type(std::string_view key, const toml::node& node, std::string_view accepted) const;
    bool read_plain_text(std::string_view key, std::string& target, Need need, std::size_t longest, std::string_view what);
    bool parse(std::string_view key, Dimension dimension, GaugeSeries series, std::string_view text, double& target) const;
    bool read_quantity_text(std::string_view key, Dimension dimension, GaugeSeries series, std::string_view text,
                            double& target) const;
    void read_all_texts(const std::string& prefix, std::map<std::string, std::string>& target);
    void report_unknown(const toml::key& key, std::vector<std::string>& meant) const;

    const toml::table* table_;
    std::string path_;
    Collector* collector_;
    std::vector<std::string> known_;
    struct Missing {
        std::string key;
        std::string accepted;
    };
    std::vector<Missing> missing_;
};

}  // namespace bakewright::profile
