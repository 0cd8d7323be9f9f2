// SPDX-License-Identifier: Apache-2.0
#include "bakewright/report/thin.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "bakewright/base/error.hpp"
#include "report/sample_report.hpp"

using bakewright::Trace;
using bakewright::report::thin;

namespace {

Trace four_hours() { return sample::rising_trace("roof", bakewright::TraceRole::zone, 60.0, 900.0, 1.0, 4.0 * 3600.0); }

}  // namespace

TEST_CASE("a short trace is not thinned") {
    const Trace trace = sample::rising_trace("roof", bakewright::TraceRole::zone, 60.0, 900.0);
    CHECK(thin(trace, 2000).time_s == trace.time_s);
}

TEST_CASE("a long trace keeps its ends, its one-sample peak and its one-sample dip at their own times") {
    Trace trace = four_hours();
    trace.temperature_k[5003] += 40.0;
    trace.temperature_k[9007] -= 30.0;
    const Trace thinned = thin(trace, 2000);
    thinned.ensure_well_formed();
    CHECK(thinned.size() <= 2000);
    CHECK(thinned.size() > 1500);
    CHECK(thinned.time_s.front() == trace.time_s.front());
    CHECK(thinned.time_s.back() == trace.time_s.back());
    const auto peak =
        std::max_element(thinned.temperature_k.begin(), thinned.temperature_k.end()) - thinned.temperature_k.begin();
    CHECK(thinned.time_s[static_cast<std::size_t>(peak)] == 5003.0);
    CHECK(std::count(thinned.time_s.begin(), thinned.time_s.end(), 9007.0) == 1);
}

TEST_CASE("every sample of a thinned trace is a sample of the whole one") {
    const Trace trace = four_hours();
    const Trace thinned = thin(trace, 500);
    for (std::size_t i = 0; i < thinned.size(); ++i) {
        const auto at = static_cast<std::size_t>(thinned.time_s[i]);
        REQUIRE(trace.time_s[at] == thinned.time_s[i]);
        REQUIRE(trace.temperature_k[at] == thinned.temperature_k[i]);
    }
}

TEST_CASE("a gap and a flagged sample stay to be seen") {
    Trace trace = four_hours();
    for (std::size_t i = 7000; i < 7100; ++i) trace.temperature_k[i] = std::numeric_limits<double>::quiet_NaN();
    trace.quality.assign(trace.size(), bakewright::SampleQuality::good);
    trace.quality[2000] = bakewright::SampleQuality::spike;
    const Trace thinned = thin(trace, 2000);
    thinned.ensure_well_formed();
    std::size_t unusable = 0;
    for (std::size_t i = 0; i < thinned.size(); ++i) unusable += thinned.usable(i) ? 0 : 1;
    CHECK(unusable >= 4);  // the flagged sample, and about one each 14 s of the gap of 100 s
    const auto in_gap = [](double time_s) { return time_s >= 7000.0 && time_s < 7100.0; };
    CHECK(std::any_of(thinned.time_s.begin(), thinned.time_s.end(), in_gap));
    CHECK(std::count(thinned.time_s.begin(), thinned.time_s.end(), 2000.0) == 1);
}

TEST_CASE("fewer than four points are refused") { CHECK_THROWS_AS((void)thin(four_hours(), 3), bakewright::PromiseError); }
