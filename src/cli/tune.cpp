// SPDX-License-Identifier: Apache-2.0
#include "bakewright/tune/tune.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <filesystem>

#include "bakewright/base/error.hpp"
#include "bakewright/profile/write.hpp"
#include "bakewright/report/answers.hpp"
#include "bakewright/report/plain_text.hpp"
#include "bakewright/report/tune_text.hpp"
#include "bakewright/services/files.hpp"
#include "bakewright/services/tune_records.hpp"
#include "command.hpp"
#include "options.hpp"
#include "output.hpp"

namespace bakewright::cli {
namespace {

namespace po = boost::program_options;

void describe_tune(Options& options) {
    const auto text = [](const char* name) { return po::value<std::string>()->value_name(name); };
    const auto texts = [](const char* name) { return po::value<std::vector<std::string>>()->composing()->value_name(name); };
    options.add()("bakes", texts("BAKE"), "numbers of logged bakes, as words or as --bakes 3,5; may be repeated")(
        "shell", text("NAME"), "profile of the shell; default that of the first bake")(
        "booth", text("NAME"), "profile of the booth; default that of the first bake, or of the prediction it belongs to")(
        "what", texts("LIST"),
        "what to learn and keep, by commas: film, zones, modes, links, masses, vertical, walls, air, cavities; default all")(
        "hold-out", texts("BAKE"),
        "predict this bake only; default each in turn, with one bake the quarters of its time in turn")(
        "by-cycle", "drive the model by the bakes' cycles though their air was logged, and fit that air too")(
        "keep-suspects", "fit channels although they look loose or exchanged")(
        "name", text("NAME"), "name of the tuned shell and booth; default theirs with _tuned")(
        "write", text("DIR"), "write both as profiles into this folder too")("no-store", "do not keep them in the book");
    options.parts(report::kTuningParts);
    options.positional("bakes", -1);
}

std::set<tune::Tunable> tunables(const Options& options) {
    std::set<tune::Tunable> found;
    for (const std::string& word : names_in(options.texts("what"))) {
        const auto tunable = tune::tunable_from_name(word);
        if (tunable) {
            found.insert(*tunable);
            continue;
        }
        std::vector<std::string> names;
        for (const tune::Tunable one : tune::all_tunables()) names.emplace_back(tune::tunable_name(one));
        wrong_option("--what", fmt::format("'{}' cannot be tuned{}", word, did_you_mean(word, names, "; --help lists what is")));
    }
    return found;
}

std::vector<book::BakeId> bakes_of(book::Book& book, const Options& options, const char* name, const std::string& what) {
    std::vector<book::BakeId> bakes;
    for (const std::string& number : names_in(options.texts(name))) bakes.push_back(services::bake_id(book, number, what));
    return bakes;
}

services::TuneRecords records_of(book::Book& book, const Options& options) {
    services::TuneAsked asked{
        bakes_of(book, options, "bakes", "BAKE"), bakes_of(book, options, "hold-out", "--hold-out"), {}, {}};
    if (asked.bakes.empty()) wrong_option("BAKE", "name at least one logged bake, such as 3; `bakewright book list` shows them");
    if (options.has("shell")) asked.shell = shell_of(options).record;
    if (options.has("booth")) asked.booth = booth_of(options).record;
    return services::load_tune_records(book, asked);
}

void write_profiles(const std::string& folder, const services::TunedPair& pair) {
    std::error_code failure;
    std::filesystem::create_directories(folder, failure);
    if (failure) throw FileError(fmt::format("{}: cannot be made: {}", folder, failure.message()));
    write_file(fmt::format("{}/{}.toml", folder, pair.shell.shell.id), profile::to_toml(pair.shell));
    write_file(fmt::format("{}/{}_booth.toml", folder, pair.booth.id), profile::to_toml(pair.booth));
}

}  // namespace

int run_tune(const std::vector<std::string>& words) {
    Options options(
        "tune BAKE... [--shell NAME] [--booth NAME] [--what LIST] [options]",
        "Learns from logged bakes what a shop cannot measure: how strong the air is, joints, weights, the booth's air. Keeps the "
        "tuned shell and\n"
        "booth in the book under a new name, for predict and plan, with what they were tuned on and how sure they are.");
    describe_tune(options);
    if (!options.read(words)) return static_cast<int>(ExitStatus::fine);
    tune::TuneOptions asked;
    if (options.has("what")) asked.what = tunables(options);
    asked.drives_by_cycle = options.flag("by-cycle");
    asked.keeps_suspects = options.flag("keep-suspects");
    const bool is_kept = !options.flag("no-store");
    book::Book book = options.open_book(is_kept ? book::Mode::create : book::Mode::read_only);
    const services::TuneRecords records = records_of(book, options);
    asked.held_out = records.held_out;
    asked.earlier_evidence = records.earlier_evidence;
    ProgressLine progress("tuning");
    asked.progress = progress.listener();
    const tune::TuneResult result = tune::tune(records.task, asked);
    if (!result.is_complete) throw FileError("tuning was interrupted");
    const std::string name = options.text_or("name", "");
    const services::TunedPair pair =
        is_kept ? services::keep_pair(book, records, result, name) : services::named_pair(records, result, name);
    if (options.has("write")) write_profiles(options.text("write"), pair);
    const std::string shell_name = is_kept ? pair.shell.shell.id : "", booth_name = is_kept ? pair.booth.id : "";
    if (options.json()) {
        print_json(report::document_of(result, shell_name, booth_name));
    } else {
        const std::string next = is_kept ? fmt::format("Next: plan with --shell {} --booth {} (both are in the book).",
                                                       report::one_line(shell_name), report::one_line(booth_name))
                                         : std::string("Not kept: leave out --no-store to keep the tuned shell and booth.");
        print(report::tuning_answer(result, next, text_options(options)), options);
        if (is_kept)
            fmt::print("\nkept as shell {} and booth {}\n  in {}\n", report::one_line(shell_name), report::one_line(booth_name),
                       options.book_path());
    }
    return static_cast<int>(result.converged ? ExitStatus::fine : ExitStatus::answer_is_no);
}

}  // namespace bakewright::cli
