// SPDX-License-Identifier: Apache-2.0
#include <fmt/core.h>

#include "bakewright/base/words.hpp"
#include "bakewright/plan/probe_places.hpp"
#include "bakewright/profile/read.hpp"
#include "bakewright/report/places_text.hpp"
#include "command.hpp"
#include "options.hpp"
#include "output.hpp"

namespace bakewright::cli {
namespace {

namespace po = boost::program_options;

constexpr double kMostPlaces = 20.0;

void describe_probe_advice(Options& options) {
    const auto text = [](const char* name) { return po::value<std::string>()->value_name(name); };
    options.add()("shell", text("NAME"), "profile of the shell, or a tuned one of the book")(
        "booth", text("NAME"), "the booth, likewise")("cycle", text("NAME"), "cycle that the probes would log")(
        "coating", text("NAME"), "the coating; without one only the temperatures can be asked about")(
        "for", text("AIM"),
        "what is to be known better: hold (default), cure, items, or learning (the temperatures of all coated zones; default "
        "without a coating)")("probed", po::value<std::vector<std::string>>()->composing()->value_name("LIST"),
                              "places that have a probe already, separated by commas")(
        "probes", text("N"), "how many to place, 1 to 20; default 4, and those for safety besides")(
        "uncertainty", text("T"), "standard uncertainty of a probe; default 1.4 K, a thermocouple of class 2; 0.3 K calibrated");
}

plan::ProbeAim aim_of(const Options& options) {
    if (!options.has("for")) return options.has("coating") ? plan::ProbeAim::hold : plan::ProbeAim::learning;
    const std::string text = options.text("for");
    for (const plan::ProbeAim aim : {plan::ProbeAim::hold, plan::ProbeAim::cure, plan::ProbeAim::items, plan::ProbeAim::learning})
        if (word_of(aim) == text) return aim;
    wrong_option("--for", fmt::format("'{}' is not hold, cure, items or learning", text));
}

plan::PlaceOptions asked_of(const Options& options, const bake::Booth& booth) {
    plan::PlaceOptions asked;
    asked.aim = aim_of(options);
    asked.probed = names_in(options.texts("probed"));
    const double probes = options.number("probes").value_or(static_cast<double>(plan::kUsualPlaces));
    if (!(probes >= 1.0 && probes <= kMostPlaces)) wrong_option("--probes", "accepts 1 to 20");
    asked.most = static_cast<std::size_t>(probes);
    asked.probe_standard_k = options.quantity("uncertainty", Dimension::temperature_difference).value_or(asked.probe_standard_k);
    if (!(asked.probe_standard_k >= 0.01 && asked.probe_standard_k <= 20.0))
        wrong_option("--uncertainty", "accepts 0.01 to 20 K");
    asked.predict.start_temperature_k = booth.ambient_k;
    return asked;
}

}  // namespace

int run_probe_advice(const std::vector<std::string>& words) {
    Options options("probe-advice --shell NAME --booth NAME --cycle NAME [options]",
                    "Says where probes go: the places that together take away most of what is not known of the hold, the cure, "
                    "the\nitems or the temperatures, and what calibrating the probes is worth. The same places as in plan and on "
                    "the card.\nKeeps nothing.");
    describe_probe_advice(options);
    options.takes_job_at_hand();
    if (!options.read(words)) return static_cast<int>(ExitStatus::fine);
    const auto shell = shell_of(options);
    const auto booth = booth_of(options);
    const auto cycle = profile::load_cycle(options.text("cycle"), options.library());
    std::optional<cure::Coating> coating;
    if (options.has("coating")) coating = profile::load_coating(options.text("coating"), options.library()).record;
    const std::vector<cure::HeatSensitiveItem> items = shell.record.heat_sensitive();
    const plan::ProbePlaces places = plan::probe_places(
        {shell.record.shell, booth.record, cycle.record, coating ? &*coating : nullptr, items}, asked_of(options, booth.record));
    print(options.json() ? report::json_text(report::document_of(places)) : report::places_text(places, text_options(options)));
    return static_cast<int>(ExitStatus::fine);
}

}  // namespace bakewright::cli
