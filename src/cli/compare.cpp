#include "bakewright/tune/compare.hpp"

#include <fmt/core.h>

#include "bakewright/base/error.hpp"
#include "bakewright/report/cause_text.hpp"
#include "bakewright/report/json_commands.hpp"
#include "bakewright/report/stage_difference_text.hpp"
#include "bakewright/report/text.hpp"
#include "bakewright/shop/tune_records.hpp"
#include "bakewright/tune/causes.hpp"
#include "bakewright/tune/stage_difference.hpp"
#include "command.hpp"
#include "judging.hpp"
#include "options.hpp"
#include "output.hpp"

namespace bakewright::cli {
namespace {

namespace po = boost::program_options;

/// Both verdicts, the logged one with the predicted bake's shell where the log was kept without one.
std::vector<report::JudgedBake> both_verdicts(const Options& options, const StoredBake& predicted, StoredBake logged) {
    if (!options.has("coating") && !predicted.coating && !logged.coating) return {};
    if (!logged.shell) logged.shell = predicted.shell;
    const cure::Coating coating = coating_for(options, predicted.coating ? predicted : logged);
    std::vector<report::JudgedBake> verdicts{{"logged", judge(logged, coating)}, {"predicted", judge(predicted, coating)}};
    add_certainty(verdicts[0].verdict, logged, coating, options);
    add_certainty(verdicts[1].verdict, predicted, coating, options);
    return verdicts;
}

/// Asked of the prediction's own shell, booth and cycle, or of the log's air where the prediction was a replay.
std::vector<tune::Cause> causes_of(const StoredBake& predicted, const StoredBake& logged) {
    const bool has_air = logged.traces.first(TraceRole::booth_air) != nullptr;
    if (!predicted.shell || !predicted.booth || !(predicted.cycle || has_air)) return {};
    try {
        return tune::likely_causes(predicted.shell->shell, *predicted.booth,
                                   {bake_label(logged.record), logged.traces, predicted.cycle, {}});
    } catch (const InputError&) {
        return {};  // too little of the log is the shell's; the comparison stands by itself
    }
}

}  // namespace

int run_compare(const std::vector<std::string>& words) {
    Options options(
        "compare PREDICTED LOGGED [--coating NAME]",
        "Compares two bakes of the book channel by channel: bias, RMS, largest difference and when, lag. With a coating\n"
        "(or one kept with either bake) also the verdict each would give. Differences are predicted minus logged.");
    const auto text = [](const char* name) { return po::value<std::string>()->value_name(name); };
    options.add()("predicted", text("BAKE"), "number of the predicted bake")("logged", text("BAKE"), "number of the logged bake")(
        "coating", text("NAME"), "profile of the coating to judge both by");
    describe_uncertainty(options);
    options.positional("predicted", 1);
    options.positional("logged", 1);
    if (!options.read(words)) return static_cast<int>(ExitStatus::fine);
    book::Book book = book::Book::open(options.book_path(), book::Mode::read_only);
    const StoredBake predicted = load_bake(book, bake_id(options.text("predicted"), "PREDICTED"));
    const StoredBake logged = load_bake(book, bake_id(options.text("logged"), "LOGGED"));
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
    const std::vector<report::JudgedBake> verdicts = both_verdicts(options, predicted, logged);
    if (options.json()) {
        print(report::with_causes(report::with_stage_differences(report::to_json_text(comparison, verdicts), by_stage), causes));
        return static_cast<int>(ExitStatus::fine);
    }
    const report::TextOptions style = text_options(options);
    print(report::comparison_text(comparison, style));
    if (!by_stage.empty()) fmt::print("\n{}", report::stage_difference_text(by_stage, style));
    if (!causes.empty()) fmt::print("\n{}", report::cause_text(causes, style));
    for (const report::JudgedBake& judged : verdicts)
        fmt::print("\nverdict on the {} bake\n{}", judged.label, report::verdict_text(judged.verdict, style));
    return static_cast<int>(ExitStatus::fine);
}

}  // namespace bakewright::cli
