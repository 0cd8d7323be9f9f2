// SPDX-License-Identifier: Apache-2.0
#include <fmt/core.h>

#include <filesystem>

#include "bakewright/base/error.hpp"
#include "bakewright/profile/read.hpp"
#include "bakewright/report/answers.hpp"
#include "bakewright/report/json.hpp"
#include "bakewright/report/log_text.hpp"
#include "bakewright/services/estimated.hpp"
#include "bakewright/services/files.hpp"
#include "bakewright/services/import_log.hpp"
#include "bakewright/services/saved_readings.hpp"
#include "bakewright/services/stored_bake.hpp"
#include "command.hpp"
#include "import_options.hpp"
#include "options.hpp"
#include "output.hpp"
#include "version.hpp"

namespace bakewright::cli {
namespace {

namespace po = boost::program_options;

constexpr std::size_t kLargestWholeBytes = std::size_t{1} << 30;
/// From here on a log is read page by page where it can be.
constexpr std::uintmax_t kLeastPagedBytes = std::uintmax_t{8} << 20;

/// Enough to see whether times and units were understood.
constexpr std::size_t kFirstSamples = 4;

services::LogFile log_file(const std::string& path) { return {path, path.substr(path.find_last_of('/') + 1), {}}; }

void read_whole(services::LogFile& file) {
    file.bytes = services::read_file(file.path, kLargestWholeBytes, probe::kLongestLineBytes);
}

bool is_large(const std::string& path) {
    std::error_code error;
    return std::filesystem::is_regular_file(path, error) && std::filesystem::file_size(path, error) >= kLeastPagedBytes && !error;
}

probe::MergeOptions merge_options(const Options& options, const services::GivenOptions& reading) {
    probe::MergeOptions asked;
    asked.shift_s = options.quantity("shift", Dimension::time);
    asked.first_air = reading.text_or("air", "");
    asked.second_air = options.text_or("and-air", "");
    return asked;
}

services::ImportTask import_task(const Options& options) {
    const profile::Library library = options.library();
    services::ImportTask task;
    if (options.has("shell")) task.shell = shell_of(options).record;
    task.file = log_file(options.text("file"));
    task.reading = reading_options(options);
    if (options.has("reading")) {
        book::Book book = options.open_book(book::Mode::read_only);
        task.reading = services::with_saved(task.reading, services::saved_reading(book, options.text("reading")));
    }
    if (options.has("and"))
        task.second = log_file(options.text("and"));
    else if (options.has("shift") || options.has("and-air"))
        wrong_option("--shift", "serves with a second log, --and FILE");
    task.merge = merge_options(options, task.reading);
    if (options.has("booth")) task.booth = booth_of(options).record;
    if (options.has("coating")) task.coating = profile::load_coating(options.text("coating"), library).record;
    if (options.has("probe-record")) task.probes = profile::load_probes(options.text("probe-record"), library).record;
    if (options.has("of")) {
        book::Book book = options.open_book(book::Mode::read_only);
        task.of = services::bake_id(book, options.text("of"), "--of");
    }
    task.title = options.text_or("title", "");
    task.program_version = kVersion;
    return task;
}

void describe_import(Options& options) {
    const auto text = [](const char* name) { return po::value<std::string>()->value_name(name); };
    const auto texts = [](const char* name) { return po::value<std::vector<std::string>>()->composing()->value_name(name); };
    options.add()("file", text("FILE"), "the log")("shell", text("NAME"),
                                                   "shell that was baked: channels find its zones and items")(
        "booth", text("NAME"), "booth it was baked in")("coating", text("NAME"), "coating that was baked")(
        "of", text("BAKE"), "number of the predicted bake this is the log of")("title", text("TEXT"), "title in the book")(
        "map", texts("COLUMN=NAME"),
        "this column is that zone, cavity, item, 'booth air', 'booth wall', 'booth ceiling' or 'booth floor'; may be repeated")(
        "air", text("COLUMN"), "this column is the booth air")(
        "probe-record", text("NAME"),
        "records of the probes (a profile of kind probes): readings are corrected, and verdicts know how far off they may be")(
        "reading", text("NAME"), "read the file as one whose reading was kept under this name")(
        "save-reading", text("NAME"), "keep the options of this reading under a name, for the next file of the kind")(
        "and", text("FILE"), "a second logger's file of the same bake, put on the time of the first")(
        "shift", text("TIME"),
        "what is added to the second file's times, such as \"+35 s\" or --shift=-2min; else found by aligning the air channels")(
        "and-air", text("COLUMN"), "the booth air in the second file")("dry-run", "say how the file is read and keep nothing")(
        "again", "read a log again that is in the book; other options of reading do so by themselves")(
        "why", text("TEXT"), "why it is read again; stands in the book beside the reading before")(
        "by", text("NAME"), "who reads it again; default the name of the user");
    describe_reading(options);
}

/// Nothing where help was asked for and printed.
std::optional<Options> import_options(const std::vector<std::string>& words) {
    Options options(
        "import FILE [options]",
        "Brings a probe log (CSV) into the book as the log of a bake. How it was read is printed; every guess can be\n"
        "overridden. The file is kept byte for byte; importing it a second time adds nothing, and with other options of\n"
        "reading it is read again: the bake keeps its number, the reading before is kept and marked as replaced.");
    describe_import(options);
    options.parts(report::kImportParts);
    options.positional("file", 1);
    if (!options.read(words)) return std::nullopt;
    return options;
}

/// A log that cannot be read page by page is read whole; where it is too large for that, the error says what keeps it from it.
services::ImportedLog read(services::ImportTask& task, bool keep) {
    std::string why_whole;
    if (is_large(task.file.path) && !task.second) {
        try {
            ProgressLine progress("reading");
            return services::read_paged_log(task, keep, progress.listener());
        } catch (const probe::NeedsWholeLog& needs) {
            why_whole = needs.why;
        }
        if (std::filesystem::file_size(task.file.path) > kLargestWholeBytes)
            throw InputError(Problem{
                task.file.path,
                0,
                {},
                fmt::format("has more than {} bytes, and cannot be read page by page: {}", kLargestWholeBytes, why_whole)});
    }
    read_whole(task.file);
    if (task.second) read_whole(*task.second);
    return services::read_log(task);
}

int import_with(const Options& options) {
    services::ImportTask task = import_task(options);
    services::ImportedLog imported = read(task, !options.has("dry-run"));
    std::optional<book::BakeId> id, former;
    bool known = false;
    if (!options.has("dry-run")) {
        book::Book book = options.open_book(book::Mode::create);
        const std::optional<book::BakeId> again = services::to_read_again(book, task, imported, options.has("again"));
        if (again && services::complete_from(task, book, *again)) imported = read(task, true);
        book::Transaction transaction(book);
        if (again) {
            id = again;
            former = services::keep_again(book, task, imported, *again, options.text_or("by", user_name()),
                                          options.text_or("why", ""));
        } else {
            const services::KeptLog kept = services::keep_log(book, task, imported);
            id = kept.bake;
            known = kept.was_known;
        }
        if (options.has("save-reading")) services::save_reading(book, options.text("save-reading"), task.reading);
        transaction.commit();
        if (!known) services::keep_evidence_of(book, services::load_bake(book, *id));
    }
    if (options.json()) {
        print_json(kept_as(services::log_document(imported), id));
        return static_cast<int>(ExitStatus::fine);
    }
    std::string kept = "dry run: nothing was kept.", next = "Next: import it without --dry-run.";
    if (former)
        kept = fmt::format(
            "bake {} was read again: histories and verdicts follow the new reading; the one before is kept as bake "
            "{}, replaced.",
            static_cast<std::int64_t>(*id), static_cast<std::int64_t>(*former));
    else if (known)
        kept = fmt::format("this log is in the book already, as bake {}; nothing was added.", static_cast<std::int64_t>(*id));
    else if (id)
        kept = fmt::format("kept as bake {}", static_cast<std::int64_t>(*id));
    if (id)
        next = known ? "Next: to read it another way, give the options or --again."
                     : fmt::format("Next: `bakewright judge {}{}`.", static_cast<std::int64_t>(*id),
                                   task.coating ? "" : " --coating NAME");
    report::Answer answer = services::log_answer(imported, kept, next, text_options(options));
    const std::string samples =
        report::first_samples_text(services::first_samples(imported, kFirstSamples), text_options(options));
    if (!id) answer.brief(samples);
    answer.part("samples", samples);
    print(answer, options);
    return static_cast<int>(ExitStatus::fine);
}

}  // namespace

int run_import(const std::vector<std::string>& words) {
    const std::optional<Options> given = import_options(words);
    return given ? import_with(*given) : static_cast<int>(ExitStatus::fine);
}

}  // namespace bakewright::cli
