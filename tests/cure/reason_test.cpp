// SPDX-License-Identifier: Apache-2.0
#include "bakewright/cure/reason.hpp"

#include <doctest/doctest.h>

#include "bakewright/cure/judge.hpp"
#include "traces.hpp"

using namespace bakewright;
using namespace bakewright::cure;
using namespace bakewright::cure::test;

namespace {

const Units kFahrenheit{TemperatureUnit::fahrenheit, LengthUnit::inch};

bool says(const std::string& text, const std::string& words) {
    if (text.find(words) != std::string::npos) return true;
    MESSAGE(text);
    return false;
}

}  // namespace

TEST_CASE("a CHECK by chemistry says what the sheet asks and whom to ask") {
    const std::string reason = judge_zone(held(55, 36), one_row_clear()).reason;
    CHECK(says(reason, "0.0 min without a break at 60 °C or more; the sheet needs 30.0 min"));
    CHECK(says(reason, "typical chemistry says it may be cured: ask the coating's maker"));
}

TEST_CASE("an UNDER says what to do") {
    CHECK(says(judge_zone(held(60, 10), one_row_clear()).reason, "hold 20.0 min longer at this heat, in one go"));
    CHECK(says(judge_zone(held(50, 10), one_row_clear()).reason, "it needs 10.0 K more heat"));
}

TEST_CASE("a GOOD between the rows says so, a met row does not") {
    CHECK(says(judge_zone(held(69, 23), two_row_clear()).reason, "enough between the sheet's rows"));
    CHECK(judge_zone(held(61, 40), two_row_clear()).reason.find("between the sheet's rows") == std::string::npos);
}

TEST_CASE("an OVER names peak and maximum, and does not hide that the cure is open") {
    Coating coating = one_row_clear();
    coating.absolute_maximum_k = c(66);
    const std::string reason = judge_zone(trace_of({{0, 20}, {10, 70}, {20, 20}}), coating).reason;
    CHECK(says(reason, "peak of 70.0 °C after 10 min passes the sheet's absolute maximum of 66 °C"));
    CHECK(says(reason, "and it is not cured"));
}

TEST_CASE("reasons come in the user's units, and the stored one in degrees Celsius") {
    const ZoneVerdict verdict = judge_zone(held(60, 10), one_row_clear());
    CHECK(verdict.reason == reason_text(verdict, Units{}));
    CHECK(says(reason_text(verdict, kFahrenheit), "140 °F"));
    CHECK(reason_text(verdict, kFahrenheit).find("°C") == std::string::npos);
    const HeatSensitiveItem item{"screen", "screen", {{c(60), 0.0, ExposureScope::bake}}, {}};
    const ItemVerdict near = judge_item(held(58, 10), item);
    CHECK(says(reason_text(near, kFahrenheit), "peak of 136.4 °F, within 5.4 °F of 140 °F, which must not be reached"));
    HeatWarning warning{HeatWarningKind::heated_too_fast, "roof", min(12), 4.0 / 60.0, 2.0 / 60.0, {}};
    CHECK(says(reason_text(warning, kFahrenheit), "roof rose by 7.2 °F/min in the minute from 12.0 min"));
}

TEST_CASE("a verdict left open by a gap says so") {
    const ZoneVerdict open =
        judge_zone(trace_of({{0, 20}, {15, 60}, {23, 60}, {28, kMissing}, {33, 60}, {42, 60}, {57, 20}}), one_row_clear());
    CHECK(says(open.reason, "the probe gave nothing for 10 min, which may have been enough"));
}

TEST_CASE("what is not judged says why") {
    TraceSet none;
    const BakeVerdict bake = judge_bake(none, one_row_clear(), {}, {"roof"});
    CHECK(says(bake.zones[0].reason, "nothing was recorded or predicted under this name"));
    CHECK(says(judge_zone(Trace{}, one_row_clear()).reason, "fewer than two usable samples"));
}

TEST_CASE("a band prints one number where both ends print alike") {
    CHECK(band_minutes_text({min(28.0), min(33.0), min(40.0)}) == "28.0 to 40.0 min");
    CHECK(band_minutes_text({min(40.0), min(33.0), min(28.0)}) == "28.0 to 40.0 min");
    CHECK(band_minutes_text({min(30.0), min(30.0), min(30.0)}) == "30.0 min");
}

TEST_CASE("words and warnings have their names") {
    CHECK(word_text(Word::under) == "UNDER");
    CHECK(word_text(Word::not_judged) == "NOT JUDGED");
    CHECK(heat_warning_text(HeatWarningKind::heated_too_soon) == "heated too soon");
    CHECK(heat_warning_text(HeatWarningKind::heated_too_fast) == "heated too fast");
}
