// SPDX-License-Identifier: Apache-2.0
#include <fmt/core.h>

#include "bakewright/base/error.hpp"
#include "bakewright/base/words.hpp"
#include "bakewright/report/hand_text.hpp"
#include "bakewright/report/json.hpp"
#include "bakewright/services/hand_notes.hpp"
#include "bakewright/services/stored_bake.hpp"
#include "command.hpp"
#include "options.hpp"
#include "output.hpp"

namespace bakewright::cli {
namespace {

namespace po = boost::program_options;

std::optional<book::CureTestResult> found_in(const Options& options) {
    if (!options.has("found")) return std::nullopt;
    const auto found = value_of_word<book::CureTestResult>(options.text("found"));
    if (!found) wrong_option("--found", fmt::format("'{}' is not hard or soft", options.text("found")));
    return found;
}

int show_rows(const Options& options, const std::vector<report::HandRow>& rows) {
    if (options.json())
        print_json(report::document_of(rows));
    else if (rows.empty())
        print("nothing was noted by hand on this bake\n");
    else
        print(report::hand_table(rows, options.units()).text(text_options(options).style));
    return static_cast<int>(ExitStatus::fine);
}

int list_notes(const Options& options) {
    book::Book book = options.open_book(book::Mode::read_only);
    return show_rows(options,
                     services::hand_rows(services::load_bake(book, services::bake_id(book, options.text("bake"), "BAKE"))));
}

/// Keeps a note and shows it beside what it is held against.
int keep_note(const Options& options, book::HandNoteKind kind) {
    book::NewHandNote note;
    book::Book book = options.open_book(book::Mode::read_write);
    note.bake = services::bake_id(book, options.text("bake"), "BAKE");
    note.kind = kind;
    note.zone = options.text("zone");
    note.method = options.text_or("how", "");
    const bool is_film = kind == book::HandNoteKind::film_build, is_test = kind == book::HandNoteKind::cure_test;
    if (!is_test) note.value = options.quantity("read", is_film ? Dimension::length : Dimension::temperature);
    if (kind == book::HandNoteKind::temperature)
        note.uncertainty = options.quantity("uncertainty", Dimension::temperature_difference);
    if (!is_film) note.time_s = options.quantity(is_test ? "after" : "at", Dimension::time);
    note.found = is_test ? found_in(options) : std::nullopt;
    note.noted_by = options.text_or("by", user_name());
    note.note = options.text_or("note", "");
    const std::string uid = services::enter_hand_note(book, note);
    std::vector<report::HandRow> rows = services::hand_rows(services::load_bake(book, note.bake));
    std::erase_if(rows, [&](const report::HandRow& row) { return row.note.uid != uid; });
    return show_rows(options, rows);
}

int remove_note(const Options& options) {
    book::Book book = options.open_book(book::Mode::read_write);
    const book::HandNote note = book::HandNoteRepository(book).remove(options.text("bake"));
    if (options.json()) return show_rows(options, services::hand_rows(services::load_bake(book, note.bake)));
    fmt::print("removed note {}, on '{}' of bake {}\n", note.uid.substr(0, 8), note.zone, static_cast<std::int64_t>(note.bake));
    return static_cast<int>(ExitStatus::fine);
}

/// How often film that was tested was soft, whatever was judged.
int show_soft(const Options& options) {
    book::Book book = options.open_book(book::Mode::read_only);
    const std::vector<report::SoftCount> counts = services::soft_counts(book);
    if (options.json())
        print_json(report::document_of(counts));
    else if (counts.empty())
        print("no film was tested yet; `bakewright note test` keeps what thumb, tape, rub and hardness say\n");
    else
        print(report::table_block("Film tested by hand, against what was judged; of each zone of a bake the last test counts",
                                  report::soft_table(counts), text_options(options)));
    return static_cast<int>(ExitStatus::fine);
}

}  // namespace

int run_note(const std::vector<std::string>& words) {
    Options options(
        "note temperature|test|film|list|remove|soft [BAKE] [options]",
        "Keeps what was noted by hand on a bake, and holds it against its log, its sheet and its verdict.\n"
        "temperature BAKE --zone NAME --at \"42 min\" --read \"61 degC\" [--how infrared|contact] [--uncertainty \"2 K\"]\n"
        "test BAKE --zone NAME --after \"18 h\" --found hard|soft [--how thumb|tape|rub|hardness]\n"
        "film BAKE --zone NAME --read \"55 um\" [--how magnetic|\"eddy current\"|ultrasonic|\"wet film comb\"]\n"
        "list BAKE                        what was noted on a bake\n"
        "remove NOTE                      a note entered by mistake, by the first digits of its uid\n"
        "soft                             how often what was judged GOOD, or otherwise, was soft");
    const auto text = [](const char* name) { return po::value<std::string>()->value_name(name); };
    options.add()("action", text("WORD"), "temperature, test, film, list, remove or soft")(
        "bake", text("BAKE"), "number of the bake, or its uid; remove: uid of the note")("zone", text("NAME"),
                                                                                         "where it was measured or tested")(
        "read", text("QUANTITY"), "what was read, with its unit: \"61 degC\", \"142 degF\"; film: \"55 um\", \"2.2 mil\", dry")(
        "at", text("TIME"), "temperature: when, since the start of the bake, such as \"42 min\"")(
        "after", text("TIME"), "test: how long after the end of the bake, such as \"18 h\"")(
        "found", text("WORD"), "test: hard or soft")("how", text("WORD"), "how it was taken; default infrared, thumb, magnetic")(
        "uncertainty", text("T"),
        "temperature: its standard uncertainty; default 2 K by infrared, 1 K by contact (common practice, no source)")(
        "by", text("NAME"), "who; default the name of the user")("note", text("TEXT"), "anything else");
    options.positional("action", 1);
    options.positional("bake", 1);
    if (!options.read(words)) return static_cast<int>(ExitStatus::fine);
    const std::string action = options.text_or("action", "list");
    if (action == "temperature") return keep_note(options, book::HandNoteKind::temperature);
    if (action == "test") return keep_note(options, book::HandNoteKind::cure_test);
    if (action == "film") return keep_note(options, book::HandNoteKind::film_build);
    if (action == "list") return list_notes(options);
    if (action == "remove") return remove_note(options);
    if (action == "soft") return show_soft(options);
    wrong_option(action, "is not temperature, test, film, list, remove or soft" +
                             did_you_mean(action, {"temperature", "test", "film", "list", "remove", "soft"}));
}

}  // namespace bakewright::cli
