// SPDX-License-Identifier: Apache-2.0
#include <doctest/doctest.h>

#include <cmath>

#include "bakewright/base/error.hpp"
#include "bakewright/cure/confidence.hpp"
#include "bakewright/cure/history.hpp"
#include "bakewright/cure/judge.hpp"
#include "bakewright/cure/judge_history.hpp"
#include "history_shop.hpp"
#include "traces.hpp"

using namespace bakewright;
using namespace bakewright::cure;
using namespace bakewright::cure::test;

namespace {

TraceSet flat(double hold_c, double hold_min, const char* name = "roof", TraceRole role = TraceRole::zone) {
    TraceSet set;
    set.traces = {trace_of({{0, hold_c}, {hold_min, hold_c}}, name, role)};
    return set;
}

TraceUncertainty all(double standard_k) {
    return [standard_k](std::size_t, TraceSource, const std::string&) { return standard_k; };
}

Certainty certainty_of_coat(const ShellHistory& history, const TraceUncertainty& standard_k) {
    ShellVerdict verdict = judge_history(history);
    add_certainty(verdict, history, standard_k, {"test"});
    REQUIRE(verdict.coats.size() == 1);
    REQUIRE(verdict.coats[0].total.certainty);
    return *verdict.coats[0].total.certainty;
}

}  // namespace

TEST_CASE("a coat of one bake is as sure in a history as in the bake alone") {
    TraceSet set = bake_of({{"roof", 61}}, 32);
    ShellHistory history;
    history.coats = {coat("clear", told_clear(), {"roof"}, 0.0)};
    history.bakes = {logged("bake 1", 1.0, set)};
    BakeVerdict alone = judge_bake(set, told_clear(), {});
    add_certainty(alone, set, told_clear(), {1.4, "test"});
    const Certainty found = certainty_of_coat(history, all(1.4));
    CHECK(found.probabilities.good == alone.zones[0].certainty->probabilities.good);
    CHECK(found.probabilities.under == alone.zones[0].certainty->probabilities.under);
    CHECK(found.too_close == alone.zones[0].certainty->too_close);
}

TEST_CASE("of two bakes the one that cured decides, each as far off as its own probes") {
    // 40 min at 61 degC, then at 62 degC, against 30 min at 60: the first is cured unless it reads 1 K too warm with u 2 K, that
    // is 0.5 deviations, the second unless 2 K too warm with u 1 K, 2 deviations: the second decides. Tolerance: the halvings,
    // 1e-3.
    const TraceSet first = flat(61, 40), second = flat(62, 40);
    ShellHistory history;
    history.coats = {coat("clear", told_clear(), {"roof"}, 0.0)};
    history.bakes = {logged("bake 1", 1.0, first), logged("bake 2", 5.0, second)};
    const auto own = [](std::size_t bake, TraceSource, const std::string&) { return bake == 0 ? 2.0 : 1.0; };
    const double expected = conformance_probability(0.0, 1.0, std::nullopt, 2.0);
    CHECK(std::abs(certainty_of_coat(history, own).probabilities.good - expected) <= 1e-3);
}

TEST_CASE("two halves of a stay are no whole one, however sure each is") {
    const TraceSet whole = flat(62, 30), half = flat(62, 15);
    ShellHistory one, two;
    one.coats = two.coats = {coat("clear", told_clear(), {"roof"}, 0.0)};
    one.bakes = {logged("bake 1", 1.0, whole)};
    two.bakes = {logged("bake 1", 1.0, half), logged("bake 2", 3.0, half)};
    CHECK(certainty_of_coat(one, all(0.3)).probabilities.good > 0.99);
    CHECK(certainty_of_coat(two, all(0.3)).probabilities.good < 0.01);
}

TEST_CASE("a coat that was in a bake of which nothing is known is too close to call") {
    const TraceSet long_hold = flat(70, 120), elsewhere = flat(70, 120, "sill");
    ShellHistory history;
    history.coats = {coat("clear", told_clear(), {"roof"}, 0.0)};
    history.bakes = {logged("bake 1", 1.0, long_hold), logged("bake 2", 5.0, elsewhere)};
    const Certainty found = certainty_of_coat(history, all(1.0));
    CHECK(found.best == Word::good);
    CHECK(found.probability > 0.99);
    CHECK(found.too_close);
}

TEST_CASE("an item's exposure over a lifetime is as sure as all of its bakes together") {
    // 40 min in each of two bakes at 70 degC, 60 min allowed at 68 degC over a lifetime: passed unless both read 2 K too warm:
    // good below an offset of -2 K. Tolerance: the halvings, 1e-3.
    const TraceSet first = flat(70, 40, "fridge", TraceRole::item), second = flat(70, 40, "fridge", TraceRole::item);
    ShellHistory history;
    history.items = {{"fridge", "", {{c(68), min(60), ExposureScope::lifetime}}, {}}};
    history.bakes = {logged("bake 1", 1.0, first), logged("bake 2", 5.0, second)};
    for (HistoryBake& bake : history.bakes) bake.items = {"fridge"};
    ShellVerdict verdict = judge_history(history);
    add_certainty(verdict, history, all(1.5), {"test"});
    REQUIRE(verdict.items[0].total.certainty);
    const Certainty& found = *verdict.items[0].total.certainty;
    CHECK(std::abs(found.probabilities.good - conformance_probability(0.0, 1.5, std::nullopt, -2.0)) <= 1e-3);
    CHECK(found.best == Word::over);
    CHECK(verdict.uncertainty_origins == std::vector<std::string>{"test"});
}

TEST_CASE("a history that rests on a prediction asks for a probe") {
    const TraceSet predicted = flat(60.5, 31);
    ShellHistory history;
    history.coats = {coat("clear", told_clear(), {"roof"}, 0.0)};
    history.bakes = {logged("bake 1", 1.0, predicted)};
    history.bakes[0].prediction = history.bakes[0].log;
    history.bakes[0].log = nullptr;
    ShellVerdict verdict = judge_history(history);
    add_certainty(verdict, history, all(1.4), {});
    CHECK(certainty_text(verdict.coats[0].total, Units{}).find("a probe on this zone") != std::string::npos);
}
