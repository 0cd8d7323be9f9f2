// SPDX-License-Identifier: Apache-2.0
#include "export_records.hpp"

#include <fmt/core.h>

#include <limits>
#include <nlohmann/json.hpp>
#include <optional>

#include "bakewright/base/error.hpp"
#include "bakewright/base/words.hpp"
#include "bakewright/book/bake_repository.hpp"
#include "bakewright/book/document_repository.hpp"
#include "bakewright/book/hand_note_repository.hpp"
#include "bakewright/book/identity_repository.hpp"
#include "bakewright/book/raw_file_repository.hpp"
#include "bakewright/book/shell_history_repository.hpp"
#include "bakewright/report/csv.hpp"
#include "bakewright/services/certainty.hpp"
#include "bakewright/services/stored_bake.hpp"

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

void vehicles(book::Book& book, Rows take) {
    for (const book::Vehicle& vehicle : book::IdentityRepository(book).vehicles())
        take({vehicle.shell, vehicle.uid, vehicle.job_number, vehicle.maker_number});
}

std::string number_text(const std::optional<double>& value) { return value ? fmt::format("{}", *value) : std::string(); }

void hand_notes(book::Book& book, Rows take) {
    const book::HandNoteRepository notes(book);
    each_bake(book, [&](const book::Bake& bake) {
        for (const book::HandNote& note : notes.notes(bake.id)) {
            const bool is_temperature = note.kind == book::HandNoteKind::temperature;
            const bool is_film = note.kind == book::HandNoteKind::film_build;
            const auto if_of = [](bool is_of, const std::optional<double>& value) { return is_of ? number_text(value) : ""; };
            take({bake.uid, note.uid, note.zone, std::string(word_of(note.kind)), note.method, if_of(is_temperature, note.time_s),
                  if_of(note.kind == book::HandNoteKind::cure_test, note.time_s), if_of(is_temperature, note.value),
                  if_of(is_temperature, note.uncertainty), if_of(is_film, note.value),
                  note.found ? std::string(word_of(*note.found)) : "", note.noted_by, note.noted_at, note.note});
        }
    });
}

std::string best_guess(const std::optional<cure::Certainty>& certainty) {
    return certainty ? std::string(cure::word_text(certainty->best)) : std::string();
}
std::string probability_of(const std::optional<cure::Certainty>& certainty) {
    return certainty ? fmt::format("{}", certainty->probability) : std::string();
}
std::string source_of(const std::optional<cure::KnownFrom>& from) {
    return from ? std::string(cure::known_from_text(*from)) : std::string();
}

/// Of a bake that was kept with its coating, in the words that judging it says.
void verdict_rows(book::Book& book, const book::Bake& bake, Rows take) {
    const services::StoredBake stored = services::load_bake(book, bake.id);
    const cure::BakeVerdict verdict =
        services::judged(stored, *stored.coating, {.given = {}, .progress = {}, .book = &book}).verdict;
    for (const cure::ZoneVerdict& zone : verdict.zones) {
        const bool is_judged = zone.word != cure::Word::not_judged;
        const auto if_judged = [&](double value) { return is_judged ? fmt::format("{}", value) : std::string(); };
        take({bake.uid, verdict.coating_title, "zone", zone.zone, std::string(cure::word_text(zone.word)),
              best_guess(zone.certainty), probability_of(zone.certainty), source_of(zone.known_from),
              if_judged(zone.peak_temperature_k), if_judged(zone.equivalent_time_s.at_value), if_judged(zone.reference_minimum_s),
              zone.reason});
    }
    for (const cure::ItemVerdict& item : verdict.items)
        take({bake.uid, verdict.coating_title, "item", item.item, std::string(cure::word_text(item.word)),
              best_guess(item.certainty), probability_of(item.certainty), source_of(item.known_from),
              item.word == cure::Word::not_judged ? "" : fmt::format("{}", item.peak_temperature_k), "", "", item.reason});
    for (const std::string& question : verdict.questions)
        take({bake.uid, verdict.coating_title, "question", "", "CHECK", "", "", "", "", "", "", question});
}

void verdicts(book::Book& book, Rows take) {
    each_bake(book, [&](const book::Bake& bake) {
        if (bake.document(book::document_kind::coating) == nullptr) return;
        try {
            verdict_rows(book, bake, take);
        } catch (const BookError& error) {  // of a damaged book, whose samples were told to be lost before
            take({bake.uid, "", "question", "", "CHECK", "", "", "", "", "", "", error.what()});
        }
    });
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
         history_parts},
        {"vehicles",
         {kShell,
          {"vehicle_uid", "string", "", "the vehicle, in every book"},
          {"job_number", "string", "", "the shop's"},
          {"maker_number", "string", "", "the maker's"}},
         vehicles},
        {"hand_notes",
         {kBakeUid,
          {"note_uid", "string", "", "the note, in every book"},
          {"zone", "string", "", "where it was taken"},
          {"kind", "string", "", "temperature, cure_test or film_build"},
          {"method", "string", "", "how it was taken"},
          {"time_s", "number", "s", "of a temperature: since the start of the bake"},
          {"after_bake_s", "number", "s", "of a test: since the end of the bake"},
          {"temperature_k", "number", "K", ""},
          {"standard_uncertainty_k", "number", "K", "of the temperature"},
          {"film_build_m", "number", "m", "dry film of the bake's coating"},
          {"found", "string", "", "of a test: hard or soft"},
          {"noted_by", "string", "", "who"},
          {"noted_at", "timestamp", "", "UTC"},
          {"note", "string", "", ""}},
         hand_notes},
        {"verdicts",
         {kBakeUid,
          {"coating", "string", "", "title of the coating it was kept with and is judged by"},
          {"part", "string", "", "zone, item, or question: what must be answered before the others are trusted"},
          {"name", "string", "", "of the zone or item"},
          {"word", "string", "", "GOOD, UNDER, OVER, CHECK or NOT JUDGED"},
          {"best_guess", "string", "", "GOOD, UNDER or OVER; blank where nothing says how sure it is"},
          {"probability", "number", "", "of the best guess, 0 to 1"},
          {"known_from", "string", "", "of a log: measured, measured and modelled, or estimated"},
          {"peak_temperature_k", "number", "K", "blank where it was not judged"},
          {"equivalent_time_s", "number", "s", "of a zone: its dose as time at the reference temperature"},
          {"reference_minimum_s", "number", "s", "of a zone: what the sheet asks for there"},
          {"reason", "string", "", "one sentence"}},
         verdicts}};
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
