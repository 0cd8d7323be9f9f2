// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <functional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "bakewright/base/files.hpp"
#include "bakewright/book/book.hpp"

namespace bakewright::cli {

/// A column of an exported table.
struct RecordColumn {
    const char* name;
    const char* type;  ///< string, integer, number or timestamp
    const char* unit;  ///< empty where it has none
    const char* says;
};

using TakeRow = std::function<void(const std::vector<std::string>& row)>;

/// What an export writes beside the samples: one file a table.
struct RecordTable {
    std::string name;
    std::vector<RecordColumn> columns;
    std::function<void(book::Book& book, const TakeRow& take)> rows;

    [[nodiscard]] std::string heading() const;
};

[[nodiscard]] const std::vector<RecordTable>& record_tables();
/// Name, type, unit and meaning of every column of every table, samples and manifest too.
[[nodiscard]] std::string schema_json();
[[nodiscard]] std::string csv_row(const std::vector<std::string>& fields);
/// Profiles and probe files as they are, under profiles/ and logs/.
[[nodiscard]] std::vector<std::pair<std::string, std::function<void(const TakePiece&)>>> record_files(book::Book& book);

}  // namespace bakewright::cli
