// SPDX-License-Identifier: Apache-2.0
#include "bakewright/tune/compare.hpp"

#include <fmt/core.h>

#include <utility>

#include "bakewright/base/error.hpp"
#include "bakewright/report/answers.hpp"
#include "bakewright/report/booth_text.hpp"
#include "bakewright/report/comparison_text.hpp"
#include "bakewright/report/json.hpp"
#include "bakewright/report/text.hpp"
#include "bakewright/services/certainty.hpp"
#include "bakewright/services/tune_records.hpp"
#include "bakewright/tune/causes.hpp"
#include "command.hpp"
#include "judge.hpp"
#include "options.hpp"
#include "output.hpp"

namespace bakewright::cli {
namespace {

namespace po = boost::program_options;

/// Both verdicts, the logged one with the predicted bake's shell where the log was kept without one.
/// @param ensemble  gets that of the prediction, where its verdict was read from one
std::vector<report::JudgedBake> both_verdicts(const Options& options, const services::StoredBake& predicted,
                                              services::StoredBake logged, const services::CertaintyOptions& how,
                                              std::optional<plan::EnsemblePrediction>& ensemble) {
    if (!options.has("coating") && !predicted.coating && !logged.coating) return {};
    if (!logged.shell) logged.shell = predicted.shell;
    const cure::Coating coating = coating_for(options, predicted.coating ? predicted : logged);
    services::Judged of_prediction = services::judged(predicted, coating, how);
    ensemble = std::move(of_prediction.ensemble);
    return {{"logged", services::judged(logged, coating, how).verdict}, {"predicted", std::move(of_prediction.verdict)}};
}

/// Asked of the prediction's own shell, booth and cycle, or of the log's air where the prediction was a replay.
std::vector<tune::Cause> causes_of(const services::StoredBake& predicted, const services::StoredBake& logged) {
    const bool has_air = logged.traces.first(TraceRole::booth_air) != nullptr;
    if (!predicted.shell || !predicted.booth || !(predicted.cycle || has_air)) return {};
    try {
        return tune::likely_causes(predicted.shell->shell, *predicted.booth,
                                   {services::bake_label(logged.record), logged.traces, predicted.cycle, {}});
    } catch (const InputError&) {
        return {};  // too little of the log is the shell's; the comparison stands by itself
    }
}

/// The prediction and the log of two bakes, in whatever order they were named: what they are stands in the book.
std::pair<services::StoredBake, services::StoredBake> by_kind(services::StoredBake first, services::StoredBake second) {
    if (first.record.kind == second.record.kind) {
        const bool both_logged = first.record.kind == book::BakeKind::logged;
        throw InputError(Problem{
            {},
            0,
            "PREDICTED LOGGED",
            fmt::format("bakes {} and {} are both {}; name a prediction and a log{}", static_cast<std::int64_t>(first.record.id),
                        static_cast<std::int64_t>(second.record.id), both_logged ? "logs" : "predictions",
                        both_logged ? ", or three logs and more for the trend of their booth" : "")});
    }
    if (first.record.kind == book::BakeKind::logged) std::swap(first, second);
    return {std::move(first), std::move(second)};
}

/// Many bakes: those named, or those of a booth.
int run_trend(const Options& options) {
    book::Book book = options.open_book(book::Mode::read_only);
    std::vector<book::BakeId> bakes;
    if (options.has("booth")) {
        if (options.has("predicted")) wrong_option("--booth", "give either the numbers of bakes or --booth");
        bakes = services::logged_bakes_of_booth(book, options.text("booth"), options.text_or("since", ""));
        if (bakes.empty())
            wrong_option("--booth", fmt::format("no logged bake of the book was made in a booth of the name '{}'{}",
                                                options.text("booth"), options.has("since") ? " since then" : ""));
    } else {
        bakes = {services::bake_id(book, options.text("predicted"), "BAKE"),
                 services::bake_id(book, options.text("logged"), "BAKE")};
        for (const std::string& more : options.texts("more")) bakes.push_back(services::bake_id(book, more, "BAKE"));
    }
    const tune::BoothTrend trend = services::booth_trend(book, bakes);
    print(options.json() ? report::json_text(report::document_of(trend)) : report::trend_text(trend, text_options(options)));
    return static_cast<int>(ExitStatus::fine);
}

void describe_compare(Options& options) {
    const auto text = [](const char* name) { return po::value<std::string>()->value_name(name); };
    options.add()("predicted", text("BAKE"), "number of the predicted bake; of three or more bakes, of a logged one")(
        "logged", text("BAKE"), "number of the logged bake")(
        "more", po::value<std::vector<std::string>>()->composing()->value_name("BAKE"),
        "further logged bakes: the trend of their booth")("booth", text("NAME"),
                                                          "in place of bakes: the trend of all logged bakes of this booth")(
        "since", text("DATE"), "with --booth: leave out bakes that began before, such as 2027-03-01")(
        "coating", text("NAME"), "profile of the coating to judge both by");
    describe_uncertainty(options);
    options.parts(report::kComparisonParts);
    options.positional("predicted", 1);
    options.positional("logged", 1);
    options.positional("more", -1);
}

}  // namespace

int run_compare(const std::vector<std::string>& words) {
    Options options(
        "compare PREDICTED LOGGED [--coating NAME] (in either order), or compare BAKE BAKE BAKE..., or compare --booth NAME",
        "Compares two bakes of the book channel by channel: bias, RMS, largest difference and when, lag, and whether they\n"
        "agree within what probe and model may be off. With a coating (or one kept with either bake) also the verdict each\n"
        "would give. Differences are predicted minus logged. Of three logged bakes and more, or of all of a booth: how air,\n"
        "bias and lag go from month to month.");
    describe_compare(options);
    if (!options.read(words)) return static_cast<int>(ExitStatus::fine);
    if (options.has("booth") || options.has("more")) return run_trend(options);
    if (options.has("since")) wrong_option("--since", "goes with --booth");
    book::Book book = options.open_book(book::Mode::read_only);
    const auto [predicted, logged] =
        by_kind(services::load_bake(book, services::bake_id(book, options.text("predicted"), "PREDICTED")),
                services::load_bake(book, services::bake_id(book, options.text("logged"), "LOGGED")));
    const tune::Comparison comparison = tune::compare(predicted.traces, logged.traces);
    if (comparison.channels.empty())
        throw InputError(Problem{{},
                                 0,
                                 "LOGGED",
                                 "has no channel of the same name as one of the prediction; import the log with "
                                 "--shell or --map so that channels carry the zones' names"});
    std::vector<tune::StageDifference> by_stage;
    if (predicted.cycle && predicted.booth)
        by_stage = tune::stage_differences(predicted.traces, logged.traces, bake::resolve(*predicted.cycle, *predicted.booth));
    const std::vector<tune::Cause> causes = causes_of(predicted, logged);
    ProgressLine progress("working out how sure this is");
    const services::CertaintyOptions how = certainty_options(options, progress, book);
    std::optional<plan::EnsemblePrediction> ensemble;
    const std::vector<report::JudgedBake> verdicts = both_verdicts(options, predicted, logged, how, ensemble);
    const tune::Agreement agreed = agreement(predicted, logged, ensemble ? &*ensemble : nullptr, how);
    if (options.json()) {
        report::Json document = report::document_of(comparison, verdicts);
        document["stages"] = report::json_of(by_stage);
        document["causes"] = report::json_of(causes);
        document["agreement"] = report::json_of(agreed);
        print_json(document);
        return static_cast<int>(ExitStatus::fine);
    }
    print(report::comparison_answer({comparison, agreed, by_stage, causes, verdicts}, text_options(options)), options);
    return static_cast<int>(ExitStatus::fine);
}

}  // namespace bakewright::cli
