// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cmath>
#include <fstream>
#include <iterator>
#include <string>
#include <string_view>

#include "bakewright/base/error.hpp"
#include "bakewright/base/units.hpp"
#include "bakewright/probe/read_log.hpp"

namespace probe_test {

using bakewright::InputError;
using bakewright::SampleQuality;
using bakewright::TemperatureUnit;
using bakewright::Trace;
using bakewright::probe::ProbeLog;
using bakewright::probe::Quantity;
using bakewright::probe::ReadOptions;
using bakewright::probe::TimeForm;

/// With nothing said of units: where the text says none either, it is asked for.
inline ProbeLog read_as_it_is(std::string_view text, const ReadOptions& options = {}) {
    ProbeLog log = bakewright::probe::read_log(text, "bake.csv", options);
    log.traces.ensure_well_formed();
    return log;
}

/// What a text says no unit of is degC, as a user would say it who knows: most tests are about something else.
inline ProbeLog read(std::string_view text, ReadOptions options = {}) {
    if (!options.temperature_unit) options.temperature_unit = TemperatureUnit::celsius;
    return read_as_it_is(text, options);
}

/// Every problem that reading has, one a line; empty where it has none.
template <typename Reading>
std::string problems_in_reading(const Reading& reading) {
    try {
        static_cast<void>(reading());
    } catch (const InputError& error) {
        std::string out;
        for (const bakewright::Problem& problem : error.problems()) out += problem.text() + "\n";
        return out;
    }
    return {};
}
inline std::string problems_of(std::string_view text, const ReadOptions& options = {}) {
    return problems_in_reading([&] { return read(text, options); });
}
inline std::string problems_as_it_is(std::string_view text, const ReadOptions& options = {}) {
    return problems_in_reading([&] { return read_as_it_is(text, options); });
}

inline bool contains(std::string_view text, std::string_view part) { return text.find(part) != std::string_view::npos; }

/// A sample in degrees Celsius.
inline double at_c(const ProbeLog& log, std::string_view name, std::size_t index) {
    const Trace* trace = log.traces.find(name);
    return trace == nullptr ? -1e9 : trace->temperature_k.at(index) - bakewright::kCelsiusZeroK;
}

/// Numbers pass through one conversion of unit: rounding near 600 K is 1e-13.
inline bool same(double a, double b) { return std::abs(a - b) <= 1e-9; }

inline std::string file_text(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
}

}  // namespace probe_test
