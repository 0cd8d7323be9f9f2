// SPDX-License-Identifier: Apache-2.0
#include "planning_options.hpp"

#include <fmt/core.h>

#include <charconv>
#include <cmath>
#include <tuple>

#include "bakewright/base/units.hpp"
#include "bakewright/plan/finish.hpp"
#include "bakewright/report/map_text.hpp"
#include "options.hpp"

namespace bakewright::cli {

namespace po = boost::program_options;

namespace {

plan::Objective objective_of(const std::string& name) {
    for (const plan::Objective objective : plan::kObjectives)
        if (report::objective_name(objective) == name) return objective;
    wrong_option("--for", fmt::format("'{}' is not time, energy or margin", name));
}

/// "95 %", "0.95" or "none".
std::optional<plan::Confidence> confidence_of(const Options& options) {
    std::string text = options.text_or("confidence", "95 %");
    if (text == "none") return std::nullopt;
    const bool percent = text.ends_with('%');
    if (percent) text.pop_back();
    while (text.ends_with(' ')) text.pop_back();
    double number = 0.0;
    const auto [end, status] = std::from_chars(text.data(), text.data() + text.size(), number);
    if (status != std::errc{} || end != text.data() + text.size())
        wrong_option("--confidence",
                     fmt::format("'{}' is not a share such as \"95 %\", nor none", options.text_or("confidence", "")));
    plan::Confidence asked;
    asked.level = percent ? number / 100.0 : number;
    if (const auto count = options.number("members")) {
        if (!(*count >= 40.0 && *count <= 1e5)) wrong_option("--members", "accepts 40 to 100000");
        asked.member_count = static_cast<std::size_t>(*count);
    }
    return asked;
}

}  // namespace

namespace {

/// Set points are whole degrees of the user's: of Fahrenheit too, from the next whole one on where several are tried.
void step_by_degrees(plan::PlanOptions& asked, const Units& units) {
    if (units.temperature != TemperatureUnit::fahrenheit || asked.highest_setpoint_k == asked.lowest_setpoint_k) return;
    constexpr double kRoundingF = 1e-6;
    asked.setpoint_step_k = 1.0 / 1.8;
    asked.lowest_setpoint_k = fahrenheit_to_kelvin(std::ceil(kelvin_to_fahrenheit(asked.lowest_setpoint_k) - kRoundingF));
}

}  // namespace

plan::PlanOptions planning_options(const Options& options, const bake::Booth& booth) {
    plan::PlanOptions asked;
    asked.lowest_setpoint_k = options.quantity("lowest", Dimension::temperature).value_or(asked.lowest_setpoint_k);
    asked.highest_setpoint_k = options.quantity("highest", Dimension::temperature);
    if (options.has("set-point"))
        std::tie(asked.lowest_setpoint_k, asked.highest_setpoint_k) =
            range_of(options.with_unit(options.text("set-point"), Dimension::temperature, "--set-point"), Dimension::temperature,
                     "--set-point");
    step_by_degrees(asked, options.units());
    asked.longest_hold_s = options.quantity("longest-hold", Dimension::time).value_or(asked.longest_hold_s);
    if (options.has("hold"))
        std::tie(asked.shortest_hold_s, asked.longest_hold_s) = range_of(options.text("hold"), Dimension::time, "--hold");
    asked.flash_off_s = options.quantity("flash-off", Dimension::time);
    asked.purge_s = plan::purge_time_s(booth, options.quantity("purge", Dimension::time));
    if (options.has("ramp")) {
        const auto [slowest, fastest] = range_of(options.text("ramp"), Dimension::heating_rate, "--ramp");
        asked.ramp_k_per_s = fastest;
        if (slowest < fastest) asked.slowest_ramp_k_per_s = slowest;
    }
    asked.largest_difference_k = options.quantity("largest-difference", Dimension::temperature_difference);
    asked.steps = steps_of(options.texts("step"), "--step");
    asked.second_holds = steps_of(options.texts("then"), "--then");
    asked.confidence = confidence_of(options);
    asked.objective = objective_of(options.text_or("for", "time"));
    asked.handling_k = options.quantity("handling", Dimension::temperature).value_or(asked.handling_k);
    asked.predict.start_temperature_k = options.quantity("start-temperature", Dimension::temperature).value_or(booth.ambient_k);
    return asked;
}

void describe_planning(Options& options) {
    const auto text = [](const char* name) { return po::value<std::string>()->value_name(name); };
    const auto texts = [](const char* name) { return po::value<std::vector<std::string>>()->composing()->value_name(name); };
    options.add()("shell", text("NAME"), "profile of the shell (name or file)")("booth", text("NAME"), "profile of the booth")(
        "coating", text("NAME"), "profile of the coating")(
        "for", text("AIM"), "the goal: time (default), energy or margin; the other two are shown beside it")(
        "start-temperature", text("T"), "temperature of the shell before the bake; default the booth's ambient")(
        "lowest", text("T"), "lowest set point to try; default 45 degC (common practice)")(
        "highest", text("T"), "highest set point to try; default the booth's")(
        "set-point", text("T"), "in place of these two: one set point, or a range such as \"56 to 62 degC\"")(
        "longest-hold", text("TIME"), "longest hold to try; default 4 h")("hold", text("TIME"),
                                                                          "one hold, or a range such as \"30 to 90 min\"")(
        "flash-off", text("TIME"), "flash-off before heat; default the coating's minimum, or 15 min where its profile has none")(
        "ramp", text("RATE"),
        "rise of the booth air; default 2 K/min (common practice), lowered to what booth and coating allow; a range such as \"1 "
        "to 3 "
        "K/min\" leaves it free")("step", texts("T, TIME"),
                                  "a set point held on the way up, such as \"45 degC, 20 min\"; may be repeated")(
        "then", texts("T, TIME"), "a second hold after the planned one; may be repeated")(
        "largest-difference", text("K"),
        "between zones that a bond joins, laminate on metal: it reads through at the bond line; told in any case")(
        "confidence", text("SHARE"),
        "how sure it is to be that every coated zone is cured and nothing too hot; default 95 %; none: by the middle of the "
        "model")("members", text("N"), "how many simulated bakes that is read from; default 256, 40 to 100000")(
        "keep", texts("ITEM"), "an item that stays in; the plan names the loose ones that must come out for it; may be repeated")(
        "coats", texts("LIST"),
        "in place of --coating: coatings one after the other, such as \"primer_epoxy, base_colour, clear_low_bake, "
        "clear_low_bake\"; a "
        "bake each, planned so that no coat or item runs out of allowance before the last")(
        "finish", text("BAKE"),
        "the rest of a bake of the book that was cut short: purge, then the cycle that finishes the job; shell, booth and "
        "coating are "
        "the bake's own where none are named")("waited", text("TIME"), "with --finish: since its log ended")(
        "purge", text("TIME"),
        "fresh air before the burner may light; default as the booth's profile says, else four volumes of it, the common figure")(
        "test-panel", text("ZONE"),
        "in place of a cycle for a shell: the one that gives the free test panel the dose of the shell's worst, mean or best "
        "zone in "
        "--bake")("bake", text("BAKE"),
                  "with --test-panel: number of the shell's bake; its booth and coating where none are named")(
        "handling", text("T"), "cool until every coated zone is below this; default 40 degC (common practice)")(
        "history", text("SHELL"),
        "shell of the book whose coats and bakes so far count: earlier coats must not be over-baked, "
        "items keep their limits over a lifetime")(
        "out", text("FILE"),
        "write the planned cycle as a profile; a name that ends in .html: the bake card instead, as --card; with "
        "--coats a file a bake, its number before the ending")(
        "map", "show every set point and hold, and what is in the way elsewhere, in place of one cycle")(
        "map-step", text("TIME"), "holds of the map are so far apart; default 10 min")(
        "csv", text("FILE"), "with --map: write its cells as CSV; - is standard output");
}

void describe_checklist(Options& options) {
    const auto texts = [] { return po::value<std::vector<std::string>>()->composing()->value_name("LIST"); };
    options.add()("checked", texts(),
                  "what was looked for and is out of the shell, each by its name, such as \"gas, aerosols, rags\"; what is not "
                  "answered prints NOT CHECKED")("aboard", texts(), "what is still in it: there is no plan and no card")(
        "written-limit", texts(), "batteries or struts that stay in, by their maker's written limit")(
        "gas-free", texts(),
        "tanks, where the tank is the shell itself: open, cleaned, certified gas-free by a competent person");
}

report::Checklist checklist(const Options& options) {
    report::Checklist list;
    list.answer(names_in(options.texts("checked")), report::CheckAnswer::out, "--checked");
    list.answer(names_in(options.texts("aboard")), report::CheckAnswer::aboard, "--aboard");
    list.answer(names_in(options.texts("written-limit")), report::CheckAnswer::written_limit, "--written-limit");
    list.answer(names_in(options.texts("gas-free")), report::CheckAnswer::gas_free, "--gas-free");
    return list;
}

}  // namespace bakewright::cli
