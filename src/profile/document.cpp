// SPDX-License-Identifier: Apache-2.0
#include "document.hpp"

#include <fmt/format.h>

#include <string>

#include "bakewright/profile/read.hpp"
#include "bakewright/profile/text_rules.hpp"
#include "text_scan.hpp"

namespace bakewright::profile {
namespace {

/// Longer key paths belong to no profile; indexing them would only cost memory.
constexpr std::size_t kLongestIndexedPath = 200;

void index_node(const toml::node& node, const std::string& path, LineIndex& lines);

void index_table(const toml::table& table, const std::string& path, LineIndex& lines) {
    for (const auto& [key, node] : table) {
        std::string key_path = path.empty() ? std::string(key.str()) : path + "." + std::string(key.str());
        if (key_path.size() > kLongestIndexedPath) continue;
        lines.add(key_path, static_cast<int>(key.source().begin.line));
        index_node(node, key_path, lines);
    }
}

void index_array(const toml::array& array, const std::string& path, LineIndex& lines) {
    for (std::size_t i = 0; i < array.size(); ++i) {
        const std::string element_path = fmt::format("{}[{}]", path, i);
        lines.add(element_path, static_cast<int>(array[i].source().begin.line));
        index_node(array[i], element_path, lines);
    }
}

void index_node(const toml::node& node, const std::string& path, LineIndex& lines) {
    if (const toml::table* const table = node.as_table())
        index_table(*table, path, lines);
    else if (const toml::array* const array = node.as_array())
        index_array(*array, path, lines);
}

/// What can be told at a glance; empty where nothing speaks against it.
std::string fault_of_whole(std::string_view text) {
    if (text.size() > kLargestProfileBytes) return "is larger than 1 MiB; a profile is a page or two of text";
    if (text.find('\0') != std::string_view::npos) return "is not a text file; a profile is TOML in UTF-8";
    if (text.find_first_not_of(" \t\r\n") == std::string_view::npos)
        return "is empty; a profile starts with a line such as kind = \"shell\"";
    return {};
}

void add_parse_error(const toml::parse_error& error, Collector& collector) {
    collector.add_at_line(static_cast<int>(error.source().begin.line), {},
                          fmt::format("is not correct TOML: {}", printable(error.description(), 200)));
}

}  // namespace

std::optional<toml::table> parse_document(std::string_view text, Collector& collector) {
    if (std::string fault = fault_of_whole(text); !fault.empty()) {
        collector.add_at_line(0, {}, std::move(fault));
        return std::nullopt;
    }
    if (std::optional<ScanFault> fault = fault_before_parsing(text)) {
        collector.add_at_line(fault->line, {}, std::move(fault->message));
        return std::nullopt;
    }
    toml::parse_result result = toml::parse(text);
    if (!result) {
        add_parse_error(result.error(), collector);
        return std::nullopt;
    }
    toml::table table = std::move(result).table();
    index_table(table, {}, collector.lines());
    return table;
}

}  // namespace bakewright::profile
