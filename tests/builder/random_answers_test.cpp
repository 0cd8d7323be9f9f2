// SPDX-License-Identifier: Apache-2.0
#include <random>

#include "bakewright/bake/predict.hpp"
#include "bakewright/profile/check.hpp"
#include "builder_support.hpp"

using namespace bakewright;
using namespace builder_support;
using profile::Kind;

namespace {

using Random = std::mt19937_64;

double between(Random& random, double low, double high) { return std::uniform_real_distribution<double>(low, high)(random); }
const char* one_of(Random& random, std::vector<const char*> words) {
    return words[std::uniform_int_distribution<std::size_t>(0, words.size() - 1)(random)];
}
bool perhaps(Random& random) { return std::uniform_int_distribution<int>(0, 1)(random) == 1; }

std::string metres(double value) { return std::to_string(std::round(value * 100.0) / 100.0).substr(0, 5); }
std::string sizes(double l, double w, double h) { return metres(l) + " x " + metres(w) + " x " + metres(h) + " m"; }

builder::Answers shell_answers(Random& random) {
    builder::Answers answers{{"shape", one_of(random, {"box van", "bus or coach", "trailer or container", "cab alone",
                                                       "tank on a frame", "loose panels"})}};
    const std::string shape = answers["shape"];
    const bool is_cab = shape == "cab alone";
    const double h = is_cab ? between(random, 1.9, 2.4) : between(random, 2.3, 3.8);
    answers["size"] = is_cab ? sizes(between(random, 1.6, 3.4), between(random, 1.6, 2.3), h)
                             : sizes(between(random, 6.0, 14.0), between(random, 1.8, 2.6), h);
    if (perhaps(random)) answers["floor"] = metres(0.3 * h) + " m, " + metres(0.15 * h) + " m";
    const auto maybe = [&](const char* key, std::vector<const char*> words) {
        if (perhaps(random)) answers[key] = one_of(random, std::move(words));
    };
    maybe("sides", {"18 ga steel", "1.5 mm ally", "16 ga galv", "4 mm GRP", "3/16 in ply", "1 mm stainless"});
    maybe("roof", {"same", "20 ga steel", "1,2 mm ally", "3 mm fibreglass"});
    maybe("front", {"same", "GRP cap 5 mm", "16 ga steel"});
    maybe("rear", {"two doors", "1.2 mm steel"});
    maybe("cab", {"no", "two doors", "crew cab"});
    maybe("deck", {"18 mm ply", "3/4 in ply", "3 mm tread plate"});
    maybe("posts", {"40 x 40 x 3 tube every 500 mm", "50 mm square tube every 1 m", "1-1/2\" tube at 24\""});
    maybe("frame", {"none", "180 x 60 x 5 channel", "100 x 50 x 4 tube"});
    maybe("skin_fixing", {"welded", "spots", "rivets", "glued", "loose"});
    maybe("behind", {"nothing", "40 mm spray foam", "3 mm ply"});
    maybe("inside", {"nothing", "seats", "screen, battery", "shelves"});
    maybe("openings", {"masked", "shut and taped", "open"});
    maybe("bare", {"none", "rub rail 2 x 4 m x 80 mm stainless"});
    maybe("windows", {"none", "35 %", "50 %"});
    answers["gas_free"] = "yes";
    answers["panels"] =
        one_of(random, {"2 doors 1.2 x 0.9 m, 0.8 mm steel", "hood 1.5 x 1.2 m, 1 mm ally; lid 0.8 x 0.8 m, 3 mm GRP"});
    return answers;
}

builder::Answers booth_answers(Random& random) {
    const double l = between(random, 5.0, 18.0), w = between(random, 3.0, 7.0), h = between(random, 2.5, 6.0);
    builder::Answers answers{{"size", sizes(l, w, h)},
                             {"heat", std::to_string(static_cast<int>(between(random, 0.4, 1.7) * l * w * h)) + " kW"}};
    if (perhaps(random)) answers["heat"] = "15 min to 60 C";
    const auto maybe = [&](const char* key, std::vector<const char*> words) {
        if (perhaps(random)) answers[key] = one_of(random, std::move(words));
    };
    maybe("walls", {"single sheet", "insulated panel", "brick", "don't know"});
    maybe("air_path", {"ceiling to floor", "low sides", "end to end", "one spot", "mixing fans"});
    maybe("air_strength", {"hangs still", "flutters", "stands out", "don't know"});
    maybe("flame", {"grows and shrinks", "clicks on and off"});
    maybe("sensor", {"on the wall", "in the hot duct", "in the exhaust", "don't know"});
    maybe("ambient", {"5 °C", "60 F", "20 °C"});
    maybe("limits", {"80 °C", "75 °C, 90 °C", "160 F"});
    return answers;
}

builder::Answers coating_answers(Random& random) {
    builder::Answers answers{{"bakes", one_of(random, {"35 min at 60 C", "30 min at 140F; 60 min at 120F", "20-30 min at 60 C",
                                                       "2 h at 45 C; 40 min at 60 C"})}};
    const auto maybe = [&](const char* key, std::vector<const char*> words) {
        if (perhaps(random)) answers[key] = one_of(random, std::move(words));
    };
    maybe("basis", {"metal", "air", "not said"});
    maybe("flash_off", {"10 min", "5 to 15 min", "-"});
    maybe("never_above", {"75 °C", "180 F"});
    maybe("heating_rate", {"2 °C a minute", "3 K/min"});
    maybe("recoat", {"6 h to 3 days", "12 h"});
    maybe("after", {"1 h", "1 h, 2 h, 12 h", "-, -, 24 h"});
    return answers;
}

void check_good(Kind kind, const builder::Built& built, const profile::Library& library) {
    const profile::CheckReport report = profile::check_text(kind, built.text, "own.toml", library);
    for (const Problem& problem : report.problems) {
        CAPTURE(problem.message);
        CHECK(report.good());
    }
}

}  // namespace

TEST_CASE(
    "a thousand random answers make profiles that check calls good, read back to the same bits, with the area their sizes give") {
    const profile::Library library = shipped();
    Random random(21);
    for (int round = 0; round < 400; ++round) {
        const builder::Answers answers = shell_answers(random);
        CAPTURE(round);
        CAPTURE(answers.at("shape"));
        const builder::Built built = builder::build_shell("own", answers, library);
        CAPTURE(built.text);
        check_good(Kind::shell, built, library);
        CHECK(is_near(built.parts_area_m2, built.check_area_m2, 0.003));  // rounding of up to 12 areas to 0.0001 m2
        double kg = 0.0;
        for (const bake::Zone& zone : built.shell.shell.zones) kg += mass_kg(zone);
        CHECK(is_near(built.mass_kg, kg, 1e-6 * kg));
    }
    for (int round = 0; round < 300; ++round) {
        CAPTURE(round);
        check_good(Kind::booth, builder::build_booth("own", booth_answers(random)), library);
        check_good(Kind::coating, builder::build_coating("own", coating_answers(random)), library);
    }
}

TEST_CASE("what random answers make solves, and stays between the coldest start and the hottest air") {
    const profile::Library library = shipped();
    Random random(4);
    for (int round = 0; round < 12; ++round) {
        CAPTURE(round);
        const builder::Built shell = builder::build_shell("own", shell_answers(random), library);
        const bake::Booth booth = builder::build_booth("own", booth_answers(random)).booth;
        bake::Cycle cycle;
        cycle.title = "short bake";
        cycle.stages = {{.kind = bake::StageKind::ramp,
                         .setpoint_k = celsius_to_kelvin(55.0),
                         .duration_s = {},
                         .rate_k_per_s = 1.0 / 60.0,
                         .infrared = {}},
                        {.kind = bake::StageKind::hold,
                         .setpoint_k = celsius_to_kelvin(55.0),
                         .duration_s = 1800.0,
                         .rate_k_per_s = {},
                         .infrared = {}}};
        const bake::Prediction prediction = bake::predict(shell.shell.shell, booth, cycle);
        for (const Trace& trace : prediction.traces.traces)
            for (const double temperature_k : trace.temperature_k) {
                CHECK(temperature_k > 260.0);
                CHECK(temperature_k < 400.0);
            }
    }
}

TEST_CASE("a booth with nothing but air, walls and controller, all at the outside temperature, solves") {
    // What a sparse set of answers gives: no profile, no offset.
    bake::Booth booth = builder::build_booth("own", {{"size", "8 x 4 x 3 m"}, {"heat", "120 kW"}}).booth;
    booth.vertical_profile.clear();
    booth.wall_offset_k = 0.0;
    booth.ambient_k = celsius_to_kelvin(20.0);
    REQUIRE(problems_in(booth).empty());
    const bake::Shell shell =
        builder::build_shell("own", {{"shape", "one panel"}, {"panels", "600 x 500 mm"}}, shipped()).shell.shell;
    bake::Cycle cycle;
    cycle.title = "short bake";
    cycle.stages = {{.kind = bake::StageKind::hold,
                     .setpoint_k = celsius_to_kelvin(60.0),
                     .duration_s = 1800.0,
                     .rate_k_per_s = {},
                     .infrared = {}}};
    CHECK(!bake::predict(shell, booth, cycle).traces.traces.empty());
}
