// SPDX-License-Identifier: Apache-2.0
#include <doctest/doctest.h>
#include <sqlite3.h>

#include <vector>

#include "shop.hpp"

using namespace bakewright;
using namespace bakewright::book;
using namespace bakewright::book::testing;

namespace {

using Row = std::vector<std::string>;

/// What SQLite alone, without a line of the program, shows of a book; columns first.
std::vector<Row> shown(const std::filesystem::path& file, const char* sql) {
    sqlite3* handle = nullptr;
    REQUIRE(sqlite3_open_v2(file.c_str(), &handle, SQLITE_OPEN_READONLY, nullptr) == SQLITE_OK);
    std::vector<Row> rows;
    const auto take = [](void* into, int count, char** values, char** names) {
        auto& found = *static_cast<std::vector<Row>*>(into);
        if (found.empty()) found.emplace_back(names, names + count);
        Row row;
        for (int i = 0; i < count; ++i) row.emplace_back(values[i] == nullptr ? "NULL" : values[i]);
        found.push_back(row);
        return 0;
    };
    CHECK(sqlite3_exec(handle, sql, take, &rows, nullptr) == SQLITE_OK);
    sqlite3_close(handle);
    return rows;
}

std::filesystem::path shop_book(const Folder& folder) {
    Book book = open_new(folder.file());
    add_log(book, add_prediction(book));
    return folder.file();
}

}  // namespace

TEST_CASE("the view bakes shows one bake a row with its documents, newest first") {
    const Folder folder;
    const auto rows = shown(shop_book(folder), "SELECT * FROM bakes");
    REQUIRE(rows.size() == 3);
    CHECK(rows[0] == Row{"bake_id", "kind", "title", "created_at_utc", "started_at", "shell", "booth", "cycle", "coating",
                         "log_file", "paired_bake_id", "trace_count", "end_min", "hottest_zone_c", "program_version", "note"});
    CHECK(rows[1] == Row{"2", "logged", "van, as baked", std::string(kNow), "2026-03-07T08:00:00+01:00",
                         "Larch County library van", "NULL", "NULL", "NULL", "van 7 March.csv", "1", "3", "33.17", "58.55", "",
                         ""});
    CHECK(rows[2] == Row{"1", "predicted", "roof and sides, clear", std::string(kNow), "2026-03-07T08:00:00+01:00",
                         "Larch County library van", "long_booth", "Clear, 60 °C", "NULL", "NULL", "NULL", "3", "33.17", "58.55",
                         "0.1.0", ""});
}

TEST_CASE("the view traces shows degrees Celsius and minutes") {
    const Folder folder;
    const auto rows =
        shown(shop_book(folder),
              "SELECT bake_title, trace, role, sample_count, usable_count, first_time_min, last_time_min, min_temperature_c, "
              "max_temperature_c, stored_bytes > 0 FROM traces WHERE bake_id = 1 AND trace = 'roof'");
    REQUIRE(rows.size() == 2);
    // 60 - 40 exp(-1990 / 600) = 58.549 °C
    CHECK(rows[1] == Row{"roof and sides, clear", "roof", "zone", "200", "200", "0.0", "33.17", "20.0", "58.55", "1"});
}

TEST_CASE("the views of documents and logs lead from a bake to what it was made from") {
    const Folder folder;
    const auto file = shop_book(folder);
    const auto documents = shown(file, "SELECT kind, name, text FROM bake_documents WHERE bake_id = 1");
    REQUIRE(documents.size() == 4);
    CHECK(documents[1] == Row{"shell", "library_van", van_shell().text});
    const auto logs = shown(file, "SELECT bake_id, original_name, size_bytes, reading_options_json FROM bake_logs");
    REQUIRE(logs.size() == 2);
    CHECK(logs[1] == Row{"2", "van 7 March.csv", std::to_string(kLogText.size()), R"({"delimiter": ","})"});
}

TEST_CASE("every table of the book is STRICT and every view answers") {
    const Folder folder;
    const auto file = shop_book(folder);
    for (const Row& row :
         shown(file, "SELECT name, strict FROM pragma_table_list WHERE type = 'table' AND name NOT LIKE 'sqlite_%'")) {
        CAPTURE(row[0]);
        CHECK((row[1] == "1" || row[0] == "name"));
    }
    CHECK(shown(file, "SELECT name FROM sqlite_schema WHERE type = 'view'").size() == 11);
}
