// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <string>
#include <utility>
#include <vector>

namespace bakewright::report {

enum class Align { left, right };

/// How much a cell asks to be seen. Never the only carrier of a meaning: the text of the cell says it too.
enum class Mark {
    none,
    calm,    ///< a word that says all is well
    strong,  ///< a person must look: bold
    alarm    ///< the answer is no: inverse
};

struct Cell {
    std::string text;
    Mark mark = Mark::none;

    Cell() = default;
    Cell(std::string words, Mark how_seen = Mark::none) : text(std::move(words)), mark(how_seen) {}
    Cell(const char* words) : text(words) {}
};

/// One column. The head may have several lines, parted by '\n'; the last is the unit where there is one.
struct Column {
    std::string head;
    Align align = Align::left;
    bool may_wrap = false;  ///< may be made narrower, its text going on in further lines
};

/// How a table is set on a terminal or in a plain file.
struct TextStyle {
    std::size_t width = 80;  ///< columns to keep within, > 0; a table whose numbers need more goes over rather than lose any
    bool ansi =
        false;  ///< bold and inverse by ANSI escape sequences; whether to is the caller's business (NO_COLOR, not a terminal)
};

/// A table for people: the same one is set as text and as HTML.
class Table {
public:
    struct Row {
        std::vector<Cell> cells;
        std::string note;  ///< a sentence under the row, over its whole width; may be empty
    };

    /// @param columns  at least one
    explicit Table(std::vector<Column> columns);

    /// @param cells  one a column @throws PromiseError otherwise
    void add(std::vector<Cell> cells, std::string note = {});

    [[nodiscard]] const std::vector<Column>& columns() const noexcept { return columns_; }
    [[nodiscard]] const std::vector<Row>& rows() const noexcept { return rows_; }
    [[nodiscard]] bool empty() const noexcept { return rows_.empty(); }

    /// Lines ended by '\n', no spaces at their ends. User text goes through one_line().
    [[nodiscard]] std::string text(const TextStyle& style = {}) const;

private:
    std::vector<Column> columns_;
    std::vector<Row> rows_;
};

}  // namespace bakewright::report
