// SPDX-License-Identifier: Apache-2.0
#include <doctest/doctest.h>

#include "bakewright/cure/judge.hpp"
#include "traces.hpp"

using namespace bakewright;
using namespace bakewright::cure;
using namespace bakewright::cure::test;

namespace {

HeatSensitiveItem item_with(std::vector<ExposureLimit> limits) { return {"screen", "driver's screen", std::move(limits), {}}; }

/// Up from 20 to 60 degC in 40 min and down again: 1 K/min.
Trace tent() { return trace_of({{0, 20}, {40, 60}, {80, 20}}, "screen", TraceRole::item); }

}  // namespace

TEST_CASE("exposure is the exact total time at or above a limit") {
    // Closed form: the tent is at or above 50 degC for 20 min.
    const ItemVerdict verdict = judge_item(tent(), item_with({{c(50), min(30), ExposureScope::bake}}), 0.0);
    CHECK(verdict.word == Word::good);
    CHECK(std::abs(verdict.limits[0].exposed_s - min(20)) <= 1e-6);
    CHECK(verdict.peak_temperature_k == c(60));
}

TEST_CASE("longer than allowed is OVER, and one limit passed of several is enough") {
    const ItemVerdict verdict =
        judge_item(tent(), item_with({{c(70), 0.0, ExposureScope::bake}, {c(50), min(19), ExposureScope::lifetime}}));
    CHECK(verdict.word == Word::over);
    CHECK(!verdict.limits[0].passed);
    CHECK(verdict.limits[1].passed);
}

TEST_CASE("a limit never to be reached is passed by a touch, and CHECK from the margin on") {
    const auto word = [](double limit_c) { return judge_item(tent(), item_with({{c(limit_c), 0.0, ExposureScope::bake}})).word; };
    CHECK(word(59.0) == Word::over);
    CHECK(word(60.0) == Word::over);
    CHECK(word(60.1) == Word::check);
    CHECK(word(63.0) == Word::check);
    CHECK(word(63.1) == Word::good);
}

TEST_CASE("a warning that is passed is told and changes no word") {
    const ExposureLimit warned{c(50.0), 0.0, ExposureScope::bake, LimitKind::warn};
    const ItemVerdict spared = judge_item(tent(), item_with({warned, {c(70.0), 0.0}}));
    CHECK(spared.word == Word::good);
    CHECK(spared.limits[0].passed);
    CHECK(judge_item(tent(), item_with({{c(61.0), 0.0, ExposureScope::bake, LimitKind::warn}, {c(70.0), 0.0}})).word ==
          Word::good);
    CHECK(judge_item(tent(), item_with({warned, {c(59.0), 0.0}})).word == Word::over);
}

TEST_CASE("a limit of a layer behind the face makes CHECK where the face passes it") {
    const auto word = [](double limit_c) {
        return judge_item(tent(), item_with({{c(limit_c), 0.0, ExposureScope::bake, LimitKind::never_inside}})).word;
    };
    CHECK(word(59.0) == Word::check);
    CHECK(word(61.0) == Word::good);  // the layer is no hotter than the face
    const ItemVerdict both =
        judge_item(tent(), item_with({{c(50.0), 0.0, ExposureScope::bake, LimitKind::never_inside}, {c(59.0), 0.0}}));
    CHECK(both.word == Word::over);
}

TEST_CASE("a part of which no limit is known is CHECK, and says of what") {
    HeatSensitiveItem part = item_with({});
    part.no_limit_known_of = {"cork board"};
    const ItemVerdict verdict = judge_item(tent(), part);
    CHECK(verdict.word == Word::check);
    CHECK(verdict.reason.find("no upper limit known for cork board") != std::string::npos);
    part.limits = {{c(59.0), 0.0}};
    CHECK(judge_item(tent(), part).word == Word::over);
    part.limits = {{c(90.0), 0.0}};
    CHECK(judge_item(tent(), part).word == Word::check);
}

TEST_CASE("a gap that may hide a warning hides no heat") {
    // The tent with 10 min missing around its top, where 60 degC may have been reached and 90 degC may not.
    const Trace gapped =
        trace_of({{0, 20}, {34, 54}, {35, kMissing}, {45, kMissing}, {46, 54}, {80, 20}}, "screen", TraceRole::item);
    const auto hides = [&](LimitKind kind) {
        return judge_item(gapped, item_with({{c(56.0), 0.0, ExposureScope::bake, kind}, {c(150.0), 0.0}})).gap_may_hide_heat;
    };
    CHECK(hides(LimitKind::never));
    CHECK_FALSE(hides(LimitKind::warn));
}

TEST_CASE("one sample alone between gaps is enough to reach a limit") {
    const Trace alone =
        trace_of({{0, 20}, {10, kMissing}, {13, 60}, {16, kMissing}, {26, 20}, {36, 20}}, "screen", TraceRole::item);
    const ItemVerdict verdict = judge_item(alone, item_with({{c(60), 0.0, ExposureScope::bake}}));
    CHECK(verdict.limits[0].exposed_s == 0.0);
    CHECK(verdict.word == Word::over);
}

TEST_CASE("a timed limit is CHECK where a hotter reading by the margin would pass it") {
    // At or above 50 degC for 20 min, at or above 47 degC for 26 min.
    const auto verdict = [](double allowed_min) {
        return judge_item(tent(), item_with({{c(50), min(allowed_min), ExposureScope::bake}}));
    };
    CHECK(verdict(19.0).word == Word::over);
    CHECK(verdict(25.0).word == Word::check);
    CHECK(std::abs(verdict(25.0).limits[0].exposed_at_margin_s - min(26)) <= 1e-6);
    CHECK(verdict(27.0).word == Word::good);
}

TEST_CASE("a gap that may hide more heat is CHECK") {
    const Trace gapped = trace_of({{0, 20}, {30, 50}, {35, kMissing}, {40, 50}, {70, 20}}, "screen", TraceRole::item);
    CHECK(judge_item(gapped, item_with({{c(57), 0.0, ExposureScope::bake}})).word == Word::check);
    CHECK(judge_item(gapped, item_with({{c(75), 0.0, ExposureScope::bake}})).word == Word::good);
}

TEST_CASE("an item without two usable samples is not judged") {
    CHECK(judge_item(trace_of({{0, 20}}), item_with({{c(50), 0.0, ExposureScope::bake}})).word == Word::not_judged);
}
