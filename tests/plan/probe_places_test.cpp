// SPDX-License-Identifier: Apache-2.0
#include "bakewright/plan/probe_places.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "bakewright/base/error.hpp"
#include "bakewright/profile/read.hpp"
#include "demo_van.hpp"

using namespace bakewright;
using namespace bakewright::plan;
using plan::test::Van;

namespace {

struct Baked {
    Van van;
    bake::Cycle cycle = profile::load_cycle("clear_60", profile::Library({std::string(BAKEWRIGHT_PROFILES)})).record;
    [[nodiscard]] ProbePlaces places(const PlaceOptions& options = {}) const {
        return probe_places({van.shell.shell, van.booth, cycle, &van.coating, van.shell.item_limits}, options);
    }
};

std::vector<std::string> names_of(const std::vector<ProbePlace>& places, bool for_safety) {
    std::vector<std::string> names;
    for (const ProbePlace& place : places)
        if (place.is_for_safety() == for_safety) names.push_back(place.zone);
    return names;
}

const ProbePlace* find(const std::vector<ProbePlace>& places, const std::string& name) {
    const auto found = std::find_if(places.begin(), places.end(), [&](const ProbePlace& one) { return one.zone == name; });
    return found == places.end() ? nullptr : &*found;
}

}  // namespace

TEST_CASE("each place takes away doubt, the more the better the probe is, and together more than any one") {
    const Baked baked;
    for (const ProbeAim aim : {ProbeAim::hold, ProbeAim::cure, ProbeAim::items, ProbeAim::learning}) {
        CAPTURE(word_of(aim));
        const ProbePlaces found = baked.places({.aim = aim});
        CHECK(found.aim == aim);
        const std::vector<std::string> told = names_of(found.places, false);
        REQUIRE(told.size() == kUsualPlaces);
        double share = 0.0;
        for (const ProbePlace& place : found.places) {
            if (place.is_for_safety()) continue;
            CAPTURE(place.zone);
            CHECK(place.share > share);
            CHECK(place.aim_after < place.aim_before);
            CHECK(place.own_after_k < place.own_before_k);
            CHECK_FALSE(place.teaches.empty());
            share = place.share;
        }
        for (std::size_t i = 1; i < found.next.size(); ++i) CHECK(found.next[i].share <= found.next[i - 1].share);
        CHECK(share > found.next.front().share);
        if (aim != ProbeAim::hold) continue;
        const ProbePlaces better = baked.places({.aim = aim, .probe_standard_k = kCalibratedStandardK});
        CHECK(better.places[kUsualPlaces - 1].share > share);
    }
}

TEST_CASE("strips are places with the zone they belong to, and safety has its own: weakest item and air high and low") {
    const Baked baked;
    const ProbePlaces found = baked.places();
    const ProbePlace* strip = find(found.next, "rocker_panels over sills");
    REQUIRE(strip != nullptr);
    CHECK(strip->strip_of == "rocker_panels");
    REQUIRE(find(found.next, "rocker_panels") != nullptr);
    CHECK(find(found.next, "rocker_panels")->strip_of.empty());
    std::vector<PlaceReason> reasons;
    for (const ProbePlace& place : found.places)
        if (place.is_for_safety()) reasons.push_back(place.reason);
    CHECK(std::count(reasons.begin(), reasons.end(), PlaceReason::weakest_item) == 1);
    REQUIRE(reasons.size() >= 3);
    CHECK(reasons[reasons.size() - 2] == PlaceReason::air_high);
    CHECK(reasons.back() == PlaceReason::air_low);
    // The booth's air is logged in any case.
    CHECK(find(found.next, "booth air") == nullptr);
}

TEST_CASE("what is probed already is not named again and tells less is left to tell; other places are refused") {
    const Baked baked;
    const ProbePlaces fresh = baked.places();
    const std::string first = fresh.places.front().zone;
    const ProbePlaces after = baked.places({.probed = {first}, .most = 1});
    CHECK(find(after.next, first) == nullptr);
    CHECK(after.next.front().aim_before < fresh.next.front().aim_before);
    CHECK_THROWS_AS(static_cast<void>(baked.places({.probed = {"bonnet"}})), InputError);
    const PlaceTask without{baked.van.shell.shell, baked.van.booth, baked.cycle, nullptr, baked.van.shell.item_limits};
    CHECK_THROWS_AS(static_cast<void>(probe_places(without)), InputError);
    CHECK(probe_places(without, {.aim = ProbeAim::learning}).places.size() >= kUsualPlaces);
}

TEST_CASE("a few calibrated probes tell as much as many as they are, by the same numbers") {
    const Baked baked;
    const ProbePlaces found = baked.places({.aim = ProbeAim::learning});
    REQUIRE(found.calibration);
    CHECK(found.calibration->probes == kUsualPlaces);
    // In an experiment with fifteen zones four probes calibrated to 0.3 K left 0.66 K where eleven of 1.4 K left 0.70: at least
    // twice as many are wanted here too.
    CHECK(found.calibration->as_they_are.value_or(found.calibration->places + 1) >= 2 * kUsualPlaces);
    const double calibrated =
        baked.places({.aim = ProbeAim::learning, .probe_standard_k = kCalibratedStandardK}).places[kUsualPlaces - 1].aim_after;
    if (found.calibration->as_they_are) {
        // The many are counted one by one, behind the best few; exchanged anew they may end a hundredth beside.
        const std::size_t many = *found.calibration->as_they_are;
        CHECK(baked.places({.aim = ProbeAim::learning, .most = many}).places[many - 1].aim_after <= calibrated * 1.01);
        CHECK(baked.places({.aim = ProbeAim::learning, .most = many - 2}).places[many - 3].aim_after > calibrated);
    }
    CHECK_FALSE(baked.places({.probe_standard_k = 0.2}).calibration);
}

TEST_CASE("what is asked decides: the hold hangs on cold zones, items on themselves") {
    const Baked baked;
    const ProbePlaces of_items = baked.places({.aim = ProbeAim::items});
    const auto& limits = baked.van.shell.item_limits;
    CHECK(std::any_of(of_items.places.begin(), of_items.places.end(), [&](const ProbePlace& place) {
        return !place.is_for_safety() &&
               std::any_of(limits.begin(), limits.end(), [&](const auto& item) { return item.name == place.zone; });
    }));
    // Where no zone comes near being cured nobody knows which decides: it is answered for the whole course.
    Baked cold;
    for (bake::Stage& stage : cold.cycle.stages)
        if (stage.setpoint_k > 300.0) stage.setpoint_k = 298.15;
    CHECK(cold.places().aim == ProbeAim::learning);
}

TEST_CASE("samples that stay alike tell less than as many that know nothing of each other; perfect ones tell all of their own") {
    // For a first-order series with correlation r from sample to sample n readings of a constant are worth n (1 - r) / (1 + r)
    // (Bayley & Hammersley 1946): 60 s a sample and 300 s give a tenth. Slopes are no constant, so only bounds.
    const Baked baked;
    const auto left_k = [&](double residual_k, double time_s) {
        PlaceOptions options{
            .aim = ProbeAim::learning, .probe_standard_k = 0.001, .residual_k = residual_k, .residual_time_s = time_s, .most = 1};
        return baked.places(options).next.front().own_after_k;
    };
    const double r = std::exp(-60.0 / 300.0), fewer = std::sqrt((1.0 + r) / (1.0 - r));
    CHECK(left_k(0.5, 300.0) > 1.3 * left_k(0.5, 0.0));
    CHECK(left_k(0.5, 300.0) <= 1.1 * left_k(0.5 * fewer, 0.0));
    CHECK(left_k(0.001, 0.0) <= 0.02);
    PlaceOptions useless{.aim = ProbeAim::learning, .residual_k = 1000.0, .most = 1};
    const ProbePlace best = baked.places(useless).next.front();
    CHECK(best.own_after_k >= 0.99 * best.own_before_k);
}

TEST_CASE("it calculates with what tuning left, and says so") {
    Baked baked;
    const ProbePlaces plain = baked.places();
    CHECK(plain.residual_k == kUsualResidualK);
    CHECK(plain.residual_time_s == kUsualResidualS);
    CHECK(plain.residual_origin.find("common practice") == 0);
    baked.van.shell.shell.learned.residual_k = 2.0;
    baked.van.shell.shell.learned.residual_time_s = 900.0;
    const ProbePlaces tuned = baked.places();
    CHECK(tuned.residual_k == 2.0);
    CHECK(tuned.residual_time_s == 900.0);
    CHECK(tuned.residual_origin == "as tuning left it");
    CHECK(tuned.next.front().aim_after > plain.next.front().aim_after);
}

TEST_CASE("in a booth whose surroundings nobody measured, its walls, ceiling and floor are places for probes") {
    Baked baked;
    baked.van.booth.wall_offset_k.reset();
    const ProbePlaces found = baked.places({.aim = ProbeAim::learning});
    for (const char* name : {"booth wall", "booth ceiling", "booth floor"}) {
        CAPTURE(name);
        const ProbePlace* place = find(found.next, name);
        REQUIRE(place != nullptr);
        CHECK(place->share > 0.001);
        CHECK(place->own_after_k < 0.9 * place->own_before_k);
    }
    const ProbePlaces after = baked.places({.aim = ProbeAim::learning, .probed = {"booth wall", "booth floor"}});
    CHECK(after.next.size() + 2 == found.next.size());
}

TEST_CASE("the same places at any thread count") {
    const Baked baked;
    const ProbePlaces one = baked.places({.most = 2, .thread_count = 1}), two = baked.places({.most = 2, .thread_count = 2});
    CHECK(names_of(one.places, false) == names_of(two.places, false));
    for (std::size_t i = 0; i < one.places.size(); ++i) CHECK(one.places[i].share == two.places[i].share);
}
