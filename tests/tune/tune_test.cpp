// SPDX-License-Identifier: Apache-2.0
#include "bakewright/tune/tune.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "bakewright/bake/predict.hpp"
#include "bakewright/base/error.hpp"
#include "small_shop.hpp"

using namespace bakewright;
using bake::LearnedKind;
using test::logged;
using tune::Tunable;

namespace {

/// The small shop as it is in truth: a stronger film, and a door in the lee.
struct Truth {
    bake::Shell shell = test::small_shell();
    bake::Booth booth = test::small_booth();
    enum class Of { all, films };
    /// @param of  all: also a heavier frame, a weak link and a flatter profile than the profiles say
    explicit Truth(Of of = Of::films) {
        booth.learned.numbers = {{LearnedKind::group_film, "upright", 1.3, 0.0, {}}};
        shell.learned.numbers = {{LearnedKind::zone_film, "door", 0.85, 0.0, {}}};
        if (of == Of::films) return;
        booth.learned.numbers = {{LearnedKind::group_film, "upright", 1.3, 0.0, {}},
                                 {LearnedKind::vertical_profile, {}, 0.8, 0.0, {}}};
        shell.learned.numbers = {{LearnedKind::zone_film, "door", 0.85, 0.0, {}},
                                 {LearnedKind::thickness, "frame", 1.1, 0.0, {}},
                                 {LearnedKind::link, "lower frame", 1.5, 0.0, {}}};
    }
    [[nodiscard]] tune::TuneTask task(std::vector<tune::LoggedBake> bakes) const {
        return {test::small_shell(), test::small_booth(), std::move(bakes)};
    }
};

/// A value lies within so many of its standard errors of the truth.
void check_number(const tune::TuneResult& result, LearnedKind kind, const std::string& subject, double truth) {
    const tune::TunedNumber* found = test::number(result, kind, subject);
    REQUIRE(found != nullptr);
    CAPTURE(found->name);
    CAPTURE(found->learned.value);
    CAPTURE(found->learned.standard_error);
    CHECK(std::abs(std::log(found->learned.value / truth)) <= 3.0 * found->learned.standard_error + 0.01);
}

}  // namespace

TEST_CASE("numbers that a log was made with come back within three of their standard errors, and predict the next bake") {
    const Truth truth(Truth::Of::all);
    const tune::TuneTask task = truth.task({logged("first", truth.shell, truth.booth, {.seed = 11}),
                                            logged("second", truth.shell, truth.booth, {.seed = 12, .setpoint_k = 338.15})});
    const tune::TuneResult result = tune::tune(task);
    CHECK(result.is_complete);
    CHECK(result.converged);
    CHECK(result.suspects.empty());
    check_number(result, LearnedKind::thickness, "frame", 1.1);
    check_number(result, LearnedKind::link, "lower frame", 1.5);
    check_number(result, LearnedKind::vertical_profile, {}, 0.8);
    // The noise is 0.15 K; a bake that was not used is met to that and what the numbers leave.
    CHECK(result.noise_k <= 0.17);
    CHECK(std::abs(result.lag_one) <= 0.2);
    for (const tune::BakeError& error : result.errors) {
        CAPTURE(error.bake);
        REQUIRE(error.held_out_k.has_value());
        CHECK(error.before_k > 0.5);
        CHECK(*error.used_k <= 0.17);
        CHECK(*error.held_out_k <= 0.25);  // seen: 0.17 and 0.18 K
    }
    // The tuned records predict a third bake, hotter than both, to a fifth of what the profiles were off: seen 0.25 K of 1.65 K
    // at the worst moment of any zone. A tenth is met only where all that is not asked for is held at what is the truth here.
    const bake::Cycle cycle = test::small_cycle(348.15);
    const auto off_k = [&](const bake::Shell& shell, const bake::Booth& booth) {
        const TraceSet made = bake::predict(shell, booth, cycle).traces;
        const TraceSet is = bake::predict(truth.shell, truth.booth, cycle).traces;
        double largest = 0.0;
        for (const Trace& trace : is.traces)
            for (std::size_t i = 0; i < trace.size() && trace.role == TraceRole::zone; ++i)
                largest = std::max(largest, std::abs(made.find(trace.name)->temperature_k[i] - trace.temperature_k[i]));
        return largest;
    };
    CHECK(off_k(result.shell, result.booth) <= 0.2 * off_k(task.shell, task.booth));
}

TEST_CASE("a zone without a probe keeps its prior, and the group it belongs to is learned") {
    const Truth truth;
    tune::LoggedBake bake = logged("only", truth.shell, truth.booth, {.seed = 5});
    std::erase_if(bake.traces.traces, [](const Trace& trace) { return trace.name == "door"; });
    tune::TuneOptions options;
    options.what = {Tunable::film, Tunable::zones, Tunable::masses};
    const tune::TuneResult result = tune::tune(truth.task({bake}), options);
    CHECK(test::number(result, LearnedKind::zone_film, "door") == nullptr);
    CHECK(test::number(result, LearnedKind::thickness, "door") == nullptr);
    const tune::TunedNumber* group = test::number(result, LearnedKind::group_film, "upright");
    REQUIRE(group != nullptr);
    CHECK(group->told() > 0.5);
    CHECK(std::abs(std::log(group->learned.value / 1.3)) <= 3.0 * group->learned.standard_error);
    // One bake: the quarters of its time are held out in turn.
    REQUIRE(result.errors.size() == 1);
    CHECK(result.errors[0].held_out_k.has_value());
    CHECK(result.errors[0].held_out_parts == 4);
}

TEST_CASE("a loose probe is told and left out; a film that is off is not taken for one") {
    const Truth truth;
    tune::LoggedBake bake = logged("first", truth.shell, truth.booth, {.seed = 21});
    const Trace air = *bake.traces.first(TraceRole::booth_air);
    Trace& upper = test::channel(bake, "upper");
    for (std::size_t i = 0; i < upper.size(); ++i)  // falls off at 30 min and hangs in the air, still near the skin
        if (upper.time_s[i] >= 1800.0) upper.temperature_k[i] += 0.8 * (air.temperature_k[i] - upper.temperature_k[i]);
    // The frame lags the air so far that reading it would be seen at once.
    Trace& frame = test::channel(bake, "frame");
    for (std::size_t i = 0; i < frame.size(); ++i)
        frame.temperature_k[i] += 0.7 * (air.temperature_k[i] - frame.temperature_k[i]);
    const tune::TuneResult result = tune::tune(truth.task({bake}), {.holds_out = false});
    REQUIRE(!result.suspects.empty());
    const auto is_frame = [](const tune::ChannelFinding& one) { return one.channel == "frame"; };
    const auto found = std::find_if(result.suspects.begin(), result.suspects.end(), is_frame);
    REQUIRE(found != result.suspects.end());
    CHECK(found->fault->kind == probe::FaultKind::loose);
    CHECK(found->fault->amount >= 0.5);
    for (const tune::ChannelFinding& suspect : result.suspects) CHECK((suspect.channel == "frame" || suspect.channel == "upper"));
    // What is left is not bent by it.
    const tune::TunedNumber* group = test::number(result, LearnedKind::group_film, "upright");
    REQUIRE(group != nullptr);
    CHECK(std::abs(std::log(group->learned.value / 1.3)) <= 3.0 * group->learned.standard_error);
    // Kept, it would have been absorbed: the frame's film would run up.
    tune::TuneOptions keeps;
    keeps.keeps_suspects = true;
    keeps.holds_out = false;
    const tune::TuneResult bent = tune::tune(truth.task({bake}), keeps);
    CHECK(bent.noise_k > 2.0 * result.noise_k);
}

TEST_CASE("two channels that changed places are told, and neither is fitted") {
    const Truth truth;
    tune::LoggedBake bake = logged("first", truth.shell, truth.booth, {.seed = 31});
    std::swap(test::channel(bake, "upper").temperature_k, test::channel(bake, "frame").temperature_k);
    const tune::TuneResult result = tune::tune(truth.task({bake}), {.holds_out = false});
    REQUIRE(result.suspects.size() == 2);
    for (const tune::ChannelFinding& found : result.suspects) {
        CHECK(found.fault->kind == probe::FaultKind::exchanged);
        CHECK(((found.channel == "upper" && found.fault->with == "frame") ||
               (found.channel == "frame" && found.fault->with == "upper")));
    }
    for (const tune::TunedProbe& probe : result.probes) CHECK((probe.channel == "lower" || probe.channel == "door"));
}

TEST_CASE("a probe's lag and share of the air come back where they are told") {
    // Source: a first-order probe of 40 s behind a ramp of 2 K/min reads 1.3 K low once it has settled (any text on dynamic
    // response). A tenth more of the door's weight does much the same, so that a lag is told where weights are known.
    const Truth truth;
    tune::LoggedBake bake = logged("first", truth.shell, truth.booth, {.seed = 41, .noise_k = 0.05, .interval_s = 10.0});
    Trace& door = test::channel(bake, "door");
    const Trace plain = door;
    for (std::size_t i = 1; i < door.size(); ++i)
        door.temperature_k[i] =
            door.temperature_k[i - 1] + (plain.temperature_k[i] - door.temperature_k[i - 1]) * (1.0 - std::exp(-10.0 / 40.0));
    tune::TuneOptions options;
    options.prior.thickness = 0.01;
    options.holds_out = false;
    const tune::TuneResult result = tune::tune(truth.task({bake}), options);
    const auto found =
        std::find_if(result.probes.begin(), result.probes.end(), [](const auto& one) { return one.channel == "door"; });
    REQUIRE(found != result.probes.end());
    REQUIRE(found->lag_s.has_value());
    CHECK(std::abs(*found->lag_s - 40.0) <= 3.0 * *found->lag_standard_s);
    // Away from the prior of 15 s, and surer than its 10 s: seen 25 and 8.8 s. Not by much: a reading's error may stay alike for
    // ten minutes, and so does what a lag does to a ramp.
    CHECK(*found->lag_s > 20.0);
    CHECK(*found->lag_standard_s < 9.5);
}

TEST_CASE("a model of the wrong form is told plainly") {
    // The log's shell has a heavy part linked to the door that the profile knows nothing of.
    const Truth truth;
    bake::Shell with_part = truth.shell;
    bake::Zone part = with_part.zones[3];
    part.name = "hidden";
    part.outer.view = bake::FaceView::nothing;
    with_part.zones.push_back(part);
    with_part.links.push_back({"door", "hidden", 60.0});
    const tune::TuneTask task = truth.task(
        {logged("first", with_part, truth.booth, {.seed = 51}), logged("second", with_part, truth.booth, {.seed = 52})});
    tune::TuneOptions options;
    options.what = {Tunable::film};
    const tune::TuneResult result = tune::tune(task, options);
    CHECK(result.lag_one > 0.5);
    CHECK(result.durbin_watson < 1.0);
    const auto tells_form = [](const Phrase& warning) { return warning.text().find("form is wrong") != std::string::npos; };
    CHECK(std::any_of(result.warnings.begin(), result.warnings.end(), tells_form));
}

TEST_CASE("film by fan mode, and an offset of the air where the cycle drives the model") {
    Truth truth(Truth::Of::all);
    truth.booth.learned.numbers.push_back({LearnedKind::mode_film, "cool", 1.5, 0.0, {}});
    truth.booth.learned.numbers.push_back({LearnedKind::air_offset, {}, -2.0, 0.0, {}});
    const tune::TuneTask task = truth.task(
        {logged("first", truth.shell, truth.booth, {.seed = 61}), logged("second", truth.shell, truth.booth, {.seed = 62})});
    tune::TuneOptions options;
    options.what = {Tunable::film,     Tunable::zones, Tunable::masses, Tunable::links,
                    Tunable::vertical, Tunable::modes, Tunable::air};
    options.drives_by_cycle = true;
    options.holds_out = false;
    const tune::TuneResult result = tune::tune(task, options);
    check_number(result, LearnedKind::mode_film, "cool", 1.5);
    const tune::TunedNumber* offset = test::number(result, LearnedKind::air_offset, {});
    REQUIRE(offset != nullptr);
    CAPTURE(offset->learned.standard_error);
    CHECK(std::abs(offset->learned.value + 2.0) <= 3.0 * offset->learned.standard_error + 0.1);
}

TEST_CASE("a log without a channel of the shell's is refused with what would do") {
    const Truth truth;
    tune::LoggedBake bake = logged("first", truth.shell, truth.booth, {});
    for (Trace& trace : bake.traces.traces)
        if (trace.role == TraceRole::zone) trace.name += " probe";
    CHECK_THROWS_AS(tune::tune(truth.task({bake}), {}), InputError);
    std::erase_if(bake.traces.traces, [](const Trace& trace) { return trace.role == TraceRole::booth_air; });
    bake.cycle.reset();
    CHECK_THROWS_WITH_AS(tune::tune(truth.task({bake}), {}), doctest::Contains("nothing can drive the model"), InputError);
}
