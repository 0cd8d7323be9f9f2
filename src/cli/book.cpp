// SPDX-License-Identifier: Apache-2.0
#include "bakewright/book/book.hpp"

#include <fmt/core.h>

#include "bakewright/base/error.hpp"
#include "bakewright/base/files.hpp"
#include "bakewright/book/document_repository.hpp"
#include "bakewright/book/identity_repository.hpp"
#include "bakewright/book/journal.hpp"
#include "bakewright/book/raw_file_repository.hpp"
#include "bakewright/book/trace_repository.hpp"
#include "bakewright/book/verify.hpp"
#include "bakewright/report/book_text.hpp"
#include "bakewright/report/csv.hpp"
#include "bakewright/report/json.hpp"
#include "bakewright/report/plain_text.hpp"
#include "bakewright/report/record_text.hpp"
#include "bakewright/services/entered.hpp"
#include "bakewright/services/files.hpp"
#include "bakewright/services/stored_bake.hpp"
#include "book_copies.hpp"
#include "command.hpp"
#include "options.hpp"
#include "output.hpp"

namespace bakewright::cli {
namespace {

namespace po = boost::program_options;

book::Book open_to_read(const Options& options) { return options.open_book(book::Mode::read_only); }

int list(const Options& options) {
    book::Book book = open_to_read(options);
    book::ListFilter filter;
    if (const auto limit = options.number("limit")) {
        if (*limit < 1.0 || *limit > 1e6) wrong_option("--limit", "accepts a whole number from 1 to 1000000");
        filter.limit = static_cast<std::size_t>(*limit);
    }
    filter.shell_name = options.text_or("shell", "");
    filter.words = options.text_or("search", "");
    filter.earlier_readings = options.has("earlier-readings");
    const std::vector<book::BakeSummary> bakes = book::BakeRepository(book).list(filter);
    if (options.json())
        print_json(report::document_of(bakes));
    else
        print(report::bake_list_text(bakes, book::BakeRepository(book).count(), text_options(options)));
    return static_cast<int>(ExitStatus::fine);
}

int show(const Options& options) {
    book::Book book = open_to_read(options);
    const book::Bake bake = book::BakeRepository(book).get(services::bake_id(book, options.text("bake"), "BAKE"));
    const std::vector<book::TraceSummary> traces = book::TraceRepository(book).summaries(bake.id);
    const std::optional<book::Site> origin = book::IdentityRepository(book).origin_of(bake.id);
    if (options.json()) {
        report::Json document = report::document_of(bake, traces);
        document["origin"] =
            origin ? report::Json{{"book_uid", origin->book_uid}, {"site", origin->name}} : report::Json(nullptr);
        print_json(document);
    } else {
        if (origin)
            fmt::print("first kept in book {}{}\n", origin->book_uid.substr(0, 8),
                       origin->name.empty() ? "" : ", " + report::one_line(origin->name));
        print(report::bake_text(bake, traces, text_options(options)));
        if (const auto recording = book::recording_of(book, bake.id))
            print("\n" + report::recording_text(*recording, text_options(options)));
    }
    if (options.has("documents") && !options.json())
        for (const book::DocumentSummary& summary : bake.documents)
            fmt::print("\n# {} {}\n{}", summary.kind, summary.name, book::DocumentRepository(book).get(summary.id).text);
    return static_cast<int>(ExitStatus::fine);
}

/// The traces as a table. What is large goes by a block at a time.
void export_csv(book::Book& book, const book::Bake& bake, const Options& options, const std::string& out) {
    const bool is_for_spreadsheet = options.has("spreadsheet");
    const report::CsvOptions how{.units = options.units(),
                                 .exact = options.has("exact"),
                                 .byte_order_mark = is_for_spreadsheet,
                                 .semicolons = is_for_spreadsheet};
    const book::TraceRepository traces(book);
    write_file_in_pieces(out, [&](const TakePiece& take) {
        take(report::csv_heading(traces.names(bake.id), how));
        if (!traces.read_rows(bake.id, [&](const TraceSet& rows) { take(report::csv_rows(rows, how)); }))
            take(report::csv_rows(traces.load(bake.id), how));
    });
}

void export_document(book::Book& book, const book::DocumentSummary& summary, const Options& options, const std::string& out) {
    const book::Document document = book::DocumentRepository(book).get(summary.id);
    const report::Json fields = {{"kind", document.kind},
                                 {"name", document.name},
                                 {"title", document.title},
                                 {"sha256", document.sha256},
                                 {"text", document.text}};
    write_file(out, options.json() ? report::json_text(fields, -1) + "\n" : document.text);
}

/// Every bake, or one part of one as a file: its traces, a probe file it was read from, or a profile it was computed from.
int export_part(const Options& options) {
    if (options.has("all")) return export_all(options);
    book::Book book = open_to_read(options);
    const book::Bake bake = book::BakeRepository(book).get(services::bake_id(book, options.text("bake"), "BAKE"));
    const std::string what = options.text_or("what", "csv");
    const std::string out = options.text_or("out", "-");
    if (what == "csv" && options.json()) {
        write_file(out, report::json_text(report::document_of(book::TraceRepository(book).load(bake.id))) + "\n");
    } else if (what == "csv") {
        export_csv(book, bake, options, out);
    } else if (what == "raw") {
        if (options.json()) wrong_option("--json", "a raw file is exported as it is: leave it out");
        if (bake.logs.empty()) wrong_option("--what", "this bake was not read from a probe file: there is no raw file to export");
        write_file_in_pieces(
            out, [&](const TakePiece& take) { book::RawFileRepository(book).fetch(bake.logs.front().raw_file, take); });
    } else if (const book::DocumentSummary* summary = bake.document(what)) {
        export_document(book, *summary, options, out);
    } else {
        wrong_option("--what", fmt::format("'{}' is not csv, raw, or the kind of a profile kept with this bake", what));
    }
    if (out != "-" && !options.json()) fmt::print("wrote {}\n", out);
    return static_cast<int>(ExitStatus::fine);
}

int remove(const Options& options) {
    book::Book book = options.open_book(book::Mode::read_write);
    const book::BakeId id = services::bake_id(book, options.text("bake"), "BAKE");
    const book::RemovedWithBake also = book::BakeRepository(book).remove(id);
    if (options.json())
        print_json({{"removed_bake", static_cast<std::int64_t>(id)},
                    {"removed_documents", also.documents},
                    {"removed_raw_files", also.raw_files}},
                   -1);
    else
        fmt::print("removed bake {}, with {} profile{} and {} probe file{} that nothing else used\n",
                   static_cast<std::int64_t>(id), also.documents, also.documents == 1 ? "" : "s", also.raw_files,
                   also.raw_files == 1 ? "" : "s");
    return static_cast<int>(ExitStatus::fine);
}

/// Whether what a paper rested on is as it was when its digest was printed.
int verify_paper(const Options& options) {
    book::Book book = open_to_read(options);
    const auto since = book::since_digest(book, options.text("digest"));
    if (options.json())
        print_json(report::document_of(since));
    else
        print(report::since_text(since));
    return static_cast<int>(since && since->changed.empty() ? ExitStatus::fine : ExitStatus::answer_is_no);
}

int accept(const Options& options) {
    book::Book book = options.open_book(book::Mode::read_write);
    const std::vector<std::string> taken =
        book::accept_rows(book, options.text_or("by", user_name()), options.text_or("why", ""));
    for (const std::string& one : taken) fmt::print("taken as it is now: {}\n", one);
    fmt::print("{}\n",
               taken.empty() ? "nothing to take: every row is as the program stored it" : "the journal says so from now on");
    return static_cast<int>(ExitStatus::fine);
}

/// Names the place where this book is kept, or tells those that are named.
int site(const Options& options) {
    book::Book book = options.open_book(options.has("name") ? book::Mode::create : book::Mode::read_only);
    if (options.has("name")) {
        const std::string name = services::entered_text("--name", options.text("name"));
        if (name.empty()) wrong_option("--name", "is empty");
        book::IdentityRepository(book).set_site(name);
    }
    const std::vector<book::Site> sites = book::IdentityRepository(book).sites();
    const std::string own = book::journal_digest(book).book_uid;
    if (options.json()) {
        report::Json list = report::Json::array();
        for (const book::Site& one : sites)
            list.push_back({{"book_uid", one.book_uid}, {"site", one.name}, {"is_this_book", one.book_uid == own}});
        print_json(report::document("bakewright.sites", {{"sites", std::move(list)}}));
        return static_cast<int>(ExitStatus::fine);
    }
    for (const book::Site& one : sites)
        fmt::print("{} {}{}\n", one.book_uid.substr(0, 8), report::one_line(one.name), one.book_uid == own ? " (this book)" : "");
    if (sites.empty()) print("no site is named: book site --name NAME\n");
    return static_cast<int>(ExitStatus::fine);
}

int verify(const Options& options) {
    if (options.has("digest")) return verify_paper(options);
    if (options.has("accept")) return accept(options);
    book::Book book = open_to_read(options);
    ProgressLine progress("verifying");
    const book::VerifyReport found = book::verify(book, progress.listener());
    if (!found.complete)
        throw BookError(fmt::format("{}: verifying was interrupted; the book is unchanged", options.book_path()));
    if (options.json())
        print_json(report::document_of(found));
    else
        print(report::verify_text(found));
    return static_cast<int>(found.sound() ? ExitStatus::fine : ExitStatus::not_done);
}

}  // namespace

int run_book(const std::vector<std::string>& words) {
    Options options(
        "book list|show|export|remove|verify|backup|merge|site [BAKE] [options]",
        "list [--limit N] [--shell NAME] [--search WORDS]  the newest bakes\n"
        "show BAKE [--documents]          what a bake holds and what it was computed from\n"
        "export BAKE [--what csv|raw|shell|booth|cycle|coating] [--exact|--spreadsheet] [--out FILE]\n"
        "export --all --out FOLDER        everything: bakes as CSV by shell and month, logs, profiles, coats, histories\n"
        "remove BAKE                      a bake, and what nothing else uses\n"
        "verify                           read every byte, check every hash and hold every row against the journal\n"
        "verify --digest DIGEST           what has changed since a report with this digest was printed\n"
        "verify --accept --why TEXT       take rows changed outside of bakewright as they are now\n"
        "backup --out FILE                a copy of the whole book, also while it is in use\n"
        "merge --from BOOK                bring in what another book has and this one lacks\n"
        "site [--name NAME]               where this book is kept, and the books that were merged");
    const auto text = [](const char* name) { return po::value<std::string>()->value_name(name); };
    options.add()("action", text("WORD"), "list, show, export, remove, verify, backup, merge or site")(
        "bake", text("BAKE"), "number of the bake, or its uid")("limit", text("N"), "list: at most so many; default 20")(
        "shell", text("NAME"), "list: only bakes of this shell")(
        "search", text("WORDS"), "list: only bakes with this in title, note, date, log, uid, or a profile's name")(
        "earlier-readings", "list: also readings of logs that were replaced")(
        "digest", text("DIGEST"),
        "verify: what has changed since a paper with this digest was printed; exit status 1 where something has")(
        "accept", "verify: take rows that were changed outside of bakewright as they are now; with --why")(
        "why", text("TEXT"), "verify --accept: why")("by", text("NAME"), "verify --accept: who; default the name of the user")(
        "documents", "show: the profiles too, in full")("what", text("PART"), "export: csv (default), raw, or a kind of profile")(
        "exact", "export: kelvin with every digit, reads back identically")(
        "spreadsheet", "export: semicolons, decimal commas and the mark of UTF-8, as spreadsheets of most of Europe open it")(
        "salvage", "export --all: of a damaged book, what can be read; what is lost is told, exit status 1")(
        "all", "export: every bake, into a new folder --out")(
        "out", text("FILE"), "export: file to write, default standard output; backup: the copy, or --all: the folder, to make")(
        "from", text("BOOK"), "merge: the other book")("name", text("NAME"), "site: what the shop calls the place of this book");
    options.positional("action", 1);
    options.positional("bake", 1);
    if (!options.read(words)) return static_cast<int>(ExitStatus::fine);
    const std::string action = options.text_or("action", "list");
    constexpr std::pair<const char*, int (*)(const Options&)> kActions[] = {
        {"list", list},     {"show", show},           {"export", export_part}, {"remove", remove},
        {"verify", verify}, {"backup", back_up_book}, {"merge", merge_books},  {"site", site}};
    std::vector<std::string> names;
    for (const auto& [name, run] : kActions) {
        if (action == name) return run(options);
        names.emplace_back(name);
    }
    throw InputError(
        Problem{{},
                0,
                action,
                fmt::format("is not list, show, export, remove, verify, backup, merge or site{}", did_you_mean(action, names))});
}

}  // namespace bakewright::cli
