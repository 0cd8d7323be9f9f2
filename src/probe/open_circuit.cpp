// SPDX-License-Identifier: Apache-2.0
#include "open_circuit.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "bakewright/base/units.hpp"

namespace bakewright::probe {
namespace {

constexpr std::array kSentinels = {9999.0, 9999.9,  99999.0, 99999.9,  999999.0, -9999.0, -9999.9, -99999.0, -999.0,
                                   -999.9, -999.99, 32767.0, -32768.0, 3276.7,   -3276.8, 65535.0, 6553.5,   7999.0,
                                   -888.8, 8888.0,  8888.8,  1e6,      -1e6,     3000.0,  -3000.0, -32767.0};
// Ends of type K, J, T, R, S, B ranges, in degC and degF, and what digital sensors give when they are not there.
constexpr std::array kFullScales = {999.0,  999.9, 1300.0, 1370.0, 1372.0, 1768.0, 1820.0, 2498.0, 2500.0,
                                    2501.6, -99.9, -127.0, -196.6, -200.0, -210.0, -270.0, -328.0, 1200.0};
constexpr double kFullScaleJumpK = 100.0;
constexpr double kHottestK = 2320.0 + kCelsiusZeroK;

template <std::size_t N>
bool is_one_of(double value, const std::array<double, N>& list) {
    return std::any_of(list.begin(), list.end(),
                       [value](double known) { return std::abs(value - known) <= 1e-9 * std::abs(known); });
}

// What every number of a list is at least, so that most temperatures need not be looked up.
constexpr double kLeastSentinel = 888.0, kLeastFullScale = 99.0;  // of their amounts; full scales below 999 are all negative

bool is_sentinel(double value) { return std::abs(value) >= kLeastSentinel && is_one_of(value, kSentinels); }
bool is_full_scale(double value) { return std::abs(value) >= kLeastFullScale && is_one_of(value, kFullScales); }

/// What a number is by itself.
SampleQuality quality_alone(double value, double temperature_k) {
    const bool possible = temperature_k >= 0.0 && temperature_k <= kHottestK;
    if (is_sentinel(value) || (!possible && is_full_scale(value))) return SampleQuality::open_circuit;
    return possible ? SampleQuality::good : SampleQuality::out_of_range;
}

}  // namespace

bool is_open_circuit_number(double value) noexcept { return is_sentinel(value); }

bool ImpossibleNumbers::take(std::span<const double> values, std::span<SampleQuality> quality) {
    if (values.empty()) return true;
    if (!has_begun_) {
        has_begun_ = find_beginning(values, quality);
        if (!has_begun_) note_early(values, quality);
        const auto is_near = [this](double early_k) { return std::abs(early_k - last_k_) <= kFullScaleJumpK; };
        if (has_begun_ && std::any_of(early_k_.begin(), early_k_.end(), is_near)) return false;
    }
    if (is_plain(values, quality))
        last_k_ = to_kelvin(values.back(), unit_);
    else
        flag(values, quality);
    return true;
}

/// Numbers of which none needs a second look: most pages of most logs.
bool ImpossibleNumbers::is_plain(std::span<const double> values, std::span<const SampleQuality> quality) const {
    // Between these every number is a possible temperature, and none a sentinel or a full scale.
    const double least = unit_ == TemperatureUnit::kelvin ? 0.0 : 1.0 - kLeastFullScale, most = kLeastSentinel - 1.0;
    std::size_t others = 0;
    for (const double value : values) others += !(value >= least) || !(value <= most) ? 1 : 0;
    for (const SampleQuality flag : quality) others += flag != SampleQuality::good ? 1 : 0;
    return others == 0;
}

void ImpossibleNumbers::note_early(std::span<const double> values, std::span<const SampleQuality> quality) {
    for (std::size_t i = 0; i < values.size(); ++i) {
        if (quality[i] != SampleQuality::good || !is_full_scale(values[i])) continue;
        const double early_k = to_kelvin(values[i], unit_);
        if (std::find(early_k_.begin(), early_k_.end(), early_k) == early_k_.end()) early_k_.push_back(early_k);
    }
}

bool ImpossibleNumbers::find_beginning(std::span<const double> values, std::span<const SampleQuality> quality) {
    for (std::size_t i = 0; i < values.size(); ++i) {
        const double temperature_k = to_kelvin(values[i], unit_);
        if (quality[i] != SampleQuality::good || quality_alone(values[i], temperature_k) != SampleQuality::good ||
            is_full_scale(values[i]))
            continue;
        last_k_ = temperature_k;
        return true;
    }
    return false;
}

void ImpossibleNumbers::flag(std::span<const double> values, std::span<SampleQuality> quality) {
    for (std::size_t i = 0; i < values.size(); ++i) {
        if (quality[i] != SampleQuality::good) continue;
        const double temperature_k = to_kelvin(values[i], unit_);
        quality[i] = quality_alone(values[i], temperature_k);
        if (quality[i] != SampleQuality::good) continue;
        const bool is_near = std::abs(temperature_k - last_k_) <= kFullScaleJumpK;
        if (!is_near && is_full_scale(values[i]))
            quality[i] = SampleQuality::open_circuit;
        else
            last_k_ = temperature_k;
    }
}

void flag_impossible(std::span<const double> values, TemperatureUnit unit, std::span<SampleQuality> quality) {
    // The only part is not judged in the light of another.
    static_cast<void>(ImpossibleNumbers(unit).take(values, quality));
}

}  // namespace bakewright::probe
