// SPDX-License-Identifier: Apache-2.0
#pragma once

/// Conversions between SI and the units people write. The only place where such factors stand.
/// Everything inside the program is SI; these are called at the edges alone.
/// Source of the factors: NIST SP 811 (2008), appendix B.8 (exact definitions of inch, pound, degree Fahrenheit, BTU_IT).
namespace bakewright {

inline constexpr double kCelsiusZeroK = 273.15;
inline constexpr double kMetrePerInch = 0.0254;
inline constexpr double kKilogramPerPound = 0.45359237;
inline constexpr double kSecondPerMinute = 60.0;
inline constexpr double kSecondPerHour = 3600.0;
/// Stefan-Boltzmann constant [W/(m2 K4)]. Source: CODATA 2018 and 2022.
inline constexpr double kStefanBoltzmann = 5.670374419e-8;
/// Molar gas constant [J/(mol K)]. Source: CODATA 2018 and 2022 (exact by definition of the SI).
inline constexpr double kGasConstant = 8.31446261815324;
/// Standard acceleration of free fall [m/s2]. Source: CGPM 1901 (exact).
inline constexpr double kGravity = 9.80665;

[[nodiscard]] constexpr double celsius_to_kelvin(double temperature_c) noexcept { return temperature_c + kCelsiusZeroK; }
[[nodiscard]] constexpr double kelvin_to_celsius(double temperature_k) noexcept { return temperature_k - kCelsiusZeroK; }
[[nodiscard]] constexpr double fahrenheit_to_kelvin(double temperature_f) noexcept {
    return (temperature_f - 32.0) / 1.8 + kCelsiusZeroK;
}
[[nodiscard]] constexpr double kelvin_to_fahrenheit(double temperature_k) noexcept {
    return (temperature_k - kCelsiusZeroK) * 1.8 + 32.0;
}
[[nodiscard]] constexpr double minutes_to_seconds(double time_min) noexcept { return time_min * kSecondPerMinute; }
[[nodiscard]] constexpr double seconds_to_minutes(double time_s) noexcept { return time_s / kSecondPerMinute; }

}  // namespace bakewright
