// SPDX-License-Identifier: Apache-2.0
// Logs of other people, each in tests/data/<folder> with its SOURCE.md, must be read without options. Their expected-channels.csv
// was worked out with a plain CSV reader, apart from this program.
#include <doctest/doctest.h>

#include <algorithm>
#include <map>
#include <numeric>
#include <sstream>

#include "log_text.hpp"

using namespace probe_test;

namespace {

struct ExpectedColumn {
    std::size_t index = 0;
    std::string heading;
    std::size_t rows = 0, numbers = 0;
    double first = 0, last = 0, least = 0, most = 0, mean = 0;
};

std::vector<std::string> split(const std::string& line) {
    std::vector<std::string> out;
    std::istringstream stream(line);
    for (std::string field; std::getline(stream, field, ',');) out.push_back(field);
    return out;
}

/// file -> its columns. The format is this project's own: plain commas, no quotes.
std::map<std::string, std::vector<ExpectedColumn>> expected_columns(const std::string& folder) {
    std::map<std::string, std::vector<ExpectedColumn>> out;
    std::istringstream lines(file_text(folder + "/expected-channels.csv"));
    std::string line;
    std::getline(lines, line);
    while (std::getline(lines, line)) {
        const std::vector<std::string> f = split(line);
        REQUIRE(f.size() == 12);
        out[f[0]].push_back({std::stoul(f[1]), f[2], std::stoul(f[4]), std::stoul(f[5]), std::stod(f[7]), std::stod(f[8]),
                             std::stod(f[9]), std::stod(f[10]), std::stod(f[11])});
    }
    return out;
}

/// Expected numbers are printed with nine significant digits, which is 5e-9 of the value at worst; conversion to kelvin and back
/// costs 1e-13.
bool agrees(double seen, double printed) { return std::abs(seen - printed) <= 1e-8 * std::abs(printed) + 1e-9; }

void check_values(const std::vector<double>& values, const ExpectedColumn& expected) {
    REQUIRE(values.size() == expected.numbers);
    CHECK(agrees(values.front(), expected.first));
    CHECK(agrees(values.back(), expected.last));
    CHECK(agrees(*std::min_element(values.begin(), values.end()), expected.least));
    CHECK(agrees(*std::max_element(values.begin(), values.end()), expected.most));
    CHECK(agrees(std::accumulate(values.begin(), values.end(), 0.0) / static_cast<double>(values.size()), expected.mean));
}

double seconds_of_one(TimeForm form) {
    return form == TimeForm::elapsed_milliseconds ? 1e-3 : form == TimeForm::elapsed_minutes ? 60.0 : 1.0;
}

/// The trace's numbers as they stand in the file.
std::vector<double> in_file_unit(const Trace& trace, const std::string& unit) {
    std::vector<double> out;
    for (const double value : trace.temperature_k)
        if (std::isfinite(value)) out.push_back(value);  // flagged numbers too: they keep their value
    if (unit == "°C")
        for (double& value : out) value -= bakewright::kCelsiusZeroK;
    return out;
}

std::vector<double> times_in_file_unit(const ProbeLog& log) {
    std::vector<double> out = log.traces.traces.front().time_s;
    for (double& time : out) time /= seconds_of_one(log.reading.time_form);
    return out;
}

void check_column(const ProbeLog& log, const ExpectedColumn& expected, std::size_t rows_left_out) {
    CAPTURE(expected.heading);
    REQUIRE(expected.index < log.reading.channels.size());
    const auto& channel = log.reading.channels[expected.index];
    CHECK(channel.heading == expected.heading);
    CHECK(log.reading.rows_read == expected.rows + rows_left_out);
    if (channel.quantity == Quantity::time) return check_values(times_in_file_unit(log), expected);
    CHECK(channel.numbers == expected.numbers);
    const Trace* trace = log.traces.find(channel.name);
    if (channel.quantity != Quantity::temperature) {
        CHECK(trace == nullptr);
        return;
    }
    REQUIRE(trace != nullptr);
    check_values(in_file_unit(*trace, channel.unit), expected);
}

std::size_t short_rows(const ProbeLog& log) {
    for (const auto& fault : log.reading.faults)
        if (contains(fault.message, "fewer fields")) return fault.count;
    return 0;
}

std::map<std::string, ProbeLog> check_folder(const std::string& name) {
    const std::string folder = std::string(BAKEWRIGHT_TEST_DATA) + "/" + name;
    std::map<std::string, ProbeLog> logs;
    for (const auto& [file, columns] : expected_columns(folder)) {
        CAPTURE(file);
        const ProbeLog log = read(file_text(folder + "/" + file));
        CHECK(log.reading.rows_kept == log.reading.rows_read);
        for (const ExpectedColumn& column : columns) check_column(log, column, short_rows(log));
        logs.emplace(file, log);
    }
    return logs;
}

}  // namespace

TEST_CASE("the oven logs with aluminium rods are read: minutes and degrees Celsius from the units row") {
    const auto logs = check_folder("nist-oven-rods");
    const ProbeLog& first = logs.at("Oven_Test_001_avg.csv");
    CHECK(first.traces.traces.size() == 8);
    CHECK(first.reading.time_form == TimeForm::elapsed_minutes);
    CHECK(first.reading.time_found == "units row");
    CHECK(first.reading.heading_line == 1);
    CHECK(first.reading.units_line == 2);
    CHECK(first.reading.find("4/C cable")->missing == 16);
    CHECK(first.reading.find("4/C cable")->unit == "°C");
    CHECK(first.reading.remarks.empty());
    CHECK(logs.at("Oven_Test_002_avg_cut.csv").traces.find("Air") != nullptr);
}

TEST_CASE("the five thermometers are read: dates, blanks, and rows that are a field short") {
    const auto logs = check_folder("pi-thermometers-5ch");
    const ProbeLog& boiling = logs.at("Boiling_Water_250131.csv");
    CHECK(boiling.traces.started_at == "2025-01-25T18:39:44");
    CHECK(boiling.reading.time_form == TimeForm::date_year_first);
    CHECK(short_rows(boiling) == 16);
    // Line 3 is short: which sensor is left out cannot be known, so none of its values may be believed.
    CHECK(same(boiling.traces.find("Sensor 1")->time_s[1], 9.0));
    for (const Trace& trace : boiling.traces.traces) CHECK(trace.quality[1] == SampleQuality::missing);
    CHECK(logs.at("Cups_of_Tea.csv").traces.started_at == "2025-01-24T14:18:49.325689");
    CHECK(logs.at("Cups_of_Tea.csv").traces.traces[1].name == "Sensor 5");
}

TEST_CASE("the two heaters are read: units in the headings, percentages kept out of the traces") {
    const ProbeLog log = check_folder("tclab-heaters").at("data.txt");
    CHECK(log.reading.find("Heater 1")->quantity == Quantity::other);
    CHECK(log.reading.find("Heater 1")->unit == "%");
    CHECK(log.reading.find("Temperature 1")->found == "in the name");
    CHECK(log.traces.traces.size() == 4);
}

TEST_CASE("the heated plastic plate is read: kelvin in square brackets, mass and heat release kept out") {
    const auto logs = check_folder("macfp-pmma-kelvin");
    const ProbeLog& cone = logs.at("Aalto_Cone_65kW_3.csv");
    CHECK(cone.traces.traces.size() == 2);
    CHECK(cone.reading.find("Mass")->quantity == Quantity::other);
    CHECK(cone.reading.find("HRR")->unit == "kW/m2");
    CHECK(cone.traces.traces[0].temperature_k[0] == 304.0);
}

TEST_CASE("the microcontroller log is read: prose before the headings, milliseconds with leading zeros") {
    const ProbeLog log = check_folder("leshy-sd-log").at("example-log.csv");
    CHECK(log.reading.preamble.size() == 3);
    CHECK(log.reading.heading_line == 4);
    CHECK(log.reading.time_form == TimeForm::elapsed_milliseconds);
    CHECK(same(log.traces.traces[0].time_s[8], 0.8));  // 00000800 is not octal
}

TEST_CASE("the steel plate is read: rows end early by right, constants and heat flux kept out") {
    const ProbeLog log = check_folder("steel-plate-heatflux").at("DATA.csv");
    CHECK(short_rows(log) == 0);
    REQUIRE(log.traces.traces.size() == 2);
    CHECK(log.traces.traces[0].name == "Temperature");
    CHECK(log.traces.traces[1].name == "T_amb");
    CHECK(log.reading.find("Material_rho")->quantity == Quantity::other);
    CHECK(log.reading.find("HeatFlux")->quantity == Quantity::other);
}
