#include "export_records.hpp"

#include <limits>
#include <nlohmann/json.hpp>

#include "bakewright/base/error.hpp"
#include "bakewright/book/bake_repository.hpp"
#include "bakewright/book/document_repository.hpp"
#include "bakewright/book/raw_file_repository.hpp"
#include "bakewright/book/shell_history_repository.hpp"
#include "bakewright/report/csv.hpp"

namespace bakewright::cli {
namespace {

using Rows = const TakeRow&;

/// A book may come from anywhere: what it says names no other folder.
std::string plain(const std::string& name) {
    const bool is_plain = !name.empty() && name.find_first_not_of("0123456789abcdefghijklmnopqrstuvwxyz_") == std::string::npos;
    return is_plain ? name : "other";
}

std::string file_of(const book::DocumentSummary& document) {
    return "profiles/" + plain(document.kind) + "/" + plain(document.sha256) + ".toml";
}
std::string log_file_of(const std::string& sha256) { return "logs/" + plain(sha256); }

void each_bake(book::Book& book, const std::function<void(const book::Bake&)>& take) {
    const book::BakeRepository bakes(book);
    for (const book::BakeSummary& summary :
         bakes.list({.limit = std::numeric_limits<std::size_t>::max(), .earlier_readings = true}))
        take(bakes.get(summary.id));
}

void bake_profiles(book::Book& book, Rows take) {
    each_bake(book, [&](const book::Bake& bake) {
        for (const book::DocumentSummary& document : bake.documents)
            take({bake.uid, document.kind, document.name, document.title, document.sha256, file_of(document)});
    });
}

void bake_logs(book::Book& book, Rows take) {
    each_bake(book, [&](const book::Bake& bake) {
        for (const book::BakeLog& log : bake.logs)
            take({bake.uid, log.original_name, log.sha256, log.reading_options_json, log_file_of(log.sha256)});
    });
}

void earlier_readings(book::Book& book, Rows take) {
    each_bake(book, [&](const book::Bake& bake) {
        for (const book::EarlierReading& reading : bake.earlier_readings)
            take({bake.uid, book::BakeRepository(book).get(reading.bake).uid, reading.replaced_at, reading.replaced_by,
                  reading.why});
    });
}

void coats(book::Book& book, Rows take) {
    book::ShellHistoryRepository history(book);
    for (const std::string& shell : history.shells())
        for (const book::StoredCoat& coat : history.coats(shell))
            for (const std::string& zone : coat.zones)
                take({shell, coat.name, zone, coat.applied_at, coat.sanded_at.value_or(""), coat.over,
                      file_of(book::DocumentRepository(book).get(coat.coating)), coat.note});
}

void history_parts(book::Book& book, Rows take) {
    book::ShellHistoryRepository history(book);
    for (const std::string& shell : history.shells())
        for (const book::HistoryEntry& entry : history.bakes(shell)) {
            const std::string uid = book::BakeRepository(book).get(entry.bake).uid;
            if (entry.zones.empty()) take({shell, uid, entry.began_at, "zone", ""});
            for (const std::string& zone : entry.zones) take({shell, uid, entry.began_at, "zone", zone});
            for (const std::string& item : entry.items) take({shell, uid, entry.began_at, "item", item});
        }
}

constexpr RecordColumn kBakeUid{"bake_uid", "string", "", "the bake, in every book"};
constexpr RecordColumn kShell{"shell", "string", "", "the name its history goes by"};

const std::vector<RecordColumn>& sample_columns() {
    static const std::vector<RecordColumn> columns{
        kBakeUid,
        {"trace", "string", "", "name of the zone, item or air"},
        {"role", "string", "", "booth_air, booth_wall, zone, cavity_air, item, test_panel or unmapped"},
        {"time_s", "number", "s", "since the start of the bake"},
        {"temperature_k", "number", "K", "blank where it is missing"},
        {"quality", "string", "", "good, or what is wrong with the sample"},
        {"clock_time", "timestamp", "", "by the log's clock, with its zone where it has one; blank where the start is unknown"}};
    return columns;
}

nlohmann::ordered_json table_json(const std::string& name, const std::string& files, const std::vector<RecordColumn>& columns) {
    nlohmann::ordered_json list = nlohmann::ordered_json::array();
    for (const RecordColumn& column : columns) {
        nlohmann::ordered_json one{{"name", column.name}, {"type", column.type}};
        if (*column.unit != '\0') one["unit"] = column.unit;
        one["description"] = column.says;
        list.push_back(std::move(one));
    }
    return {{"table", name}, {"files", files}, {"columns", std::move(list)}};
}

}  // namespace

std::string RecordTable::heading() const {
    std::vector<std::string> names;
    for (const RecordColumn& column : columns) names.emplace_back(column.name);
    return csv_row(names);
}

std::string csv_row(const std::vector<std::string>& fields) {
    std::string row;
    for (std::size_t i = 0; i < fields.size(); ++i) row += (i == 0 ? "" : ",") + report::csv_field(fields[i]);
    return row + "\r\n";
}

const std::vector<RecordTable>& record_tables() {
    static const std::vector<RecordTable> tables{
        {"bake_profiles",
         {kBakeUid,
          {"kind", "string", "", "shell, booth, cycle, coating, ..."},
          {"name", "string", "", "short name"},
          {"title", "string", "", ""},
          {"sha256", "string", "", "of the text"},
          {"file", "string", "", "the profile as TOML"}},
         bake_profiles},
        {"bake_logs",
         {kBakeUid,
          {"original_name", "string", "", "of the probe file"},
          {"sha256", "string", "", "of its bytes"},
          {"reading_options_json", "string", "", "the options it was read with, as a JSON object"},
          {"file", "string", "", "the probe file, byte for byte"}},
         bake_logs},
        {"earlier_readings",
         {kBakeUid,
          {"earlier_bake_uid", "string", "", "the reading that was replaced"},
          {"replaced_at", "timestamp", "", "UTC"},
          {"replaced_by", "string", "", "who"},
          {"why", "string", "", ""}},
         earlier_readings},
        {"coats",
         {kShell,
          {"coat", "string", "", "name of the coat"},
          {"zone", "string", "", "one row a zone"},
          {"applied_at", "timestamp", "", "by the shop's clock"},
          {"sanded_at", "timestamp", "", "by the shop's clock; blank where it was not"},
          {"lies_on", "string", "", "what is under it"},
          {"coating_file", "string", "", "the coating as TOML"},
          {"note", "string", "", ""}},
         coats},
        {"histories",
         {kShell,
          kBakeUid,
          {"began_at", "timestamp", "", "by the shop's clock"},
          {"part", "string", "", "zone or item"},
          {"name", "string", "", "one row a zone or item that was in; a blank zone: all of them"}},
         history_parts}};
    return tables;
}

std::string schema_json() {
    nlohmann::ordered_json tables = nlohmann::ordered_json::array();
    tables.push_back(table_json("samples", "shell=*/month=*/*.csv", sample_columns()));
    for (const RecordTable& table : record_tables()) tables.push_back(table_json(table.name, table.name + ".csv", table.columns));
    return nlohmann::ordered_json{{"format", "bakewright.export"},
                                  {"csv", {{"separator", ","}, {"quote", "\""}, {"line_end", "CRLF"}, {"encoding", "UTF-8"}}},
                                  {"partitions", {"shell", "month"}},
                                  {"tables", std::move(tables)}}
               .dump(2) +
           "\n";
}

std::vector<std::pair<std::string, std::function<void(const TakePiece&)>>> record_files(book::Book& book) {
    std::vector<std::pair<std::string, std::function<void(const TakePiece&)>>> files;
    try {
        for (const book::DocumentSummary& document : book::DocumentRepository(book).list())
            files.emplace_back(file_of(document), [&book, id = document.id](const TakePiece& take) {
                take(book::DocumentRepository(book).get(id).text);
            });
        for (const book::RawFile& log : book::RawFileRepository(book).list())
            files.emplace_back(log_file_of(log.sha256),
                               [&book, id = log.id](const TakePiece& take) { book::RawFileRepository(book).fetch(id, take); });
    } catch (const BookError&) {  // a list that is lost; the tables told
    }
    return files;
}

}  // namespace bakewright::cli
