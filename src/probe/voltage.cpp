// SPDX-License-Identifier: Apache-2.0
#include "voltage.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <span>

#include "cell.hpp"
#include "open_circuit.hpp"
#include "unit_text.hpp"

namespace bakewright::probe {
namespace {

double volts_of_one(VoltageUnit unit) { return unit == VoltageUnit::volt ? 1.0 : unit == VoltageUnit::millivolt ? 1e-3 : 1e-6; }

std::string_view symbol_of(VoltageUnit unit) {
    return unit == VoltageUnit::volt ? "V" : unit == VoltageUnit::millivolt ? "mV" : "µV";
}

void become_junction(Column& column, ThermocoupleType type) {
    column.thermocouple = type;
    column.channel.quantity = Quantity::temperature;
}

bool is_junction(const Column& column) {
    return column.thermocouple.has_value() && column.channel.quantity == Quantity::temperature;
}

/// "Cold junction", "Ref. junction", "CJ temp", "CJC": common practice, no source.
bool says_reference_junction(const std::string& name) {
    const std::vector<std::string> words = words_of(name);
    const auto has = [&](std::string_view word) { return std::find(words.begin(), words.end(), word) != words.end(); };
    const bool junction = has("junction") || has("jct") || has("jn");
    return has("cj") || has("cjc") || has("cjt") || (junction && (has("cold") || has("reference") || has("ref")));
}

void apply_units(std::vector<Column>& columns, const ReadOptions& options, ProblemList& problems) {
    for (const auto& [wanted, unit] : options.channel_voltage_units) {
        const auto index = column_of(columns, wanted, "channel unit", problems);
        if (!index) continue;
        Column& column = columns[*index];
        column.volts = volts_of_one(unit);
        column.unit.reset();
        column.channel.quantity = Quantity::voltage;
        column.channel.unit = symbol_of(unit);
        column.channel.found = "option";
    }
}

}  // namespace

void apply_thermocouples(std::vector<Column>& columns, const ReadOptions& options, ProblemList& problems) {
    apply_units(columns, options, problems);
    for (const auto& [wanted, type] : options.channel_thermocouples) {
        const auto index = column_of(columns, wanted, "thermocouple", problems);
        if (!index) continue;
        Column& column = columns[*index];
        column.asked_type = type;
        if (column.volts) {
            become_junction(column, type);
        } else if (column.channel.found != "assumed") {
            problems.add(0, "thermocouple",
                         fmt::format("column '{}' holds no volts as far as the file says; give its unit (V, mV or µV) with the "
                                     "channel unit",
                                     column.channel.heading));
        }
    }
    if (!options.thermocouple) return;
    for (Column& column : columns)
        if (column.channel.quantity == Quantity::voltage) become_junction(column, *options.thermocouple);
}

void settle_cell_voltage(Column& column, const ColumnCells& cells, const ReadOptions& options, ProblemList& problems) {
    LogChannel& channel = column.channel;
    const auto volts = probe::volts_of_one(unit_kind(cells.other_unit));
    if (channel.quantity == Quantity::temperature && channel.found == "assumed" && volts) {
        column.volts = volts;
        channel.unit = cells.other_unit;
        channel.found = "in the cells";
        channel.quantity = Quantity::voltage;
        const auto type = column.asked_type ? column.asked_type : options.thermocouple;
        if (type) become_junction(column, *type);
        if (type && cells.other_unit_changes > 0)
            problems.add(
                cells.other_unit_changes, channel.heading,
                fmt::format("the unit behind the numbers is {} in some rows and another one in this; one unit a column is read",
                            cells.other_unit));
    } else if (column.asked_type && !column.volts) {
        problems.add(
            0, "thermocouple",
            fmt::format("column '{}' has no unit of voltage; give it (V, mV or µV) with the channel unit", channel.heading));
    }
}

std::optional<std::size_t> find_reference_junction(std::vector<Column>& columns, const ReadOptions& options,
                                                   std::vector<std::string>& remarks, ProblemList& problems) {
    const bool given = options.reference_junction_k || !options.reference_junction_column.empty();
    const bool asked = options.thermocouple || !options.channel_thermocouples.empty();
    if (std::none_of(columns.begin(), columns.end(), is_junction)) {
        if (asked && options.channels.empty()) problems.add(0, "thermocouple", "no column of the file holds V, mV or µV");
        if (given && !asked)
            problems.add(0, "reference junction", "serves to turn volts into temperatures; give the thermocouple type too");
        return {};
    }
    std::optional<std::size_t> index;
    if (!options.reference_junction_column.empty()) {
        index = column_of(columns, options.reference_junction_column, "reference junction", problems);
        if (!index) return {};
    } else if (!given) {
        std::vector<std::size_t> found;
        for (std::size_t i = 0; i < columns.size(); ++i)
            if (columns[i].unit && says_reference_junction(columns[i].channel.name)) found.push_back(i);
        if (found.size() == 1) {
            index = found.front();
            remarks.push_back(fmt::format("the reference junction is taken from column '{}', as its heading says",
                                          columns[*index].channel.heading));
        } else {
            problems.add(0, "reference junction",
                         "a thermocouple's volts tell a temperature only together with the reference (cold) junction's: name its "
                         "column or give its temperature; 0 degC where the logger has put it right already");
            return {};
        }
    }
    if (index && (is_junction(columns[*index]) || columns[*index].volts))
        problems.add(0, "reference junction",
                     fmt::format("column '{}' holds volts, not temperatures", columns[*index].channel.heading));
    const std::string where =
        index ? fmt::format("'{}'", columns[*index].channel.name) : fmt::format("{:.2f} K", *options.reference_junction_k);
    for (Column& column : columns)
        if (is_junction(column))
            column.channel.conversion = fmt::format("type {}, reference junction {}", word_of(*column.thermocouple), where);
    return index;
}

void ask_about_voltages(const std::vector<Column>& columns, int heading_line, std::vector<std::string>& remarks,
                        ProblemList& problems) {
    std::string names;
    std::size_t count = 0;
    for (const Column& column : columns) {
        if (column.channel.quantity != Quantity::voltage) continue;
        if (++count <= 6) names += fmt::format("{}'{}' ({})", count > 1 ? ", " : "", column.channel.name, column.channel.unit);
    }
    if (count == 0) return;
    const bool any_temperature = std::any_of(columns.begin(), columns.end(), [](const Column& column) {
        return column.channel.quantity == Quantity::temperature && !says_reference_junction(column.channel.name);
    });
    if (count > 6) names += fmt::format(" and {} more", count - 6);
    const std::string question = fmt::format(
        "{} hold{} volts; where they are of thermocouples, say of which type (B, E, J, K, N, R, S or T) with --thermocouple, and "
        "the reference junction with --reference-junction",
        names, count > 1 ? "" : "s");
    if (!any_temperature) problems.fail(heading_line, "", "the file has no column of temperatures: " + question);
    remarks.push_back(question);
}

std::vector<double> junction_temperatures_k(const Column& column, const ColumnCells& cells, std::span<const double> time_s,
                                            const ReferenceJunction& reference, std::vector<SampleQuality>& quality) {
    std::vector<double> out(cells.value.size(), std::numeric_limits<double>::quiet_NaN());
    for (std::size_t i = 0; i < out.size(); ++i) {
        if (quality[i] != SampleQuality::good || !std::isfinite(time_s[i])) continue;
        const double reference_k = reference.at_k(time_s[i]);
        if (!std::isfinite(reference_k)) {
            quality[i] = SampleQuality::missing;
            continue;
        }
        out[i] = thermocouple_junction_k(*column.thermocouple, cells.value[i] * *column.volts, reference_k);
        if (!std::isfinite(out[i]))
            quality[i] = is_open_circuit_number(cells.value[i]) ? SampleQuality::open_circuit : SampleQuality::out_of_range;
    }
    return out;
}

}  // namespace bakewright::probe
