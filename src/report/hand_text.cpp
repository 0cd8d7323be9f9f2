// SPDX-License-Identifier: Apache-2.0
#include "bakewright/report/hand_text.hpp"

#include <fmt/format.h>

#include "bakewright/base/units.hpp"
#include "bakewright/base/words.hpp"

namespace bakewright::report {
namespace {

using book::HandNoteKind;

std::string what_text(HandNoteKind kind) {
    switch (kind) {
        case HandNoteKind::temperature:
            return "temperature";
        case HandNoteKind::cure_test:
            return "cure test";
        case HandNoteKind::film_build:
            break;
    }
    return "film build";
}

std::string hours_text(double time_s) {
    const double hours = time_s / kSecondPerHour;
    return fmt::format("{:.{}f} h after", hours, hours < 10.0 ? 1 : 0);
}

std::string when_text(const book::HandNote& note) {
    if (!note.time_s) return "-";
    return note.kind == HandNoteKind::cure_test ? hours_text(*note.time_s) : "at " + elapsed_text(*note.time_s);
}

std::string value_text(const book::HandNote& note, const Units& units) {
    if (note.kind == HandNoteKind::cure_test) return std::string(word_of(*note.found));
    if (note.kind == HandNoteKind::film_build) return format_thickness(*note.value, units);
    std::string text = format_temperature(*note.value, units);
    if (note.uncertainty) text += " ± " + difference_number(2.0 * *note.uncertainty, units);
    return text;
}

/// "the sheet asks for 40 to 60 µm"
std::string sheet_text(const HandRow& row, const Units& units) {
    if (row.sheet_least_m && row.sheet_most_m)
        return fmt::format("{} to {}", format_thickness(*row.sheet_least_m, units), format_thickness(*row.sheet_most_m, units));
    if (row.sheet_least_m) return format_thickness(*row.sheet_least_m, units) + " or more";
    return row.sheet_most_m ? "up to " + format_thickness(*row.sheet_most_m, units) : std::string();
}

std::string against_text(const HandRow& row, const Units& units) {
    if (row.logged_k) return "log " + format_temperature(*row.logged_k, units);
    if (row.word) return "judged " + std::string(cure::word_text(*row.word));
    const std::string sheet = sheet_text(row, units);
    if (!sheet.empty()) return "sheet " + sheet;
    return row.note.kind == HandNoteKind::film_build ? "the sheet's is not known" : "-";
}

Cell found_cell(const HandRow& row, const Units& units) {
    const bool is_soft = row.note.found == book::CureTestResult::soft;
    return {value_text(row.note, units), is_soft ? Mark::alarm : row.is_doubt ? Mark::strong : Mark::none};
}

std::string place(const HandRow& row) { return fmt::format("'{}'", row.note.zone); }

}  // namespace

Table hand_table(const std::vector<HandRow>& rows, const Units& units, bool with_bake) {
    std::vector<Column> columns{
        {"Zone", Align::left, true}, {"What"}, {"How"}, {"When"}, {"Found", Align::right}, {"Held against", Align::left, true},
        {"By", Align::left, true},   {"Note"}};
    if (with_bake) columns.insert(columns.begin(), {"Bake", Align::right});
    Table table(std::move(columns));
    for (const HandRow& row : rows) {
        std::vector<Cell> cells{row.note.zone,          what_text(row.note.kind), row.note.method,   when_text(row.note),
                                found_cell(row, units), against_text(row, units), row.note.noted_by, row.note.uid.substr(0, 8)};
        if (with_bake) cells.insert(cells.begin(), fmt::format("{}", static_cast<std::int64_t>(row.note.bake)));
        table.add(std::move(cells), row.note.note);
    }
    return table;
}

std::vector<std::string> hand_questions(const std::vector<HandRow>& rows, const Units& units) {
    std::vector<std::string> questions;
    for (const HandRow& row : rows) {
        if (!row.is_doubt) continue;
        if (row.note.found)
            questions.push_back(fmt::format("by the {} test {} the bake {} was soft{}: do not go on with it", row.note.method,
                                            hours_text(*row.note.time_s), place(row),
                                            row.word == cure::Word::good ? ", though its readings say GOOD" : ""));
        else if (row.logged_k)
            questions.push_back(
                fmt::format("measured by hand ({}) at {} {} was {} and its probe read {}: which of them is wrong?",
                            row.note.method, elapsed_text(*row.note.time_s), place(row), value_text(row.note, units),
                            format_temperature(*row.logged_k, units)));
        else
            questions.push_back(
                fmt::format("the film on {} is {}, the sheet asks for {}: ask the maker what that does to the cure", place(row),
                            value_text(row.note, units), sheet_text(row, units)));
    }
    return questions;
}

Table soft_table(const std::vector<SoftCount>& counts) {
    Table table({{"Coating", Align::left, true},
                 {"Judged"},
                 {"Zones tested", Align::right},
                 {"Soft", Align::right},
                 {"Soft %", Align::right},
                 {"At most %\n95 % sure", Align::right}});
    for (const SoftCount& count : counts)
        table.add({count.coating.empty() ? "none kept" : count.coating,
                   Cell(std::string(cure::word_text(count.word)),
                        count.word == cure::Word::good && count.soft > 0 ? Mark::strong : Mark::none),
                   fmt::format("{}", count.tested), fmt::format("{}", count.soft),
                   fixed(100.0 * static_cast<double>(count.soft) / static_cast<double>(count.tested), 0),
                   fixed(100.0 * count.most_share, 0)});
    return table;
}

}  // namespace bakewright::report
