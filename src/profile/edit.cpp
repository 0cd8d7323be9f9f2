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

/// Where the line begins that a byte stands on.
std::size_t line_begin(std::string_view text, std::size_t at) {
    const std::size_t before = at == 0 ? std::string_view::npos : text.rfind('\n', at - 1);
    return before == std::string_view::npos ? 0 : before + 1;
}
/// Behind the end of that line.
std::size_t line_end(std::string_view text, std::size_t at) {
    const std::size_t end = text.find('\n', at);
    return end == std::string_view::npos ? text.size() : end + 1;
}

std::string_view without_blanks(std::string_view text) {
    const auto is_blank = [](char letter) { return letter == ' ' || letter == '\t' || letter == '\r' || letter == '\n'; };
    while (!text.empty() && is_blank(text.front())) text.remove_prefix(1);
    while (!text.empty() && is_blank(text.back())) text.remove_suffix(1);
    return text;
}

/// The next heading from the beginning of a line on, outside of values; the text's end where there is none.
std::size_t next_heading(std::string_view text, std::size_t at) {
    int depth = 0;
    bool is_begin = true;
    while (at < text.size()) {
        const char letter = text[at];
        if (depth == 0 && is_begin && letter == '[') return line_begin(text, at);
        is_begin = letter == '\n' || (is_begin && (letter == ' ' || letter == '\t'));
        if (letter == '[' || letter == '{') ++depth;
        if (letter == ']' || letter == '}') --depth;
        if (letter == '"' || letter == '\'')
            at = end_of_string(text, at);
        else
            at = letter == '#' ? std::min(text.find('\n', at), text.size()) : at + 1;
    }
    return text.size();
}

/// "item.sources" of "[item.sources] # plate"
std::string_view heading_name(std::string_view line) {
    line = without_blanks(line.substr(0, line.find(']')));
    while (line.starts_with('[')) line.remove_prefix(1);
    return without_blanks(line);
}

/// Behind the last key of what a heading begins, tables below it included; remarks on lines of their own that follow are of
/// what comes next.
std::size_t end_of_headed(std::string_view text, std::size_t heading) {
    const std::string below = std::string(heading_name(text.substr(heading))) + ".";
    std::size_t at = line_end(text, heading), end = next_heading(text, at);
    while (end < text.size() && heading_name(text.substr(end)).starts_with(below)) {
        at = line_end(text, end);
        end = next_heading(text, at);
    }
    while (end > at) {
        const std::size_t begin = line_begin(text, end - 1);
        const std::string_view line = without_blanks(text.substr(begin, end - begin));
        if (!line.empty() && !line.starts_with('#')) break;
        end = begin;
    }
    return end;
}

std::string without_headed(std::string_view text, std::size_t heading) {
    std::size_t begin = line_begin(text, heading);
    const std::size_t end = end_of_headed(text, begin);
    while (begin > 0 && text[line_begin(text, begin - 1)] == '#') begin = line_begin(text, begin - 1);
    const bool is_blank_above = begin > 0 && without_blanks(text.substr(line_begin(text, begin - 1), 1)).empty();
    if (is_blank_above) begin = line_begin(text, begin - 1);
    return fmt::format("{}{}", text.substr(0, begin), text.substr(end));
}

std::string without_entry(std::string_view text, std::size_t begin, std::size_t end) {
    const auto is_blank = [&](std::size_t at) { return text[at] == ' ' || text[at] == '\n' || text[at] == '\t'; };
    while (end < text.size() && is_blank(end)) ++end;
    if (end < text.size() && text[end] == ',') {  // one follows it
        ++end;
        while (end < text.size() && is_blank(end)) ++end;
        return fmt::format("{}{}", text.substr(0, begin), text.substr(end));
    }
    while (begin > 0 && is_blank(begin - 1)) --begin;
    const bool is_last = begin > 0 && text[begin - 1] == ',';
    return fmt::format("{} {}", text.substr(0, is_last ? begin - 1 : begin), text.substr(end));
}

/// Where the remark of a value may stand: from the value's end to that of its line; nothing where something else follows.
struct BehindValue {
    std::size_t begin = 0, end = 0;
};
std::optional<BehindValue> behind_value(std::string_view text, std::string_view key) {
    const toml::table root = parsed(text);
    const toml::node* const node = node_at(root, key);
    if (node == nullptr || stands_under_heading(*node)) return std::nullopt;
    const std::size_t begin = end_of_value(text, offset_of(text, node->source().begin));
    const std::size_t end = std::min(text.find('\n', begin), text.size());
    const std::string_view rest = without_blanks(text.substr(begin, end - begin));
    if (!rest.empty() && !rest.starts_with('#')) return std::nullopt;
    return BehindValue{begin, end};
}

/// Of what was made of a text, that it is one.
std::string sound(std::string text) {
    static_cast<void>(parsed(text));
    return text;
}

}  // namespace

std::string with_value(std::string_view text, std::string_view key, std::string_view value) {
    std::string result = edited(text, key, value);
    LineIndex lines;
    static_cast<void>(parsed(result, &lines));
    if (!lines.contains(key)) refuse_key(key, "cannot be put in here: write it by hand");
    return result;
}

std::string without_value(std::string_view text, std::string_view key) {
    const toml::table root = parsed(text);
    const toml::node* const node = node_at(root, key);
    if (node == nullptr) return std::string(text);
    const std::size_t value = offset_of(text, node->source().begin);
    if (node->is_table() && stands_under_heading(*node)) return sound(without_headed(text, value));
    const Path path = path_of(key);
    const toml::node* const parent = node_at(root, path.table);
    const toml::table* const table = parent == nullptr ? nullptr : parent->as_table();
    const auto found = table == nullptr ? toml::table::const_iterator{} : table->find(path.key);
    if (table == nullptr || found == table->end() || stands_under_heading(*node))
        refuse_key(key, "is an entry of a list: take it out by hand");
    const std::size_t begin = offset_of(text, found->first.source().begin), end = end_of_value(text, value);
    if (table->is_inline()) return sound(without_entry(text, begin, end));
    return sound(fmt::format("{}{}", text.substr(0, line_begin(text, begin)), text.substr(line_end(text, end))));
}

std::string with_element(std::string_view text, std::string_view list, std::string_view element) {
    const toml::table root = parsed(text);
    const toml::node* const node = node_at(root, list);
    const toml::array* const array = node == nullptr ? nullptr : node->as_array();
    if (node != nullptr && (array == nullptr || !stands_under_heading(*node)))
        refuse_key(list, "is not written under headings: add it by hand");
    const std::size_t at =
        array == nullptr ? text.size() : end_of_headed(text, line_begin(text, offset_of(text, array->back().source().begin)));
    const std::string_view gap = at > 0 && text[at - 1] != '\n' ? "\n\n" : "\n";
    return sound(fmt::format("{}{}{}{}", text.substr(0, at), gap, element, text.substr(at)));
}

std::string remark_behind(std::string_view text, std::string_view key) {
    const std::optional<BehindValue> place = behind_value(text, key);
    if (!place) return {};
    std::string_view rest = without_blanks(text.substr(place->begin, place->end - place->begin));
    while (rest.starts_with('#')) rest.remove_prefix(1);
    return std::string(without_blanks(rest));
}

std::string with_remark(std::string_view text, std::string_view key, std::string_view remark) {
    const std::optional<BehindValue> place = behind_value(text, key);
    if (!place) return std::string(text);
    return sound(
        fmt::format("{}{}{}{}", text.substr(0, place->begin), remark.empty() ? "" : "  # ", remark, text.substr(place->end)));
}

}  // namespace bakewright::profile
