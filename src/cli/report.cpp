// SPDX-License-Identifier: Apache-2.0
#include <fmt/core.h>

#include "bakewright/base/error.hpp"
#include "bakewright/book/bake_repository.hpp"
#include "bakewright/report/csv.hpp"
#include "bakewright/report/html.hpp"
#include "bakewright/report/json.hpp"
#include "bakewright/report/shell_text.hpp"
#include "bakewright/services/files.hpp"
#include "bakewright/services/reports.hpp"
#include "card.hpp"
#include "command.hpp"
#include "judge.hpp"
#include "options.hpp"
#include "output.hpp"
#include "planning_options.hpp"
#include "version.hpp"

namespace bakewright::cli {

namespace {

/// `report --shell`: the history of a shell as one HTML file. Returns the exit status.
int report_shell(const Options& options) {
    book::Book book = options.open_book(book::Mode::read_only);
    const std::string shell = options.text("shell");
    ProgressLine progress("working out how sure this is");
    const report::ShellReportInput input = services::shell_report_input({.shell = shell,
                                                                         .written_at = book::utc_now(),
                                                                         .program_version = std::string(kVersion),
                                                                         .units = options.units(),
                                                                         .certainty = certainty_options(options, progress, book)},
                                                                        book);
    if (options.json()) {
        print_json(report::document_of(input.verdict));
        return static_cast<int>(ExitStatus::fine);
    }
    const std::string path = options.text_or("out", shell + "-history.html");
    write_file(path, report::html_shell_report(input));
    if (path != "-") fmt::print("wrote {}\n", path);
    return static_cast<int>(ExitStatus::fine);
}

namespace po = boost::program_options;

/// The other half: the bake named by --with, the one this bake is paired with, or the newest paired with it.
std::optional<services::StoredBake> other_half(book::Book& book, const Options& options, const services::StoredBake& bake) {
    if (options.has("with")) {
        services::StoredBake other = services::load_bake(book, services::bake_id(book, options.text("with"), "--with"));
        if (other.record.kind == bake.record.kind)
            wrong_option("--with", fmt::format("bake {} is {} like bake {}; a report lays a prediction and a log over each other",
                                               options.text("with"), book::bake_kind_name(other.record.kind),
                                               static_cast<std::int64_t>(bake.record.id)));
        return other;
    }
    return services::other_half(book, bake);
}

/// What both verdicts are made with. --coating goes before the one kept with the bake.
services::ReportAsked report_asked(const Options& options, const services::StoredBake& bake, ProgressLine& progress,
                                   book::Book& book) {
    return {.title = options.text_or("title", ""),
            .written_at = book::utc_now(),
            .program_version = std::string(kVersion),
            .units = options.units(),
            .coating = options.has("coating") ? std::optional(coating_for(options, bake)) : std::nullopt,
            .certainty = certainty_options(options, progress, book)};
}

/// Both halves in one table: "roof_skin, logged" beside "roof_skin, predicted".
std::string report_csv(const report::ReportInput& input) {
    TraceSet all;
    const auto add = [&](const std::optional<TraceSet>& traces, const char* source) {
        if (!traces) return;
        for (Trace trace : traces->traces) {
            trace.name += std::string(", ") + source;
            all.traces.push_back(std::move(trace));
        }
    };
    add(input.logged, "logged");
    add(input.predicted, "predicted");
    return report::traces_csv(all, {.units = input.units});
}

}  // namespace

int run_report(const std::vector<std::string>& words) {
    Options options(
        "report BAKE [--with BAKE] [--coating NAME] [--out FILE], or report --shell NAME",
        "Writes a bake as one HTML file that needs no network: verdicts, chart, lanes, the shell, comparison, what was assumed,\n"
        "cautions. A log is laid over the prediction it is paired with. With --shell: the history of a shell over all its "
        "bakes.\n"
        "With --card: the bake card of a prediction.");
    const auto text = [](const char* name) { return po::value<std::string>()->value_name(name); };
    options.add()("bake", text("BAKE"), "number of the bake")("with", text("BAKE"), "the log or prediction to lay over it")(
        "coating", text("NAME"), "coating to judge by; default the one kept with the bake")(
        "shell", text("NAME"), "in place of a bake: the shell of this name in the book")(
        "csv", text("FILE"), "write the traces of the report as CSV instead; - is standard output")(
        "title", text("TEXT"), "title of the report or card")("full", "print every table and source, not the usual two sheets")(
        "out", text("FILE"), "file to write; default bake-N.html; - is standard output");
    describe_checklist(options);
    describe_card(options);
    describe_uncertainty(options);
    options.positional("bake", 1);
    if (!options.read(words)) return static_cast<int>(ExitStatus::fine);
    if (options.has("shell") == options.has("bake")) wrong_option("--shell", "give either the number of a bake or --shell");
    if (options.has("shell")) return report_shell(options);
    book::Book book = options.open_book(book::Mode::read_only);
    const services::StoredBake bake = services::load_bake(book, services::bake_id(book, options.text("bake"), "BAKE"));
    if (options.has("card")) {
        const std::optional<services::StoredBake> log =
            bake.record.kind == book::BakeKind::predicted ? services::other_half(book, bake) : std::nullopt;
        ProgressLine progress("working out how sure this is");
        const bool written = write_card(options, bake, coating_for(options, bake), log,
                                        certainty_options(options, progress, book), checklist(options), options.text("card"));
        if (written && options.text("card") != "-" && !options.json()) fmt::print("wrote {}\n", options.text("card"));
        return static_cast<int>(written ? ExitStatus::fine : ExitStatus::answer_is_no);
    }
    ProgressLine progress("working out how sure this is");
    report::ReportInput input =
        services::report_input(report_asked(options, bake, progress, book), book, bake, other_half(book, options, bake));
    if (options.has("csv")) {
        write_file(options.text("csv"), report_csv(input));
        return static_cast<int>(ExitStatus::fine);
    }
    if (options.json()) {
        print_json(report::document_of(input));
        return static_cast<int>(ExitStatus::fine);
    }
    input.prints_all = options.has("full");
    const std::string path = options.text_or("out", fmt::format("bake-{}.html", static_cast<std::int64_t>(bake.record.id)));
    write_file(path, report::html_report(input));
    if (path != "-") fmt::print("wrote {}\n", path);
    return static_cast<int>(ExitStatus::fine);
}

}  // namespace bakewright::cli
