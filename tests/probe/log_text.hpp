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

inline ProbeLog read(std::string_view text, const ReadOptions& options = {}) {
    ProbeLog log = bakewright::probe::read_log(text, "bake.csv", options);
    log.traces.ensure_well_formed();
    return log;
}

/// Every problem a text has, one a line; empty where it is read without one.
inline std::string problems_of(std::string_view text, const ReadOptions& options = {}) {
    try {
        read(text, options);
    } catch (const InputError& error) {
        std::string out;
        for (const bakewright::Problem& problem : error.problems()) out += problem.text() + "\n";
        return out;
    }
    return {};
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
