#include <fmt/core.h>

#include "bakewright/base/error.hpp"
#include "bakewright/book/bake_repository.hpp"
#include "bakewright/report/html.hpp"
#include "bakewright/report/json.hpp"
#include "bakewright/tune/compare.hpp"
#include "card.hpp"
#include "command.hpp"
#include "judging.hpp"
#include "options.hpp"
#include "output.hpp"
#include "places.hpp"
#include "planning_options.hpp"
#include "report_extras.hpp"
#include "version.hpp"

namespace bakewright::cli {
namespace {

namespace po = boost::program_options;

/// The other half: the bake named by --with, the one this bake is paired with, or the newest paired with it.
std::optional<StoredBake> other_half(book::Book& book, const Options& options, const StoredBake& bake) {
    if (options.has("with")) {
        StoredBake other = load_bake(book, bake_id(options.text("with"), "--with"));
        if (other.record.kind == bake.record.kind)
            wrong_option("--with", fmt::format("bake {} is {} like bake {}; a report lays a prediction and a log over each other",
                                               options.text("with"), book::bake_kind_name(other.record.kind),
                                               static_cast<std::int64_t>(bake.record.id)));
        return other;
    }
    if (bake.record.paired_bake) return load_bake(book, *bake.record.paired_bake);
    const std::vector<book::BakeId> paired = book::BakeRepository(book).paired_with(bake.record.id);
    if (paired.empty()) return std::nullopt;
    return load_bake(book, paired.back());
}

void add_provenance(report::ReportInput& input, const StoredBake& bake) {
    const std::string label =
        fmt::format("bake {} ({})", static_cast<std::int64_t>(bake.record.id), book::bake_kind_name(bake.record.kind));
    input.provenance.push_back({label, fmt::format("uid {}, kept {} by bakewright {}", bake.record.uid, bake.record.created_at,
                                                   bake.record.program_version)});
    for (const book::DocumentSummary& document : bake.record.documents)
        input.provenance.push_back({fmt::format("{}: {} {}", label, document.kind, document.name), "sha256 " + document.sha256});
    for (const book::BakeLog& log : bake.record.logs)
        input.provenance.push_back({fmt::format("{}: log {}", label, log.original_name), "sha256 " + log.sha256});
}

void add_sources(report::ReportInput& input, const std::string& subject, const std::map<std::string, std::string>& sources) {
    for (const auto& [key, source] : sources) input.assumptions.push_back({subject, key, source});
}

std::string first_title(const std::string& one, const std::string& other) { return one.empty() ? other : one; }

/// What both halves say of shell, booth and cycle; the prediction, which was computed from them, first.
void add_records(report::ReportInput& input, const StoredBake& bake) {
    if (bake.shell)
        input.shell_title = first_title(input.shell_title, first_title(bake.shell->shell.title, bake.shell->shell.id));
    if (bake.booth) {
        if (input.booth_title.empty()) add_sources(input, "booth " + bake.booth->id, bake.booth->sources);
        input.booth_title = first_title(input.booth_title, first_title(bake.booth->title, bake.booth->id));
    }
    if (bake.cycle) {
        input.cycle_title = first_title(input.cycle_title, first_title(bake.cycle->title, bake.cycle->id));
        if (input.stages.empty() && bake.booth) input.stages = bake::resolve(*bake.cycle, *bake.booth);
    }
}

report::ReportInput report_input(const Options& options, book::Book& book, const StoredBake& bake,
                                 const std::optional<StoredBake>& other) {
    const bool logged = bake.record.kind == book::BakeKind::logged;
    const StoredBake* prediction = logged ? (other ? &*other : nullptr) : &bake;
    const StoredBake* log = logged ? &bake : (other ? &*other : nullptr);
    report::ReportInput input;
    input.title = options.text_or("title", bake.record.title);
    input.started_at = log != nullptr ? log->record.started_at : bake.record.started_at;
    input.written_at = book::utc_now();
    input.remark = bake.record.note;
    input.units = options.units();
    std::optional<cure::Coating> coating;
    for (const StoredBake* half : {prediction, log}) {
        if (half == nullptr) continue;
        add_records(input, *half);
        if (!coating && half->coating) coating = half->coating;
    }
    if (options.has("coating")) coating = coating_for(options, bake);
    if (coating) {
        input.coating = coating;
        input.coating_title = first_title(coating->title, coating->id);
        add_sources(input, "coating " + coating->id, coating->sources);
    }
    for (const StoredBake* half : {log, prediction}) {
        if (half == nullptr) continue;
        StoredBake judged = *half;
        if (!judged.shell && prediction != nullptr) judged.shell = prediction->shell;
        if (coating) {
            cure::BakeVerdict verdict = judge(judged, *coating);
            if (const auto ensemble = add_certainty(verdict, *half, *coating, options)) put_bands(input, *ensemble);
            input.verdicts.push_back({std::string(book::bake_kind_name(half->record.kind)), std::move(verdict)});
        }
        add_provenance(input, *half);
    }
    const ReportHalves halves{prediction, log};
    put_pictures(input, book, halves);
    put_history(input, book, halves);
    if (prediction != nullptr) put_booth_run(input, *prediction);
    if (log != nullptr) input.probes = log->probes;
    if (prediction != nullptr) input.predicted = prediction->traces;
    if (log != nullptr) input.logged = log->traces;
    if (prediction != nullptr && log != nullptr) {
        tune::Comparison comparison = tune::compare(prediction->traces, log->traces);
        if (!comparison.channels.empty()) input.comparison = std::move(comparison);
    }
    input.provenance.push_back({"report written by", fmt::format("bakewright {}", kVersion)});
    return input;
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
        "checked", po::value<std::vector<std::string>>()->composing()->value_name("LIST"),
        "with --card: what was looked for and is out of the shell, such as \"gas, aerosols, rags\", or all")(
        "aboard", po::value<std::vector<std::string>>()->composing()->value_name("LIST"), "with --card: what is still in it")(
        "title", text("TEXT"), "title of the report or card")("out", text("FILE"),
                                                              "file to write; default bake-N.html; - is standard output");
    describe_card(options);
    describe_uncertainty(options);
    options.positional("bake", 1);
    if (!options.read(words)) return static_cast<int>(ExitStatus::fine);
    if (options.has("shell") == options.has("bake")) wrong_option("--shell", "give either the number of a bake or --shell");
    if (options.has("shell")) return report_shell(options);
    book::Book book = book::Book::open(options.book_path(), book::Mode::read_only);
    const StoredBake bake = load_bake(book, bake_id(options.text("bake"), "BAKE"));
    if (options.has("card")) {
        write_card(options, bake, coating_for(options, bake), checklist(options), options.text("card"));
        if (options.text("card") != "-") fmt::print("wrote {}\n", options.text("card"));
        return static_cast<int>(ExitStatus::fine);
    }
    const report::ReportInput input = report_input(options, book, bake, other_half(book, options, bake));
    if (options.has("csv")) {
        write_file(options.text("csv"), report_csv(input));
        return static_cast<int>(ExitStatus::fine);
    }
    if (options.json()) {
        print(report::to_json_text(input));
        return static_cast<int>(ExitStatus::fine);
    }
    const std::string path = options.text_or("out", fmt::format("bake-{}.html", static_cast<std::int64_t>(bake.record.id)));
    write_file(path, report::html_report(input));
    if (path != "-") fmt::print("wrote {}\n", path);
    return static_cast<int>(ExitStatus::fine);
}

}  // namespace bakewright::cli
