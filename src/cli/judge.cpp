// SPDX-License-Identifier: Apache-2.0
#include "judge.hpp"

#include <fmt/core.h>

#include "bakewright/base/error.hpp"
#include "bakewright/cure/judge.hpp"
#include "bakewright/cure/judge_history.hpp"
#include "bakewright/cure/required_time.hpp"
#include "bakewright/profile/read.hpp"
#include "bakewright/report/answers.hpp"
#include "bakewright/report/json.hpp"
#include "bakewright/services/certainty.hpp"
#include "bakewright/services/estimated.hpp"
#include "bakewright/services/shell_history.hpp"
#include "command.hpp"
#include "history.hpp"
#include "options.hpp"
#include "output.hpp"

namespace bakewright::cli {

namespace po = boost::program_options;

void describe_uncertainty(Options& options) {
    options.add()("probe", po::value<std::string>()->value_name("TYPE, CLASS"),
                  "thermocouple type and tolerance class of the probes, such as \"K, IEC 2\" (default for a log)")(
        "uncertainty", po::value<std::string>()->value_name("T"),
        "standard uncertainty of the temperatures, such as \"0.5 K\", in place of a class")(
        "members", po::value<std::string>()->value_name("N"),
        "how many simulated bakes tell how sure a verdict is; default 256, 40 to 100000")(
        "measured-only", "a log is judged by its probes alone; zones without one are then not judged")(
        "believe-probes", "a probe that looks loose, jumping or exchanged counts all the same");
}

namespace {

/// What --uncertainty or --probe says; nothing without them. @throws InputError
std::optional<cure::TemperatureUncertainty> asked_uncertainty(const Options& options) {
    if (options.has("probe") && options.has("uncertainty")) wrong_option("--uncertainty", "give either --probe or --uncertainty");
    if (const auto given_k = options.quantity("uncertainty", Dimension::temperature_difference)) {
        if (!(*given_k >= 0.01 && *given_k <= 50.0)) wrong_option("--uncertainty", "accepts 0.01 to 50 K");
        return cure::TemperatureUncertainty{*given_k, "the uncertainty given"};
    }
    if (options.has("probe")) return services::probes_of_class(options.text("probe"), "--probe");
    return std::nullopt;
}

}  // namespace

services::CertaintyOptions certainty_options(const Options& options, ProgressLine& progress, book::Book& book) {
    const double members = options.number("members").value_or(static_cast<double>(plan::kMemberCount));
    if (!(members >= 40.0 && members <= 1e5)) wrong_option("--members", "accepts 40 to 100000");
    return {.given = asked_uncertainty(options),
            .member_count = static_cast<std::size_t>(members),
            .progress = progress.listener(),
            .measured_only = options.has("measured-only"),
            .believes_probes = options.has("believe-probes"),
            .book = &book};
}

services::Judged judged(const services::StoredBake& bake, const cure::Coating& coating, const Options& options, book::Book& book,
                        const std::optional<profile::ShellProfile>& shell) {
    ProgressLine progress("working out how sure this is");
    return services::judged(bake, coating, certainty_options(options, progress, book), shell);
}

namespace po = boost::program_options;

cure::Coating coating_for(const Options& options, const services::StoredBake& bake) {
    if (options.has("coating")) return profile::load_coating(options.text("coating"), options.library()).record;
    if (bake.coating) return *bake.coating;
    wrong_option("--coating",
                 fmt::format("is missing: bake {} was kept without a coating", static_cast<std::int64_t>(bake.record.id)));
}

namespace {

/// A shell over all its bakes; with --before also what a bake that is planned would do to it.
int judge_shell(const Options& options) {
    book::Book book = options.open_book(book::Mode::read_only);
    std::optional<book::HistoryEntry> planned;
    if (options.has("before")) planned = entry_from(book, options, services::bake_id(book, options.text("before"), "--before"));
    services::LoadedHistory loaded = services::load_history(book, options.text("shell"), planned);
    ProgressLine progress("working out how sure this is");
    const services::CertaintyOptions how = certainty_options(options, progress, book);
    services::estimate_logs(loaded, how);
    cure::ShellVerdict verdict = services::judge(loaded);
    services::add_certainty(verdict, loaded, how);
    if (options.json())
        print_json(report::document_of(verdict));
    else
        print(report::shell_answer(verdict, text_options(options), options.has("every-zone")), options);
    const bool good = verdict.worst() == cure::Word::good && verdict.recoats.empty() && verdict.heat_warnings.empty() &&
                      verdict.questions.empty();
    return static_cast<int>(good ? ExitStatus::fine : ExitStatus::answer_is_no);
}

}  // namespace

int run_judge(const std::vector<std::string>& words) {
    Options options(
        "judge BAKE [--coating NAME], or judge --shell NAME [--before BAKE]",
        "Judges a bake of the book, zone by zone against a coating and item by item against its limits; or a shell, coat\n"
        "by coat over all the bakes of its history. --before adds a bake that is still to come (a prediction) and names\n"
        "what has to come out before it. Exit status 1 where anything is not GOOD.");
    const auto text = [](const char* name) { return po::value<std::string>()->value_name(name); };
    options.add()("bake", text("BAKE"), "number of the bake")("coating", text("NAME"),
                                                              "profile of the coating; default the one kept with the bake")(
        "shell", text("NAME"),
        "with a bake: take coated zones and item limits from this shell, not from the one kept with the bake; without one: judge "
        "this shell's history")("before", text("BAKE"), "a bake that is planned, added to the history of --shell")(
        "every-zone", "with a history: every coat on every zone, not only the worst");
    describe_entry(options);
    describe_uncertainty(options);
    describe_plot(options);
    options.parts(report::kVerdictParts);
    options.positional("bake", 1);
    if (!options.read(words)) return static_cast<int>(ExitStatus::fine);
    if (options.has("shell") && !options.has("bake")) return judge_shell(options);
    book::Book book = options.open_book(book::Mode::read_only);
    const services::StoredBake bake = services::load_bake(book, services::bake_id(book, options.text("bake"), "BAKE"));
    std::optional<profile::ShellProfile> asked_shell;
    if (options.has("shell")) asked_shell = shell_of(options).record;
    const cure::Coating coating = coating_for(options, bake);
    const services::Judged answer = judged(bake, coating, options, book, asked_shell);
    const cure::BakeVerdict& verdict = answer.verdict;
    const tune::Estimate* estimate = answer.estimate ? &*answer.estimate : nullptr;
    if (options.json()) {
        print_json(report::document_of(verdict, estimate));
    } else {
        print(asked_plot(options, answer.traces, bake.coated_places(), cure::reference_row(coating).temperature_k));
        print(report::verdict_answer(verdict, bake.record.started_at, text_options(options), estimate), options);
    }
    const bool good = verdict.worst() == cure::Word::good && verdict.warnings.empty() && verdict.questions.empty();
    return static_cast<int>(good ? ExitStatus::fine : ExitStatus::answer_is_no);
}

}  // namespace bakewright::cli
