// SPDX-License-Identifier: Apache-2.0
// Raw thermocouple voltage. The emf are rows of the ITS-90 tables (NIST Monograph 175, 1993), printed to 1 µV; all files are
// invented.
#include <doctest/doctest.h>

#include "bakewright/probe/thermocouple.hpp"
#include "log_text.hpp"

using namespace probe_test;
using bakewright::celsius_to_kelvin;
using bakewright::probe::ThermocoupleType;
using bakewright::probe::VoltageUnit;

namespace {

// Type K: 0.798 mV at 20 °C, 1.000 mV at 25 °C, 2.436 mV at 60 °C, 2.644 mV at 65 °C, 4.096 mV at 100 °C.
// Half a microvolt of rounding in each of two printed emf is 0.025 K at 41 µV/K.
constexpr double kRoundingK = 0.025;

ReadOptions type_k(double junction_c) {
    ReadOptions options;
    options.thermocouple = ThermocoupleType::k;
    options.reference_junction_k = celsius_to_kelvin(junction_c);
    return options;
}

constexpr std::string_view kMillivolts =
    "Time (s),Roof (mV),Sill (mV),Fan (%)\n0,0.798,0.000,80\n10,2.436,4.096,80\n20,OL,2.644,80\n";

bool near_c(const ProbeLog& log, std::string_view name, std::size_t index, double expected_c) {
    return std::abs(at_c(log, name, index) - expected_c) <= kRoundingK;
}

}  // namespace

TEST_CASE("millivolts become temperatures with a type and an ice-point junction") {
    const ProbeLog log = read(kMillivolts, type_k(0.0));
    REQUIRE(log.traces.traces.size() == 2);
    CHECK(near_c(log, "Roof", 0, 20.0));
    CHECK(near_c(log, "Roof", 1, 60.0));
    CHECK(near_c(log, "Sill", 1, 100.0));
    CHECK(near_c(log, "Sill", 2, 65.0));
    CHECK(log.traces.find("Roof")->quality.at(2) == SampleQuality::open_circuit);
    CHECK(log.reading.find("Roof")->unit == "mV");
    CHECK(log.reading.find("Roof")->conversion == "type K, reference junction 273.15 K");
    CHECK(log.reading.find("Fan")->quantity == Quantity::other);
}

TEST_CASE("the emf of a warm reference junction is added, not its degrees") {
    // A junction at 25 °C leaves 2.436 - 1.000 mV of a point at 60 °C, and 4.096 - 1.000 mV of one at 100 °C.
    const ProbeLog log = read("Time (s),Roof (mV)\n0,1.436\n10,3.096\n20,0.000\n", type_k(25.0));
    CHECK(near_c(log, "Roof", 0, 60.0));
    CHECK(near_c(log, "Roof", 1, 100.0));
    CHECK(near_c(log, "Roof", 2, 25.0));
}

TEST_CASE("the reference junction may be a column, named or known by its heading, in any unit, chosen or not") {
    const std::string text = "Time (s),Roof (mV),Terminals (°F)\n0,1.436,77\n10,3.298,68\n20,3.096,\n30,3.096,77\n";
    ReadOptions options;
    options.thermocouple = ThermocoupleType::k;
    options.reference_junction_column = "Terminals";
    const ProbeLog log = read(text, options);
    CHECK(near_c(log, "Roof", 0, 60.0));
    CHECK(near_c(log, "Roof", 1, 100.0));  // 4.096 - 0.798 mV
    CHECK(log.traces.find("Roof")->quality.at(2) == SampleQuality::missing);
    CHECK(same(at_c(log, "Terminals", 0), 25.0));

    options.channels = {"Roof"};
    CHECK(near_c(read(text, options), "Roof", 0, 60.0));
    CHECK(read(text, options).traces.traces.size() == 1);

    options = {};
    options.thermocouple = ThermocoupleType::k;
    const ProbeLog by_name = read("Time (s),Roof (mV),CJC temp (°C)\n0,1.436,25\n10,3.096,25\n20,3.096,25\n", options);
    CHECK(near_c(by_name, "Roof", 1, 100.0));
    CHECK(contains(by_name.reading.remarks.at(0), "'CJC temp (°C)', as its heading says"));
}

TEST_CASE("volts, microvolts, units rows and units in the cells are read alike") {
    const std::string_view texts[] = {"Time (s),Roof (V)\n0,0.002436\n10,0.004096\n20,0.000798\n",
                                      "Time (s),Roof (µV)\n0,2436\n10,4096\n20,798\n",
                                      "Time (s),Roof [uV]\n0,2436\n10,4096\n20,798\n",
                                      "Time,Roof\ns,mV\n0,2.436\n10,4.096\n20,0.798\n",
                                      "Time (s),Roof mV\n0,2.436\n10,4.096\n20,0.798\n",
                                      "Time (s),Roof\n0,2.436 mV\n10,4.096 mV\n20,0.798 mV\n"};
    for (const std::string_view text : texts) {
        CAPTURE(text);
        const ProbeLog log = read(text, type_k(0.0));
        CHECK(near_c(log, "Roof", 0, 60.0));
        CHECK(near_c(log, "Roof", 2, 20.0));
    }
    ReadOptions options = type_k(0.0);
    options.channel_voltage_units["Roof"] = VoltageUnit::millivolt;
    CHECK(near_c(read("Time (s),Roof\n0,2.436\n10,4.096\n20,0.798\n", options), "Roof", 1, 100.0));
}

TEST_CASE("columns may have types of their own, and temperatures beside them stay as they are") {
    // Type T: 2.468 mV at 60 °C; type J: 3.116 mV at 60 °C.
    ReadOptions options = type_k(0.0);
    options.channel_thermocouples = {{"Sill", ThermocoupleType::t}, {"Cap", ThermocoupleType::j}};
    const ProbeLog log =
        read("Time (s),Roof (mV),Sill (mV),Cap (mV),Air (°C)\n0,2.436,2.468,3.116,61\n10,2.436,2.468,3.116,61\n", options);
    for (const std::string_view name : {"Roof", "Sill", "Cap"}) CHECK(near_c(log, name, 0, 60.0));
    CHECK(same(at_c(log, "Air", 1), 61.0));
    CHECK(log.reading.find("Sill")->conversion == "type T, reference junction 273.15 K");
}

TEST_CASE("a voltage without a type is asked about, never guessed") {
    const std::string problem = problems_of("Time (s),Roof (mV),Sill (mV)\n0,2.4,2.4\n10,2.5,2.5\n20,2.6,2.6\n");
    CHECK(contains(problem, "no column of temperatures: 'Roof' (mV), 'Sill' (mV) hold volts"));
    CHECK(contains(problem, "--thermocouple"));
    CHECK(contains(problems_of("Time (s),Roof (mV),CJ (°C)\n0,2.4,20\n10,2.5,20\n20,2.6,20\n"), "'Roof' (mV) holds volts"));
    const ProbeLog log = read("Time (s),Roof (mV),Air (°C),Battery (V)\n0,2.4,60,12.1\n10,2.5,60,12.1\n20,2.6,60,12.1\n");
    CHECK(log.traces.traces.size() == 1);
    CHECK(log.reading.find("Roof")->quantity == Quantity::voltage);
    CHECK(log.reading.find("Battery")->quantity == Quantity::other);
    REQUIRE(log.reading.remarks.size() == 1);
    CHECK(contains(log.reading.remarks[0], "'Roof' (mV) holds volts"));
}

TEST_CASE("a type without a reference junction is asked about") {
    ReadOptions options;
    options.thermocouple = ThermocoupleType::k;
    CHECK(contains(problems_of(kMillivolts, options), "reference junction: a thermocouple's volts tell"));
}

TEST_CASE("options for volts that do not fit the file are refused") {
    ReadOptions options = type_k(0.0);
    CHECK(contains(problems_of("Time (s),Roof (°C)\n0,20\n10,21\n20,22\n", options), "no column of the file holds V, mV or µV"));
    options = {};
    options.reference_junction_k = 300.0;
    CHECK(contains(problems_of("Time (s),Roof (°C)\n0,20\n10,21\n20,22\n", options), "give the thermocouple type too"));
    options = type_k(0.0);
    options.reference_junction_column = "Sill";
    CHECK(contains(problems_of(kMillivolts, options), "either its column or its temperature"));
    options.reference_junction_k.reset();
    CHECK(contains(problems_of(kMillivolts, options), "column 'Sill (mV)' holds volts, not temperatures"));
    options = type_k(-80.0);
    CHECK(contains(problems_of(kMillivolts, options), "-40 to 100 degC"));
    options = type_k(0.0);
    options.channel_thermocouples["Fan"] = ThermocoupleType::k;
    CHECK(contains(problems_of(kMillivolts, options), "'Fan (%)' holds no volts"));
    CHECK(contains(problems_of("Time (s),Roof\n0,2.436 mV\n10,4096 µV\n20,0.798 mV\n", type_k(0.0)),
                   "bake.csv:3: Roof: the unit behind"));
}

TEST_CASE("volts no junction can give are out of range, or open where loggers write them so") {
    // Type K ends at 54.886 mV (1372 °C) and -6.458 mV (-270 °C).
    const ProbeLog log = read("Time (s),Roof (mV)\n0,2.436\n10,60\n20,9999\n30,-7\n40,-999.9\n50,2.436\n", type_k(0.0));
    const std::vector<SampleQuality>& quality = log.traces.find("Roof")->quality;
    CHECK(quality == std::vector<SampleQuality>{SampleQuality::good, SampleQuality::out_of_range, SampleQuality::open_circuit,
                                                SampleQuality::out_of_range, SampleQuality::open_circuit, SampleQuality::good});
    // 3000 µV and 9999 µV are temperatures, though loggers also write such numbers for an open circuit.
    CHECK(read("Time (s),Roof (µV)\n0,3000\n10,9999\n20,2436\n", type_k(0.0)).traces.find("Roof")->quality.empty());
}
