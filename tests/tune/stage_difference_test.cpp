#include "bakewright/tune/stage_difference.hpp"

#include <doctest/doctest.h>

#include <cmath>

using namespace bakewright;

TEST_CASE("an error of the heating rate and one of the plateau are told apart, stage by stage") {
    // Closed form: the log lags 0.001 K/s more and more through a ramp of 1000 s, then stands 1 K under the prediction, then 2 K
    // over it while cooling. Mean of a straight line from 0 to 1 K: 0.5 K, its root mean square 1 / sqrt(3). Tolerance 1e-9,
    // rounding.
    Trace predicted{"roof", TraceRole::zone, {}, {}, {}}, logged = predicted;
    for (int i = 0; i <= 300; ++i) {
        const double time_s = 10.0 * i;
        const double off_k = time_s <= 1000.0 ? 0.001 * time_s : time_s <= 2000.0 ? 1.0 : -2.0;
        predicted.time_s.push_back(time_s);
        predicted.temperature_k.push_back(300.0 + 0.01 * time_s);
        logged.time_s.push_back(time_s);
        logged.temperature_k.push_back(predicted.temperature_k.back() - off_k);
    }
    using bake::StageKind;
    const std::vector<bake::ResolvedStage> stages{{StageKind::ramp, 0.0, 1000.0, 300.0, 310.0, 0},
                                                  {StageKind::hold, 1000.0, 2000.0, 310.0, 310.0, 1},
                                                  {StageKind::cool, 2010.0, 3000.0, 310.0, 300.0, 2},
                                                  {StageKind::purge, 3000.0, 3010.0, 300.0, 300.0, 3}};
    const auto found = tune::stage_differences({{predicted}, {}}, {{logged}, {}}, stages);
    REQUIRE(found.size() == 3);  // one sample of purge is too few
    CHECK(found[0].kind == StageKind::ramp);
    CHECK(std::abs(found[0].slope_k_per_s - 0.001) <= 1e-9);
    CHECK(std::abs(found[0].bias_k - 0.5) <= 1e-9);
    CHECK(std::abs(found[0].rms_k - 1.0 / std::sqrt(3.0)) <= 1e-9);
    CHECK(std::abs(found[1].bias_k - 1.0) <= 1e-9);
    CHECK(std::abs(found[1].slope_k_per_s) <= 1e-9);
    CHECK(std::abs(found[2].bias_k + 2.0) <= 1e-9);
}
