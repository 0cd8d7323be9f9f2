// SPDX-License-Identifier: Apache-2.0
#include "bakewright/probe/channel_fault.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "bakewright/base/units.hpp"

namespace bakewright::probe {
namespace {

constexpr double kLeastRiseK = 20.0;
constexpr double kDeadK = 0.5;
constexpr std::size_t kFewestStuck = 20;
constexpr double kFallK = 3.0, kFallShare = 1.0 / 7.0, kColdStartK = 10.0;
constexpr double kOtherStartK = 12.0, kSameStartK = 6.0, kAboveAirK = 10.0;
constexpr double kAlikeStartK = 5.0, kBeyondK = 8.0, kBeyondShare = 0.2, kStepShare = 0.3;
constexpr double kNoisyK = 1.0, kNoisyTimes = 6.0, kLeastNoiseK = 0.05;
constexpr std::size_t kFirstSamples = 3, kFewestSamples = 10;

bool is_of_shell(TraceRole role) {
    return role == TraceRole::zone || role == TraceRole::item || role == TraceRole::cavity_air || role == TraceRole::test_panel;
}

double median_of(std::vector<double> values) {
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), middle, values.end());
    return *middle;
}

/// What a channel does, in a few numbers.
struct Course {
    const Trace* whole = nullptr;
    Trace usable;
    double start_k = 0.0, peak_k = 0.0, peak_at_s = 0.0, spread_k = 0.0, noise_k = 0.0, largest_step_k = 0.0;
};

double spread_of(std::vector<double> values) {
    std::sort(values.begin(), values.end());
    const std::size_t cut = values.size() / 20;
    return values[values.size() - 1 - cut] - values[cut];
}

/// By the median of the second differences, which a smooth course hardly moves; those of a normal have sqrt(6) times its standard
/// deviation, and the median of a normal's size is 0.6745 of it.
double noise_of(const std::vector<double>& temperature_k) {
    std::vector<double> bends;
    for (std::size_t i = 2; i < temperature_k.size(); ++i)
        bends.push_back(std::abs(temperature_k[i] - 2.0 * temperature_k[i - 1] + temperature_k[i - 2]));
    return median_of(std::move(bends)) / (0.6745 * std::sqrt(6.0));
}

std::optional<Course> course_of(const Trace& trace) {
    Course made{&trace, trace.usable_samples()};
    const std::vector<double>& values = made.usable.temperature_k;
    if (values.size() < kFewestSamples) return std::nullopt;
    made.start_k = median_of({values.begin(), values.begin() + kFirstSamples});
    const auto peak = std::max_element(values.begin(), values.end());
    made.peak_k = *peak;
    made.peak_at_s = made.usable.time_s[static_cast<std::size_t>(peak - values.begin())];
    made.spread_k = spread_of(values);
    made.noise_k = noise_of(values);
    for (std::size_t i = 1; i < values.size(); ++i)
        made.largest_step_k = std::max(made.largest_step_k, std::abs(values[i] - values[i - 1]));
    return made;
}

/// The temperature read as if its number were in the other unit.
double read_as_fahrenheit(double temperature_k) { return fahrenheit_to_kelvin(kelvin_to_celsius(temperature_k)); }
double read_as_celsius(double temperature_k) { return celsius_to_kelvin(kelvin_to_fahrenheit(temperature_k)); }

class ChannelLook {
public:
    ChannelLook(const TraceSet& traces, bool may_shine) : may_shine_(may_shine) {
        for (const Trace& trace : traces.traces) {
            if (!is_of_shell(trace.role) && trace.role != TraceRole::booth_air) continue;
            if (std::optional<Course> course = course_of(trace)) courses_.push_back(*std::move(course));
        }
    }

    [[nodiscard]] std::vector<ChannelFault> faults() const {
        std::vector<ChannelFault> found;
        if (courses_.size() < 3) return found;
        const Course* air = nullptr;
        for (const Course& course : courses_)
            if (course.whole->role == TraceRole::booth_air && course.peak_k - course.start_k >= kLeastRiseK) air = &course;
        for (std::size_t own = 0; own < courses_.size(); ++own) {
            if (courses_[own].whole->role == TraceRole::booth_air) continue;
            if (const std::optional<ChannelFault> fault = fault_of(own, air)) found.push_back(*fault);
        }
        return found;
    }

private:
    template <class Value>
    [[nodiscard]] std::vector<double> of_others(std::size_t own, Value&& value) const {
        std::vector<double> values;
        for (std::size_t i = 0; i < courses_.size(); ++i)
            if (i != own) values.push_back(value(courses_[i]));
        return values;
    }

    /// @param air  null: not logged, or it did not rise
    [[nodiscard]] std::optional<ChannelFault> fault_of(std::size_t own, const Course* air) const {
        const Course& course = courses_[own];
        const std::string& name = course.whole->name;
        if (air != nullptr && course.spread_k < kDeadK) return ChannelFault{name, FaultKind::dead, 0.0, course.spread_k};
        const double start_k = median_of(of_others(own, [](const Course& one) { return one.start_k; }));
        const std::vector<double> peaks_k = of_others(own, [](const Course& one) { return one.peak_k; });
        const double hottest_k = *std::max_element(peaks_k.begin(), peaks_k.end());
        if (air != nullptr)
            if (const auto fall_k = fall_of(course, *air, start_k)) return ChannelFault{name, FaultKind::reversed, 0.0, *fall_k};
        if (is_other_unit(course, hottest_k, start_k))
            return ChannelFault{name, FaultKind::wrong_unit, 0.0, course.start_k - start_k};
        if (air != nullptr)
            if (const auto times = rise_beyond(course, hottest_k, start_k))
                return ChannelFault{name, FaultKind::wrong_type, 0.0, *times};
        const double usual_k = std::max(kLeastNoiseK, median_of(of_others(own, [](const Course& one) { return one.noise_k; })));
        if (course.noise_k > kNoisyK && course.noise_k > kNoisyTimes * usual_k)
            return ChannelFault{name, FaultKind::noisy, 0.0, course.noise_k};
        return frozen(course);
    }

    [[nodiscard]] static std::optional<double> fall_of(const Course& course, const Course& driver, double start_k) {
        if (std::abs(course.start_k - start_k) > kColdStartK) return std::nullopt;
        const double then_k = temperature_at_k(course.usable, driver.peak_at_s);
        const double fall_k = course.start_k - then_k, rise_k = driver.peak_k - driver.start_k;
        return fall_k > std::max(kFallK, kFallShare * rise_k) ? std::optional(fall_k) : std::nullopt;
    }
    [[nodiscard]] static bool is_other_unit(const Course& course, double hottest_k, double start_k) {
        if (std::abs(course.start_k - start_k) < kOtherStartK) return false;
        for (double (*const read)(double) : {read_as_fahrenheit, read_as_celsius})
            if (std::abs(read(course.start_k) - start_k) < kSameStartK && read(course.peak_k) < hottest_k + kAboveAirK)
                return true;
        return false;
    }
    [[nodiscard]] std::optional<double> rise_beyond(const Course& course, double hottest_k, double start_k) const {
        if (may_shine_ || std::abs(course.start_k - start_k) > kAlikeStartK) return std::nullopt;
        const double rise_k = hottest_k - start_k;
        const double beyond_k = course.peak_k - hottest_k;
        if (rise_k < kLeastRiseK || beyond_k < std::max(kBeyondK, kBeyondShare * rise_k)) return std::nullopt;
        if (course.largest_step_k > kStepShare * beyond_k) return std::nullopt;  // it got there at once: a jump
        return (course.peak_k - start_k) / rise_k;
    }
    [[nodiscard]] static std::optional<ChannelFault> frozen(const Course& course) {
        const Trace& trace = *course.whole;
        const auto count = static_cast<std::size_t>(std::count(trace.quality.begin(), trace.quality.end(), SampleQuality::stuck));
        if (count < kFewestStuck) return std::nullopt;
        const auto first = std::find(trace.quality.begin(), trace.quality.end(), SampleQuality::stuck) - trace.quality.begin();
        return ChannelFault{trace.name, FaultKind::frozen, trace.time_s[static_cast<std::size_t>(first)], 0.0};
    }

    bool may_shine_;
    std::vector<Course> courses_;
};

}  // namespace

std::vector<ChannelFault> channel_faults(const TraceSet& traces, bool may_shine) {
    return ChannelLook(traces, may_shine).faults();
}

}  // namespace bakewright::probe
