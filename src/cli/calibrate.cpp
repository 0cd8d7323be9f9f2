// SPDX-License-Identifier: Apache-2.0
#include <fmt/chrono.h>
#include <fmt/core.h>

#include <ctime>

#include "bakewright/base/error.hpp"
#include "bakewright/probe/bath.hpp"
#include "bakewright/probe/read_log.hpp"
#include "bakewright/profile/read.hpp"
#include "bakewright/profile/write.hpp"
#include "bakewright/report/places_text.hpp"
#include "bakewright/report/plain_text.hpp"
#include "bakewright/report/table.hpp"
#include "bakewright/services/entered.hpp"
#include "bakewright/services/files.hpp"
#include "bakewright/services/reading_options.hpp"
#include "command.hpp"
#include "import_options.hpp"
#include "options.hpp"
#include "output.hpp"

namespace bakewright::cli {
namespace {

namespace po = boost::program_options;

constexpr std::size_t kLargestLogBytes = std::size_t{1} << 28;
constexpr double kWarmStandardK = 0.3;  // of a shop's thermometer with a certificate; common practice, no source

constexpr const char* kGuide =
    "Calibrate the probes in ten minutes:\n"
    "1. Fill a vacuum flask with crushed ice made of clean water, pour in cold water up to the top of the ice, stir. Ice must\n"
    "   reach the bottom; pour off water as it melts.\n"
    "2. Tie all beads together with a thread, plug them in as in a bake, start the logger at one reading every 5 s or faster.\n"
    "3. Hold the bundle in the middle of the ice, off the walls, and stir. Wait until no reading moves, then three minutes "
    "more.\n"
    "4. Warm water near the bake's temperature (140 degF, 60 degC), stirred, with a thermometer you trust beside the beads:\n"
    "   three minutes, and write down what it reads. Instead or besides: water at a rolling boil, and say how high you are.\n"
    "5. Stop the logger and type\n"
    "   bakewright calibrate LOG --ice --warm \"60.2 degC\" --out probes.toml\n"
    "Then import bakes with --probe-record probes.toml. Again every year, and when a probe was bent or repaired.\n";

void describe_calibrate(Options& options) {
    const auto text = [](const char* name) { return po::value<std::string>()->value_name(name); };
    options.add()("file", text("LOG"), "the log of the baths; without one it tells how to make it")(
        "ice", "all probes were in melting ice")("warm", text("T"), "and in warm water: what the thermometer there read")(
        "warm-uncertainty", text("T"), "how well that is known, 1 standard deviation; default 0.3 K (common practice)")(
        "boiling", "and in boiling water")("altitude", text("LENGTH"),
                                           "how high above the sea it boiled, such as \"5300 ft\"; default 0 m")(
        "probe-record", text("NAME"), "what is known of the probes (a profile of kind probes): types and attachments stay")(
        "date", text("DATE"), "of the calibration, such as 2027-03-01; default that of the log, else today")(
        "out", text("FILE"), "write the records of the probes here, for import --probe-record");
    describe_reading(options);
}

std::vector<probe::Bath> baths_of(const Options& options) {
    std::vector<probe::Bath> baths;
    if (options.flag("ice")) baths.push_back(probe::ice_bath());
    if (const auto warm_k = options.quantity("warm", Dimension::temperature)) {
        const double standard_k =
            options.quantity("warm-uncertainty", Dimension::temperature_difference).value_or(kWarmStandardK);
        if (!(standard_k >= 0.01 && standard_k <= 3.0)) wrong_option("--warm-uncertainty", "accepts 0.01 to 3 K");
        baths.push_back(probe::warm_bath(*warm_k, standard_k));
    }
    if (options.flag("boiling")) {
        const double altitude_m = options.quantity("altitude", Dimension::length).value_or(0.0);
        if (!(altitude_m >= -400.0 && altitude_m <= 5000.0)) wrong_option("--altitude", "accepts -400 to 5000 m");
        baths.push_back(probe::boiling_bath(altitude_m));
    }
    if (baths.empty()) wrong_option("--ice", "is missing: say which baths the probes were in, --ice, --warm T or --boiling");
    return baths;
}

std::string date_of(const Options& options, const TraceSet& traces) {
    constexpr std::size_t kDateLength = 10;
    if (options.has("date")) return services::shop_time(options.text("date") + " 12:00", "--date").text.substr(0, kDateLength);
    if (traces.started_at.size() >= kDateLength) return traces.started_at.substr(0, kDateLength);
    return fmt::format("{:%Y-%m-%d}", fmt::localtime(std::time(nullptr)));
}

report::Table reading_table(const probe::BathCalibration& found, const Units& units) {
    using report::Align;
    report::Table table({{"channel", Align::left, true},
                         {"bath", Align::left},
                         {"reads", Align::right},
                         {"add to readings", Align::right},
                         {"give or take", Align::right}});
    for (const probe::BathReading& one : found.readings)
        table.add({report::one_line(one.channel), one.bath.name, format_temperature(one.reading_k, units, 2),
                   format_temperature_difference(one.correction_k(), units, 2),
                   format_temperature_difference(one.standard_k(), units, 2)});
    return table;
}

report::Json document_of(const probe::BathCalibration& found, const std::string& date) {
    report::Json readings = report::Json::array();
    for (const probe::BathReading& one : found.readings)
        readings.push_back({{"channel", one.channel},
                            {"bath", one.bath.name},
                            {"bath_k", one.bath.temperature_k},
                            {"reading_k", one.reading_k},
                            {"correction_k", one.correction_k()},
                            {"standard_k", one.standard_k()},
                            {"from_s", one.from_s}});
    return report::document("bakewright.calibration",
                            {{"date", date}, {"readings", std::move(readings)}, {"left_out", found.left_out}});
}

}  // namespace

int run_calibrate(const std::vector<std::string>& words) {
    Options options("calibrate [LOG] [options]",
                    "Finds each probe's offset from the log of an ice bath, a warm one or boiling water, and keeps it with its\n"
                    "date and uncertainty as a profile. Without a log it tells how to do it in ten minutes.");
    describe_calibrate(options);
    options.positional("file", 1);
    if (!options.read(words)) return static_cast<int>(ExitStatus::fine);
    if (!options.has("file")) {
        print(kGuide);
        return static_cast<int>(ExitStatus::fine);
    }
    const std::vector<probe::Bath> baths = baths_of(options);
    const std::string path = options.text("file");
    const TraceSet traces = probe::read_log(services::read_file(path, kLargestLogBytes, probe::kLongestLineBytes), path,
                                            services::read_options(reading_options(options)))
                                .traces;
    probe::ProbeSet before;
    if (options.has("probe-record")) before = profile::load_probes(options.text("probe-record"), options.library()).record;
    const std::string date = date_of(options, traces);
    const probe::BathCalibration found = probe::read_baths(traces, baths);
    const probe::ProbeSet set = probe::calibrated(before, found, date);
    if (options.has("out") && !found.readings.empty()) services::write_file(options.text("out"), profile::to_toml(set));
    if (options.json()) {
        print_json(document_of(found, date));
    } else {
        const report::TextOptions text = text_options(options);
        print(report::table_block(fmt::format("Probes in their baths, {}", date), reading_table(found, text.units), text) +
              report::list_text("Not calibrated", found.left_out, text));
        if (options.has("out") && !found.readings.empty())
            fmt::print("Next: `bakewright import LOG --probe-record {}`.\n", report::one_line(options.text("out")));
    }
    return static_cast<int>(found.readings.empty() ? ExitStatus::answer_is_no : ExitStatus::fine);
}

}  // namespace bakewright::cli
