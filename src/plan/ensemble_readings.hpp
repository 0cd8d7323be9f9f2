#pragma once

#include <cstddef>
#include <memory>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "bakewright/bake/built_network.hpp"
#include "bakewright/cure/confidence.hpp"
#include "bakewright/cure/required_time.hpp"
#include "bakewright/plan/ensemble.hpp"

namespace bakewright::plan {

/// A reading of a row: which column.
using Column = std::size_t;

/// What is read of a zone's cure and heat, as columns of an ensemble's rows.
struct ZoneColumns {
    std::string zone;
    TraceRole role = TraceRole::zone;
    bool coated = false;
    std::size_t place = 0;  ///< number of the watched place
    Column peak = 0;
    Column dose_peak = 0;  ///< of the temperature that doses are read from: the air's where the sheet means the air
    std::vector<std::pair<Column, double>> stays_s;  ///< longest stay at a row of the sheet, and its minimum
    std::vector<Column> doses, over_bake_doses;      ///< one an activation energy of the band
    bool dose_is_enough = false;                     ///< the coating tells its activation energy: see docs/judging.md

    [[nodiscard]] bool cured_by_time(std::span<const double> row) const;
    [[nodiscard]] bool cured_by_dose(std::span<const double> row) const;
    [[nodiscard]] bool cured(std::span<const double> row) const;
    [[nodiscard]] bool over_baked(std::span<const double> row) const;
    /// The chances of a member's words over the band of the activation energy, as cure::zone_certainty() weighs it.
    [[nodiscard]] cure::EnsembleMember words(std::span<const double> row, bool too_hot) const;
    /// The hold that is missing for the first row of the sheet to be met [s]; infinite where no row's temperature was reached.
    [[nodiscard]] double missing_s(std::span<const double> row) const;
};

struct ItemColumns {
    std::string item;
    std::size_t place = 0;
    Column peak = 0;
    std::vector<std::pair<Column, cure::ExposureLimit>> limits;

    [[nodiscard]] bool passed(std::size_t limit, std::span<const double> row) const;
    [[nodiscard]] bool passed_any(std::span<const double> row) const;
};

/// Places to watch and what to read there, for a shell, a coating and items.
struct EnsembleReadings {
    std::vector<thermal::WatchedPlace> watched;
    std::vector<ZoneColumns> zones;
    std::vector<ItemColumns> items;
};

/// The rates of a sheet's points as tables, one an activation energy of the coating's band; none where there are no points. An
/// integral of one is a dose.
[[nodiscard]] std::vector<std::shared_ptr<const thermal::TabulatedFunction>> dose_tables(
    const cure::Coating& coating, const std::vector<cure::SchedulePoint>& points, cure::BeyondLastPoint beyond);

[[nodiscard]] EnsembleReadings readings_for(const bake::BuiltNetwork& built, const bake::Shell& shell,
                                            const cure::Coating& coating, const std::vector<cure::HeatSensitiveItem>& items);

}  // namespace bakewright::plan
