// SPDX-License-Identifier: Apache-2.0
#include "table_reader.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "bakewright/base/error.hpp"
#include "bakewright/profile/text_rules.hpp"

namespace bakewright::profile {
namespace {

/// No shell has more parts, no item more limits; what has is not a profile.
constexpr std::size_t kMostEntries = 1000;

std::string_view type_of(const toml::node& node) {
    switch (node.type()) {
        case toml::node_type::table:
            return "a table";
        case toml::node_type::array:
            return "a list";
        case toml::node_type::string:
            return "a text";
        case toml::node_type::integer:
        case toml::node_type::floating_point:
            return "a bare number";
        case toml::node_type::boolean:
            return "true or false";
        default:
            return "a date or time";
    }
}

/// The value as written, where it is short: "the text \"12\"".
std::string value_shown(const toml::node& node) {
    if (const auto* const text = node.as_string()) return fmt::format("the text {}", shown(text->get()));
    if (const auto* const integer = node.as_integer()) return fmt::format("the bare number {}", integer->get());
    if (const auto* const real = node.as_floating_point()) return fmt::format("the bare number {}", real->get());
    if (const auto* const boolean = node.as_boolean()) return boolean->get() ? "true" : "false";
    return std::string(type_of(node));
}

std::string quoted_list(const std::vector<std::string>& words) {
    std::vector<std::string> quoted;
    for (const std::string& word : words) quoted.push_back("\"" + word + "\"");
    if (quoted.size() < 2) return quoted.empty() ? std::string() : quoted.front();
    const std::string last = quoted.back();
    quoted.pop_back();
    return fmt::format("{} or {}", fmt::join(quoted, ", "), last);
}

std::string suggestion(std::string_view typed, const std::vector<std::string>& known) {
    return typed.size() > kLongestName ? std::string() : nearest_name(typed, known);
}

}  // namespace

std::string TableReader::path_of(std::string_view key) const {
    return path_.empty() ? std::string(key) : fmt::format("{}.{}", path_, key);
}

bool TableReader::has(std::string_view key) {
    if (std::find(known_.begin(), known_.end(), key) == known_.end()) known_.emplace_back(key);
    return table_->contains(key);
}

void TableReader::note_default(std::string_view key, std::string_view value_and_source) {
    if (!has(key)) collector_->note(fmt::format("{} is not given: {}", path_of(key), value_and_source));
}

const toml::node* TableReader::find(std::string_view key, Need need, std::string accepted) {
    if (has(key)) return table_->get(key);
    if (need == Need::required) missing_.push_back({std::string(key), std::move(accepted)});
    return nullptr;
}

bool TableReader::refuse_type(std::string_view key, const toml::node& node, std::string_view accepted) const {
    problem(key, fmt::format("is {}; expected {}", value_shown(node), accepted));
    return false;
}

bool TableReader::read_plain_text(std::string_view key, std::string& target, Need need, std::size_t longest,
                                  std::string_view what) {
    const toml::node* const node = find(key, need, std::string(what));
    if (node == nullptr) return false;
    const auto* const text = node->as_string();
    if (text == nullptr) return refuse_type(key, *node, what);
    if (std::string fault = fault_of_text(text->get(), longest); !fault.empty()) {
        problem(key, std::move(fault));
        return false;
    }
    target = text->get();
    return true;
}

bool TableReader::read_text(std::string_view key, std::string& target, Need need) {
    return read_plain_text(key, target, need, kLongestText, "a text in quotes");
}

bool TableReader::read_name(std::string_view key, std::string& target, Need need) {
    return read_plain_text(key, target, need, kLongestName, "a name in quotes");
}

std::optional<std::size_t> TableReader::read_word(std::string_view key, std::span<const std::string_view> words, Need need) {
    const std::vector<std::string> accepted(words.begin(), words.end());
    const std::string what = quoted_list(accepted);
    const toml::node* const node = find(key, need, what);
    if (node == nullptr) return std::nullopt;
    const auto* const text = node->as_string();
    if (text == nullptr) {
        refuse_type(key, *node, what);
        return std::nullopt;
    }
    const auto found = std::ranges::find(words, text->get());
    if (found != words.end()) return static_cast<std::size_t>(found - words.begin());
    const std::string near = suggestion(text->get(), accepted);
    problem(key, fmt::format("is {}; expected {}{}", shown(text->get()), what,
                             near.empty() ? "" : fmt::format(" (did you mean \"{}\"?)", near)));
    return std::nullopt;
}

bool TableReader::read_boolean(std::string_view key, bool& target) {
    const toml::node* const node = find(key, Need::optional, {});
    if (node == nullptr) return false;
    const auto* const boolean = node->as_boolean();
    if (boolean == nullptr) return refuse_type(key, *node, "true or false, without quotes");
    target = boolean->get();
    return true;
}

bool TableReader::read_number(std::string_view key, double& target, std::string_view accepted, Need need) {
    const toml::node* const node = find(key, need, std::string(accepted));
    if (node == nullptr) return false;
    const std::optional<double> number = node->is_number() ? node->value<double>() : std::nullopt;
    if (!number || !std::isfinite(*number)) return refuse_type(key, *node, fmt::format("{}, without quotes", accepted));
    target = *number;
    collector_->add_number(path_of(key), {std::nullopt, fmt::format("{}", *number)});
    return true;
}

bool TableReader::read_quantity(std::string_view key, Dimension dimension, double& target, Need need, GaugeSeries series) {
    const toml::node* const node = find(key, need, accepted_forms(dimension));
    if (node == nullptr) return false;
    const auto* const text = node->as_string();
    if (text == nullptr) return refuse_type(key, *node, accepted_forms(dimension) + ", in quotes");
    return read_quantity_text(key, dimension, series, text->get(), target);
}

bool TableReader::parse(std::string_view key, Dimension dimension, GaugeSeries series, std::string_view text,
                        double& target) const {
    try {
        target = parse_quantity(text, dimension, series);
        return true;
    } catch (const QuantityError& error) {
        problem(key, error.what());
        return false;
    }
}

bool TableReader::read_quantity_text(std::string_view key, Dimension dimension, GaugeSeries series, std::string_view text,
                                     double& target) const {
    if (!parse(key, dimension, series, text, target)) return false;
    collector_->add_number(path_of(key), {dimension, std::string(text)});
    return true;
}

std::optional<Spread> TableReader::read_spread(std::string_view key, Dimension dimension) {
    const std::string what = accepted_forms(dimension) + ", or a table of low, value and high";
    const toml::node* const node = find(key, Need::optional, {});
    if (node == nullptr) return std::nullopt;
    Spread spread;
    if (const toml::table* const table = node->as_table()) {
        TableReader inner(*table, path_of(key), *collector_);
        bool complete = inner.read_quantity("low", dimension, spread.low, Need::required);
        complete &= inner.read_quantity("value", dimension, spread.value, Need::required);
        complete &= inner.read_quantity("high", dimension, spread.high, Need::required);
        inner.finish();
        if (!complete) collector_->mark_unread(path_of(key));
        return complete ? std::optional(spread) : std::nullopt;
    }
    const auto* const text = node->as_string();
    if (text == nullptr) {
        refuse_type(key, *node, what);
        return std::nullopt;
    }
    if (!read_quantity_text(key, dimension, GaugeSeries::none, text->get(), spread.value)) return std::nullopt;
    spread.low = spread.high = spread.value;
    return spread;
}

bool TableReader::read_numbers(std::string_view key, std::vector<double>& target) {
    constexpr std::string_view what = "a list of numbers such as [0.1, -0.3]";
    const toml::node* const node = find(key, Need::optional, std::string(what));
    if (node == nullptr) return false;
    const toml::array* const array = node->as_array();
    const bool all_numbers = array != nullptr && array->size() <= kMostEntries &&
                             std::all_of(array->begin(), array->end(), [](const toml::node& entry) { return entry.is_number(); });
    if (!all_numbers) return refuse_type(key, *node, what);
    for (const toml::node& entry : *array) target.push_back(entry.value_or(0.0));
    return true;
}

bool TableReader::read_names(std::string_view key, std::vector<std::string>& target, Need need) {
    constexpr std::string_view what = "a list of names such as [\"roof\", \"door\"]";
    const toml::node* const node = find(key, need, std::string(what));
    if (node == nullptr) return false;
    const toml::array* const array = node->as_array();
    const bool all_texts = array != nullptr && array->size() <= kMostEntries &&
                           std::all_of(array->begin(), array->end(), [](const toml::node& entry) { return entry.is_string(); });
    if (!all_texts) return refuse_type(key, *node, what);
    for (const toml::node& entry : *array) target.push_back(entry.as_string()->get());
    return true;
}

void TableReader::read_texts(std::string_view key, std::map<std::string, std::string>& target) {
    const toml::node* const node = find(key, Need::optional, {});
    if (node == nullptr) return;
    if (const toml::table* const table = node->as_table())
        TableReader(*table, path_of(key), *collector_).read_all_texts({}, target);
    else
        refuse_type(key, *node, "a table of texts such as density = \"EN ISO 10456, table 3\"");
}

void TableReader::read_all_texts(const std::string& prefix, std::map<std::string, std::string>& target) {
    for (const auto& [key, entry] : *table_) {
        const std::string name = prefix + std::string(key.str());
        const toml::table* const inner = entry.as_table();
        if (std::string fault = fault_of_text(name, kLongestName); !fault.empty())
            collector_->add_at_line(static_cast<int>(key.source().begin.line), path_, "a key " + fault);
        else if (inner != nullptr)
            TableReader(*inner, path_of(key.str()), *collector_).read_all_texts(name + ".", target);
        else
            read_text(key.str(), target[name]);
    }
}

std::optional<TableReader> TableReader::table(std::string_view key, Need need) {
    const toml::node* const node = find(key, need, "a table");
    if (node == nullptr) return std::nullopt;
    if (const toml::table* const found = node->as_table()) return TableReader(*found, path_of(key), *collector_);
    refuse_type(key, *node, fmt::format("a table, written [{0}] or {0} = {{ ... }}", key));
    return std::nullopt;
}

std::vector<TableReader> TableReader::tables(std::string_view key, Need need) {
    const std::string what = fmt::format("a list of tables, each written [[{0}]] or all together {0} = [{{ ... }}, ...]", key);
    std::vector<TableReader> readers;
    const toml::node* const node = find(key, need, what);
    if (node == nullptr) return readers;
    const toml::array* const array = node->as_array();
    if (array == nullptr) {
        refuse_type(key, *node, what);
        return readers;
    }
    if (array->size() > kMostEntries)
        problem(key, fmt::format("has {} entries, allowed at most {}", array->size(), kMostEntries));
    for (std::size_t i = 0; i < std::min(array->size(), kMostEntries); ++i) {
        const std::string path = fmt::format("{}[{}]", path_of(key), i);
        const toml::table* const entry = (*array)[i].as_table();
        if (entry != nullptr)
            readers.emplace_back(*entry, path, *collector_);
        else
            collector_->add(path, fmt::format("is {}; expected a table", value_shown((*array)[i])));
    }
    return readers;
}

void TableReader::report_unknown(const toml::key& key, std::vector<std::string>& meant) const {
    const std::string near = suggestion(key.str(), known_);
    std::vector<std::string> accepted = known_;
    std::sort(accepted.begin(), accepted.end());
    const std::string hint =
        near.empty() ? fmt::format("accepted here: {}", fmt::join(accepted, ", ")) : fmt::format("did you mean {}?", near);
    collector_->add_at_line(static_cast<int>(key.source().begin.line), path_,
                            fmt::format("unknown key {}; {}", shown(key.str()), hint));
    if (!near.empty() && !table_->contains(near)) meant.push_back(near);
}

void TableReader::finish() {
    std::vector<std::string> meant;
    for (const auto& [key, node] : *table_)
        if (std::find(known_.begin(), known_.end(), key.str()) == known_.end()) report_unknown(key, meant);
    for (const std::string& key : meant) collector_->mark_unread(path_of(key));
    for (const Missing& missing : missing_)
        if (std::find(meant.begin(), meant.end(), missing.key) == meant.end())
            problem(missing.key, fmt::format("is missing; expected {}", missing.accepted));
}

}  // namespace bakewright::profile
