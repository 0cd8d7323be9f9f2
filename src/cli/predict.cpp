// SPDX-License-Identifier: Apache-2.0
#include "bakewright/bake/predict.hpp"

#include <fmt/core.h>

#include "bakewright/base/error.hpp"
#include "bakewright/profile/read.hpp"
#include "bakewright/report/answers.hpp"
#include "bakewright/report/csv.hpp"
#include "bakewright/report/json.hpp"
#include "bakewright/report/text.hpp"
#include "bakewright/services/files.hpp"
#include "bakewright/services/stored_bake.hpp"
#include "command.hpp"
#include "options.hpp"
#include "output.hpp"
#include "version.hpp"

namespace bakewright::cli {
namespace {

namespace po = boost::program_options;

bake::PredictOptions predict_options(const Options& options, const bake::Booth& booth) {
    bake::PredictOptions asked;
    asked.start_temperature_k = options.quantity("start-temperature", Dimension::temperature).value_or(booth.ambient_k);
    asked.output_interval_s = options.quantity("every", Dimension::time).value_or(asked.output_interval_s);
    asked.after_s = options.quantity("after", Dimension::time).value_or(0.0);
    asked.film_factor = options.number("film-factor").value_or(1.0);
    try {
        asked.check();
    } catch (const InputError& error) {
        throw options.as_written(error);
    }
    return asked;
}

/// The channel that drives a replay: the named one, or the log's booth air.
const Trace& air_channel(const services::StoredBake& log, const Options& options) {
    if (!options.has("air-channel")) {
        if (const Trace* air = log.traces.first(TraceRole::booth_air)) return *air;
        wrong_option("--air-from",
                     fmt::format("bake {} has no booth-air channel; name one with --air-channel, or import the log with a column "
                                 "mapped to 'booth wall'",
                                 options.text("air-from")));
    }
    const std::string name = options.text("air-channel");
    if (const Trace* air = log.traces.find(name)) return *air;
    std::vector<std::string> names;
    for (const Trace& trace : log.traces.traces) names.push_back(trace.name);
    wrong_option("--air-channel",
                 fmt::format("'{}' is not a channel of bake {}{}", name, options.text("air-from"), did_you_mean(name, names)));
}

/// The measured walls that drive a replay of a log in which nobody logged the air; null where there is air, or it is named.
const Trace* driving_walls(const services::StoredBake& log, const Options& options) {
    if (options.has("air-channel") || log.traces.first(TraceRole::booth_air) != nullptr) return nullptr;
    return log.traces.find(word_of(bake::BoothSurface::walls));
}

struct Asked {
    profile::Located<profile::ShellProfile> shell;
    profile::Located<bake::Booth> booth;
    std::optional<profile::Located<bake::Cycle>> cycle;
    std::optional<cure::Coating> coating;
};

Asked load_profiles(const Options& options) {
    const profile::Library library = options.library();
    Asked asked{shell_of(options), booth_of(options), {}, {}};
    if (options.has("cycle")) asked.cycle = profile::load_cycle(options.text("cycle"), library);
    if (options.has("coating")) asked.coating = profile::load_coating(options.text("coating"), library).record;
    return asked;
}

/// What is wrong between cycle and booth is told with the cycle's file and line.
void refuse_cycle_in_booth(const Asked& asked) {
    std::vector<Problem> found = bake::problems_in(asked.cycle->record, asked.booth.record);
    if (!found.empty()) throw InputError(profile::locate(std::move(found), *asked.cycle));
}

book::BakeId keep(book::Book& book, const Options& options, const Asked& asked, const bake::Prediction& prediction,
                  const bake::PredictOptions& predict, const std::optional<services::StoredBake>& log, const std::string& air) {
    const std::string title = options.text_or(
        "title", asked.cycle ? asked.cycle->record.title : fmt::format("replay of bake {}", options.text_or("air-from", "")));
    return services::keep_prediction(book, {.title = title,
                                            .program_version = std::string(kVersion),
                                            .started_at = log ? log->record.started_at : "",
                                            .shell = asked.shell.record,
                                            .booth = asked.booth.record,
                                            .cycle = asked.cycle ? &asked.cycle->record : nullptr,
                                            .coating = asked.coating ? &*asked.coating : nullptr,
                                            .asked = predict,
                                            .traces = prediction.traces,
                                            .log = log ? std::optional(log->record.id) : std::nullopt,
                                            .air_channel = air});
}

void describe_predict(Options& options) {
    const auto text = [](const char* name) { return po::value<std::string>()->value_name(name); };
    options.add()("shell", text("NAME"), "profile of the shell (name or file)")("booth", text("NAME"), "profile of the booth")(
        "cycle", text("NAME"), "profile of the cycle")("coating", text("NAME"), "coating to keep with the bake, for judging it")(
        "air-from", text("BAKE"),
        "drive the model with what this logged bake measured of the booth, its air, and its walls, ceiling and floor where they "
        "were logged, in place of a cycle (replay)")("air-channel", text("NAME"),
                                                     "channel of that log that measured the air; default the booth air")(
        "start-temperature", text("T"), "temperature of the whole shell at the start; default the booth's ambient")(
        "after", text("TIME"), "go on so long after the cycle's end")(
        "every", text("TIME"), "time between samples; default 10 s")("film-factor", text("X"),
                                                                     "multiply the strength of the air on every zone; default 1")(
        "title", text("TEXT"), "title in the book")("csv", text("FILE"), "write the traces as CSV too; - is standard output")(
        "no-store", "do not keep the bake in the book");
}

}  // namespace

int run_predict(const std::vector<std::string>& words) {
    Options options("predict --shell NAME --booth NAME (--cycle NAME | --air-from BAKE) [options]",
                    "Predicts the temperature of every zone, cavity and item, and keeps the bake in the book.");
    describe_predict(options);
    describe_plot(options);
    options.parts(report::kPredictionParts);
    options.takes_job_at_hand();
    if (!options.read(words)) return static_cast<int>(ExitStatus::fine);
    if (options.has("cycle") == options.has("air-from")) wrong_option("--cycle", "give either --cycle or --air-from");
    const Asked asked = load_profiles(options);
    bake::PredictOptions predict = predict_options(options, asked.booth.record);
    if (asked.cycle) refuse_cycle_in_booth(asked);
    std::optional<book::Book> book;  // opened only now: input that is refused leaves no new book behind
    if (!options.has("no-store") || options.has("air-from"))
        book = options.open_book(options.has("no-store") ? book::Mode::read_only : book::Mode::create);

    std::optional<services::StoredBake> log;
    std::string air_name;
    bake::Prediction prediction;
    if (asked.cycle) {
        prediction = bake::predict(asked.shell.record.shell, asked.booth.record, asked.cycle->record, predict);
    } else {
        log = services::load_bake(*book, services::bake_id(*book, options.text("air-from"), "--air-from"));
        const Trace* walls = driving_walls(*log, options);
        const Trace& air = walls != nullptr ? *walls : air_channel(*log, options);
        air_name = air.name;
        const Trace usable = air.usable_samples();
        if (!options.has("start-temperature") && usable.size() > 0) predict.start_temperature_k = usable.temperature_k.front();
        const bake::SurfaceTraces surfaces = bake::surface_traces(log->traces, usable);
        prediction = walls != nullptr
                         ? bake::predict_from_surfaces(asked.shell.record.shell, asked.booth.record, surfaces, predict)
                         : bake::predict_from_air(asked.shell.record.shell, asked.booth.record, air, predict, surfaces);
    }
    std::optional<book::BakeId> id;
    if (!options.has("no-store")) id = keep(*book, options, asked, prediction, predict, log, air_name);
    if (options.has("csv")) write_file(options.text("csv"), report::traces_csv(prediction.traces, {.units = options.units()}));
    if (options.has("csv") && options.text("csv") == "-") return static_cast<int>(ExitStatus::fine);
    if (options.json()) {
        print_json(kept_as(report::document_of(prediction), id));
    } else {
        const std::vector<std::string> coated = asked.shell.record.shell.coated_place_names();
        print(asked_plot(options, prediction.traces, coated));
        if (id) fmt::print("kept as bake {} in {}\n", static_cast<std::int64_t>(*id), options.book_path());
        const std::string checked =
            asked.cycle ? fmt::format("Predictions like this were {}.", bake::record_text(*asked.booth.record.record)) : "";
        const std::string next = !id ? "Next: leave out --no-store to keep it, then `bakewright judge` says whether it is enough."
                                     : fmt::format("Next: `bakewright judge {}{}` says whether it is enough.",
                                                   static_cast<std::int64_t>(*id), asked.coating ? "" : " --coating NAME");
        print(report::prediction_answer(prediction, coated, checked, next, text_options(options)), options);
    }
    return static_cast<int>(ExitStatus::fine);
}

}  // namespace bakewright::cli
