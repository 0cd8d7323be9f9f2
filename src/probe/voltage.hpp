// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "bakewright/base/trace.hpp"
#include "columns.hpp"
#include "table.hpp"

/// Columns that hold the raw voltage of thermocouples.
namespace bakewright::probe {

/// Temperature of the reference junction over time.
class ReferenceJunction {
public:
    ReferenceJunction() = default;
    explicit ReferenceJunction(double temperature_k) : temperature_k_(temperature_k) {}
    explicit ReferenceJunction(Trace trace) : trace_(std::move(trace)) {}
    /// NaN where it was not measured.
    [[nodiscard]] double at_k(double time_s) const { return trace_ ? temperature_at_k(*trace_, time_s) : temperature_k_.value(); }

private:
    std::optional<double> temperature_k_;
    std::optional<Trace> trace_;
};

/// Gives columns the voltage units and thermocouple types the user named; those with a type are temperatures from here on.
void apply_thermocouples(std::vector<Column>& columns, const ReadOptions& options, ProblemList& problems);

/// The same for columns whose cells carry the unit ("2.43 mV"), once they are read.
void settle_cell_voltage(Column& column, const ColumnCells& cells, const ReadOptions& options, ProblemList& problems);

/// Column of the reference junction: the option's, else the only one whose heading says so. Nothing where no column needs one, or
/// where its temperature was given. Names the conversion in the columns that need it; adds a problem where there is no junction.
[[nodiscard]] std::optional<std::size_t> find_reference_junction(std::vector<Column>& columns, const ReadOptions& options,
                                                                 std::vector<std::string>& remarks, ProblemList& problems);

/// Says which columns hold volts and would be temperatures if the user named a type. Nothing is guessed.
/// @throws InputError where the file holds no temperatures but those of a reference junction
void ask_about_voltages(const std::vector<Column>& columns, int heading_line, std::vector<std::string>& remarks,
                        ProblemList& problems);

/// Temperatures from the volts of a column; completes the flags. A number no junction of the type can give is out of range, or an
/// open circuit where it is one of the numbers that loggers write for one; a sample without a reference temperature is missing.
/// Shapes: the result and the flags have the length of the cells; time_s has one entry a cell.
[[nodiscard]] std::vector<double> junction_temperatures_k(const Column& column, const ColumnCells& cells,
                                                          std::span<const double> time_s, const ReferenceJunction& reference,
                                                          std::vector<SampleQuality>& quality);

}  // namespace bakewright::probe
