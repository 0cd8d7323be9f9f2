// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <limits>
#include <span>
#include <vector>

#include "bakewright/base/format.hpp"
#include "bakewright/base/trace.hpp"
#include "bakewright/base/units.hpp"

namespace bakewright::probe {

/// Flags numbers that are no temperatures. Looks only at samples that are good so far; changes flags, never values.
///
/// open_circuit:  the numbers loggers write for an open thermocouple whatever came before (9999, -999.9, 32767 and their like),
/// and
///                the full-scale numbers of thermocouple types and sensors (1370, 2500, -127 and their like) where they
///                stand more than 100 K from the last good sample, or where the channel has nothing else.
/// out_of_range:  below absolute zero, or above 2320 degC, where the hottest letter-designated thermocouple (type C) ends.
/// Source of the numbers: common practice, no source.
/// Shapes: values, in the file's unit, and quality have the same length.
void flag_impossible(std::span<const double> values, TemperatureUnit unit, std::span<SampleQuality> quality);

/// The same of a channel that comes part by part, in order.
class ImpossibleNumbers {
public:
    explicit ImpossibleNumbers(TemperatureUnit unit) : unit_(unit) {}
    /// False where numbers of a part before would have been judged otherwise in the light of this one: full-scale numbers are
    /// held against the channel's first plain temperature, and only now it has come.
    [[nodiscard]] bool take(std::span<const double> values, std::span<SampleQuality> quality);

private:
    bool find_beginning(std::span<const double> values, std::span<const SampleQuality> quality);
    void flag(std::span<const double> values, std::span<SampleQuality> quality);
    bool is_plain(std::span<const double> values, std::span<const SampleQuality> quality) const;
    void note_early(std::span<const double> values, std::span<const SampleQuality> quality);

    TemperatureUnit unit_;
    bool has_begun_ = false;
    double last_k_ = std::numeric_limits<double>::quiet_NaN();
    std::vector<double> early_k_;  ///< the different full-scale numbers before the first plain temperature
};

/// One of the numbers that loggers write for an open thermocouple, full scale left aside. For volts these tell nothing by
/// themselves (3000 µV is a temperature), only where no temperature belongs to them.
[[nodiscard]] bool is_open_circuit_number(double value) noexcept;

/// A temperature of the file in kelvin.
[[nodiscard]] inline double to_kelvin(double value, TemperatureUnit unit) noexcept {
    switch (unit) {
        case TemperatureUnit::celsius:
            return celsius_to_kelvin(value);
        case TemperatureUnit::fahrenheit:
            return fahrenheit_to_kelvin(value);
        case TemperatureUnit::kelvin:
            break;
    }
    return value;
}

}  // namespace bakewright::probe
