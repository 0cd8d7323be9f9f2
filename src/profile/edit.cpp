// SPDX-License-Identifier: Apache-2.0
#include "bakewright/profile/edit.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>

#include "bakewright/base/error.hpp"
#include "document.hpp"
#include "text_scan.hpp"

namespace bakewright::profile {
namespace {

[[noreturn]] void refuse_key(std::string_view key, std::string message) {
    throw InputError(Problem{.file = {}, .line = 0, .key = std::string(key), .message = std::move(message)});
}

toml::table parsed(std::string_view text, LineIndex* lines = nullptr) {
    Collector collector("");
    std::optional<toml::table> root = parse_document(text, collector);
    if (lines != nullptr) *lines = collector.lines();
    if (!root) throw InputError(collector.finish(0).problems);
    return std::move(*root);
}

/// Bytes before a place; its columns count characters.
std::size_t offset_of(std::string_view text, const toml::source_position& place) {
    std::size_t at = 0;
    for (toml::source_index line = 1; line < place.line; ++line) at = text.find('\n', at) + 1;
    for (toml::source_index column = 1; column < place.column && at < text.size(); ++column) do
            ++at;
        while (at < text.size() && (static_cast<unsigned char>(text[at]) & 0xC0U) == 0x80U);
    return at;
}

/// Where a value ends that begins at a place: a string, a list, an inline table, or a word up to what separates it from the next.
std::size_t end_of_value(std::string_view text, std::size_t at) {
    const std::size_t begin = at;
    int depth = 0;
    while (at < text.size()) {
        const char letter = text[at];
        const bool is_string = letter == '"' || letter == '\'';
        if (depth == 0 && std::string_view(",]}#\r\n").find(letter) != std::string_view::npos) break;
        if (letter == '[' || letter == '{') ++depth;
        if (letter == ']' || letter == '}') --depth;
        if (is_string)
            at = end_of_string(text, at);
        else
            at = letter == '#' ? std::min(text.find('\n', at), text.size()) : at + 1;
        if (depth == 0 && (is_string || letter == ']' || letter == '}')) return at;
    }
    while (at > begin && (text[at - 1] == ' ' || text[at - 1] == '\t')) --at;
    return at;
}

struct Path {
    std::string table;  ///< empty for the top
    std::string key;
};

Path path_of(std::string_view key) {
    const std::size_t dot = key.find_last_of('.');
    if (dot == std::string_view::npos) return {{}, std::string(key)};
    return {std::string(key.substr(0, dot)), std::string(key.substr(dot + 1))};
}

/// The node at a path such as "zone[2].outer"; null where there is none.
const toml::node* node_at(const toml::table& root, std::string_view path) {
    const toml::node* node = &root;
    while (!path.empty() && node != nullptr) {
        const std::size_t end = std::min(path.find_first_of(".[", 1), path.size());
        std::string_view step = path.substr(0, end);
        path.remove_prefix(end);
        if (path.starts_with('.')) path.remove_prefix(1);
        if (!step.starts_with('[')) {
            const toml::table* const table = node->as_table();
            node = table == nullptr ? nullptr : table->get(step);
            continue;
        }
        std::size_t index = 0;
        std::from_chars(step.data() + 1, step.data() + step.size(), index);
        const toml::array* const array = node->as_array();
        node = array == nullptr ? nullptr : array->get(index);
    }
    return node;
}

/// Values stand in lines of their table; what has a heading of its own does not.
bool stands_under_heading(const toml::node& node) {
    if (const toml::table* const table = node.as_table()) return !table->is_inline();
    const toml::array* const array = node.as_array();
    const toml::table* const first = array == nullptr || array->empty() ? nullptr : array->front().as_table();
    return first != nullptr && !first->is_inline();
}

std::string with_line(std::string_view text, const toml::table& table, const std::string& line) {
    std::size_t at = offset_of(text, table.source().begin);  // its heading, or the top
    for (const auto& [key, node] : table)
        if (!stands_under_heading(node)) at = std::max(at, end_of_value(text, offset_of(text, node.source().begin)));
    at = std::min(text.find('\n', at), text.size());
    return fmt::format("{}\n{}{}", text.substr(0, at), line, at < text.size() ? text.substr(at) : "\n");
}

std::string with_entry(std::string_view text, const toml::table& table, const std::string& entry) {
    std::size_t at = end_of_value(text, offset_of(text, table.source().begin)) - 1;  // the closing brace
    while (text[at - 1] == ' ' || text[at - 1] == '\n') --at;
    return fmt::format("{}{}{}{}", text.substr(0, at), table.empty() ? " " : ", ", entry, text.substr(at));
}

std::string edited(std::string_view text, std::string_view key, std::string_view value) {
    const toml::table root = parsed(text);
    if (const toml::node* const node = node_at(root, key)) {
        const std::size_t begin = offset_of(text, node->source().begin);
        if (stands_under_heading(*node)) refuse_key(key, "is written in lines of its own: name one of its keys");
        return fmt::format("{}{}{}", text.substr(0, begin), value, text.substr(end_of_value(text, begin)));
    }
    const Path path = path_of(key);
    const toml::node* const parent = node_at(root, path.table);
    if (parent == nullptr) {
        if (path.table.ends_with(']')) refuse_key(key, fmt::format("there is no {} to put it into", path.table));
        return edited(text, path.table, fmt::format("{{ {} = {} }}", path.key, value));
    }
    const toml::table* const table = parent->as_table();
    if (table == nullptr) refuse_key(key, fmt::format("{} is not a table to put it into", path.table));
    const std::string line = fmt::format("{} = {}", path.key, value);
    return table->is_inline() ? with_entry(text, *table, line) : with_line(text, *table, line);
}

}  // namespace

std::string with_value(std::string_view text, std::string_view key, std::string_view value) {
    std::string result = edited(text, key, value);
    LineIndex lines;
    static_cast<void>(parsed(result, &lines));
    if (!lines.contains(key)) refuse_key(key, "cannot be put in here: write it by hand");
    return result;
}

}  // namespace bakewright::profile
