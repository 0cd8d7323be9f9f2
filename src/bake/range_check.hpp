#pragma once

#include <fmt/core.h>

#include <cmath>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "bakewright/bake/booth.hpp"
#include "bakewright/base/error.hpp"
#include "bakewright/base/units.hpp"

namespace bakewright::bake {

/// A unit that ranges are told in: SI = shown * si_per_unit + zero_si.
struct Unit {
    std::string_view name;
    double si_per_unit = 1.0;
    double zero_si = 0.0;

    [[nodiscard]] double si(double shown) const noexcept { return shown * si_per_unit + zero_si; }
    [[nodiscard]] std::string text(double value_si) const {
        return fmt::format("{:.6g}{}{}", (value_si - zero_si) / si_per_unit, name.empty() ? "" : " ", name);
    }
};
inline constexpr Unit kPlain{""};
inline constexpr Unit kDegC{"degC", 1.0, celsius_to_kelvin(0.0)};
inline constexpr Unit kKelvin{"K"};
inline constexpr Unit kKelvinPerMinute{"K/min", 1.0 / kSecondPerMinute};
inline constexpr Unit kMetre{"m"};
inline constexpr Unit kMillimetre{"mm", 1e-3};
inline constexpr Unit kSquareMetre{"m2"};
inline constexpr Unit kCubicMetre{"m3"};
inline constexpr Unit kCubicMetrePerSecond{"m3/s"};
inline constexpr Unit kMetrePerSecond{"m/s"};
inline constexpr Unit kSecond{"s"};
inline constexpr Unit kHour{"h", kSecondPerHour};
inline constexpr Unit kPerHour{"per h", 1.0 / kSecondPerHour};
inline constexpr Unit kKilowatt{"kW", 1e3};
inline constexpr Unit kWattPerKelvin{"W/K"};
inline constexpr Unit kJoulePerKelvin{"J/K"};
inline constexpr Unit kKilojoulePerSquareMetreKelvin{"kJ/m2K", 1e3};
inline constexpr Unit kWattPerSquareMetre{"W/m2"};
inline constexpr Unit kFilm{"W/m2K"};
inline constexpr Unit kResistance{"m2K/W"};

/// Collects what is out of range in a record. Messages give the value and what is accepted in the unit of the range, which stands
/// here once; a profile's reader says both in the unit that was written.
class RangeCheck {
public:
    void add(std::string key, std::string message, std::optional<OutOfRange> range = std::nullopt) {
        problems_.push_back({{}, 0, std::move(key), std::move(message), std::move(range)});
    }
    void require(bool holds, std::string key, double value, Unit unit, std::string_view accepted) {
        if (!holds) add(std::move(key), fmt::format("is {}, accepted is {}", unit.text(value), accepted));
    }
    /// @param low, high  in the unit
    void within(std::string key, double value, double low, double high, Unit unit) {
        // Ends are accepted as they are written: a unit's factor may not be exact.
        const auto slack = [](double end_si) { return 1e-12 * std::abs(end_si); };
        const double low_si = unit.si(low), high_si = unit.si(high);
        if (std::isfinite(value) && value >= low_si - slack(low_si) && value <= high_si + slack(high_si)) return;
        out_of_range(std::move(key), unit,
                     {.value = value,
                      .least = low_si,
                      .most = high_si,
                      .accepted = fmt::format("{:g} to {:g}{}{}", low, high, unit.name.empty() ? "" : " ", unit.name)});
    }
    void spread(std::string key, const std::optional<Spread>& spread, double largest, Unit unit) {
        if (!spread) return;
        const bool ordered = spread->low > 0.0 && spread->low <= spread->value && spread->value <= spread->high;
        if (ordered && spread->high <= unit.si(largest)) return;
        out_of_range(std::move(key), unit,
                     {.value = spread->value,
                      .least = 0.0,
                      .most = unit.si(largest),
                      .above_least = true,
                      .accepted = fmt::format("low <= value <= high, above 0 and at most {:g} {}", largest, unit.name)});
    }
    [[nodiscard]] bool found_none() const noexcept { return problems_.empty(); }
    [[nodiscard]] std::vector<Problem> take() { return std::move(problems_); }

private:
    void out_of_range(std::string key, Unit unit, OutOfRange range) {
        std::string message = fmt::format("is {}, accepted is {}", unit.text(range.value), range.accepted);
        add(std::move(key), std::move(message), std::move(range));
    }

    std::vector<Problem> problems_;
};

}  // namespace bakewright::bake
