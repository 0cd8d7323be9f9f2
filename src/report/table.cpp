// SPDX-License-Identifier: Apache-2.0
#include "bakewright/report/table.hpp"

#include <algorithm>
#include <numeric>
#include <string_view>

#include "bakewright/base/error.hpp"
#include "bakewright/report/plain_text.hpp"

namespace bakewright::report {
namespace {

constexpr std::size_t kGap = 2;
constexpr std::size_t kNoteIndent = 4;
constexpr std::size_t kLeastNoteWidth = 20;
constexpr std::size_t kLeastColumnWidth = 8;

std::vector<std::string> head_lines(const std::string& head) {
    std::vector<std::string> lines;
    for (std::string_view rest = head;;) {
        const std::size_t end = rest.find('\n');
        lines.push_back(one_line(rest.substr(0, end)));
        if (end == std::string_view::npos) return lines;
        rest.remove_prefix(end + 1);
    }
}

std::size_t widest(const std::vector<std::string>& lines) {
    std::size_t width = 0;
    for (const std::string& line : lines) width = std::max(width, display_width(line));
    return width;
}

std::vector<std::size_t> natural_widths(const Table& table) {
    std::vector<std::size_t> widths;
    for (const Column& column : table.columns()) widths.push_back(widest(head_lines(column.head)));
    for (const Table::Row& row : table.rows())
        for (std::size_t i = 0; i < widths.size(); ++i)
            widths[i] = std::max(widths[i], display_width(one_line(row.cells[i].text)));
    return widths;
}

std::size_t total(const std::vector<std::size_t>& widths) {
    return std::accumulate(widths.begin(), widths.end(), (widths.size() - 1) * kGap);
}

/// Takes columns from the widest wrapping column until the table fits, or none can give any more.
void narrow(std::vector<std::size_t>& widths, const std::vector<Column>& columns, std::size_t width) {
    while (total(widths) > width) {
        std::size_t* most = nullptr;
        for (std::size_t i = 0; i < columns.size(); ++i) {
            const std::size_t least = std::max(kLeastColumnWidth, widest(head_lines(columns[i].head)));
            if (columns[i].may_wrap && widths[i] > least && (most == nullptr || widths[i] > *most)) most = &widths[i];
        }
        if (most == nullptr) return;
        --*most;
    }
}

std::string marked(const std::string& text, Mark mark, bool ansi) {
    if (!ansi || text.empty()) return text;
    if (mark == Mark::strong) return "\x1b[1m" + text + "\x1b[0m";
    if (mark == Mark::alarm) return "\x1b[7m" + text + "\x1b[0m";
    return text;
}

/// One cell, its lines wrapped to the column.
struct Block {
    std::vector<std::string> lines;
    Mark mark = Mark::none;
};

void put_line(std::string& out, const std::vector<Block>& blocks, std::size_t line, const std::vector<std::size_t>& widths,
              const std::vector<Column>& columns, bool ansi) {
    std::size_t pending = 0;  // blanks are put only before something, so that no line ends in them
    for (std::size_t i = 0; i < blocks.size(); ++i) {
        const std::string text = line < blocks[i].lines.size() ? blocks[i].lines[line] : std::string();
        const std::size_t columns_used = display_width(text);
        const std::size_t spare = widths[i] > columns_used ? widths[i] - columns_used : 0;
        const bool right = columns[i].align == Align::right;
        if (!text.empty()) {
            out.append(pending + (right ? spare : 0), ' ');
            out += marked(text, blocks[i].mark, ansi);
            pending = 0;
        } else {
            pending += right ? spare : 0;
        }
        pending += (right ? 0 : spare) + kGap;
    }
    out += '\n';
}

void put_blocks(std::string& out, const std::vector<Block>& blocks, const std::vector<std::size_t>& widths,
                const std::vector<Column>& columns, bool ansi) {
    std::size_t height = 0;
    for (const Block& block : blocks) height = std::max(height, block.lines.size());
    for (std::size_t line = 0; line < height; ++line) put_line(out, blocks, line, widths, columns, ansi);
}

/// Heads stand on the rule: shorter ones get blank lines above.
std::vector<Block> head_blocks(const std::vector<Column>& columns) {
    std::vector<Block> blocks;
    std::size_t height = 0;
    for (const Column& column : columns) {
        blocks.push_back({.lines = head_lines(column.head)});
        height = std::max(height, blocks.back().lines.size());
    }
    for (Block& block : blocks) block.lines.insert(block.lines.begin(), height - block.lines.size(), std::string());
    return blocks;
}

std::vector<Block> row_blocks(const Table::Row& row, const std::vector<std::size_t>& widths, const std::vector<Column>& columns) {
    std::vector<Block> blocks;
    for (std::size_t i = 0; i < columns.size(); ++i) {
        const std::string text = one_line(row.cells[i].text);
        blocks.push_back({.lines = columns[i].may_wrap ? wrap(text, widths[i]) : std::vector{text}, .mark = row.cells[i].mark});
    }
    return blocks;
}

void put_note(std::string& out, const std::string& note, std::size_t width) {
    if (note.empty()) return;
    const std::size_t room = width > kNoteIndent + kLeastNoteWidth ? width - kNoteIndent : kLeastNoteWidth;
    for (const std::string& line : wrap(one_line(note), room)) out += std::string(kNoteIndent, ' ') + line + '\n';
}

}  // namespace

Table::Table(std::vector<Column> columns) : columns_(std::move(columns)) { ensure(!columns_.empty(), "a table has a column"); }

void Table::add(std::vector<Cell> cells, std::string note) {
    ensure(cells.size() == columns_.size(), "a row has one cell for each column");
    rows_.push_back({.cells = std::move(cells), .note = std::move(note)});
}

std::string Table::text(const TextStyle& style) const {
    ensure(style.width > 0, "a table has a width");
    std::vector<std::size_t> widths = natural_widths(*this);
    narrow(widths, columns_, style.width);
    std::string out;
    put_blocks(out, head_blocks(columns_), widths, columns_, false);
    std::vector<Block> rule;
    for (const std::size_t width : widths) rule.push_back({.lines = {std::string(width, '-')}});
    put_blocks(out, rule, widths, columns_, false);
    for (const Row& row : rows_) {
        put_blocks(out, row_blocks(row, widths, columns_), widths, columns_, style.ansi);
        put_note(out, row.note, style.width);
    }
    return out;
}

}  // namespace bakewright::report
