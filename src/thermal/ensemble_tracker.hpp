// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <cstring>
#include <span>
#include <vector>

#include "bakewright/thermal/ensemble_options.hpp"
#include "ensemble_task.hpp"
#include "steppers/lanes.hpp"

namespace bakewright::thermal {

/// The readings of one watched place, gathered moment by moment. Real is double, or a pack whose lanes are members.
template <class Real>
class Tracker {
    using Scalar = lane_scalar_t<Real>;
    static constexpr std::size_t kWidth = lane_count_v<Real>;

public:
    /// @param tables  of the readings' functions, one a reading; nullptr where it has none
    Tracker(std::span<const Reading> readings, std::span<const FunctionTable* const> tables) {
        for (std::size_t r = 0; r < readings.size(); ++r) places_.push_back(place_for(readings[r], tables[r]));
    }

    /// At the first moment.
    void start(const Real& temperature_k) {
        last_k_ = highest_k_ = temperature_k;
        fastest_k_per_s_ = Real{} - 1e30;
        for (Stay& stay : stays_) stay.run_s = stay.total_s = stay.longest_s = Real{};
        for (Integral& integral : integrals_) {
            look_up(*integral.function, temperature_k, integral.last);
            integral.sum = Real{};
        }
    }

    /// At the moments that follow. Reading by reading, so that what a reading gathers stays in registers. What it gathers here is
    /// added up by itself before it is added to what was: so a stretch that lies on one side of a threshold is one addition, to
    /// the same number to the bit, and single precision is enough.
    void add(std::span<const Real> temperature_k, const Moment* moments) {
        const Range range = range_of(temperature_k);
        if (wants_rate_) add_fastest(temperature_k, moments);
        for (Stay& stay : stays_) add_stay(stay, range, temperature_k, moments);
        for (Integral& integral : integrals_) add_integral(integral, temperature_k, moments);
        highest_k_ = max(highest_k_, range.high_k);
        last_k_ = temperature_k.back();
    }

    /// Of a reading by its number. @param lane  which member
    [[nodiscard]] double result(std::size_t reading, std::size_t lane_index) const {
        return static_cast<double>(lane(value_of(places_[reading]), lane_index));
    }
    [[nodiscard]] std::size_t reading_count() const noexcept { return places_.size(); }

private:
    struct ReadingPlace {
        Reading::Kind kind;
        std::size_t index;  ///< in stays_ or integrals_
    };
    struct Stay {
        Scalar threshold_k;
        Real run_s, total_s, longest_s;
    };
    struct Integral {
        const FunctionTable* function;
        Real last, sum;
    };

    [[nodiscard]] ReadingPlace place_for(const Reading& reading, const FunctionTable* function) {
        using Kind = Reading::Kind;
        if (reading.kind == Kind::integral) {
            integrals_.push_back({function, Real{}, Real{}});
            return {reading.kind, integrals_.size() - 1};
        }
        wants_rate_ = wants_rate_ || reading.kind == Kind::largest_heating_rate;
        if (reading.kind != Kind::total_time_at_or_above && reading.kind != Kind::longest_time_at_or_above)
            return {reading.kind, 0};
        const auto threshold_k = static_cast<Scalar>(reading.threshold_k);
        for (std::size_t i = 0; i < stays_.size(); ++i)
            if (stays_[i].threshold_k == threshold_k) return {reading.kind, i};
        stays_.push_back({threshold_k, Real{}, Real{}, Real{}});
        return {reading.kind, stays_.size() - 1};
    }

    /// Lowest and highest of a stretch, the last moment before it included.
    struct Range {
        Real low_k, high_k;
    };
    [[nodiscard]] Range range_of(std::span<const Real> temperature_k) const {
        Range range{last_k_, last_k_};
        for (const Real& now_k : temperature_k) {
            range.low_k = min(range.low_k, now_k);
            range.high_k = max(range.high_k, now_k);
        }
        return range;
    }

    void add_fastest(std::span<const Real> temperature_k, const Moment* moments) {
        Real before_k = last_k_, fastest_k_per_s = fastest_k_per_s_;
        for (const Real& now_k : temperature_k) {
            fastest_k_per_s = max(fastest_k_per_s, Real((now_k - before_k) * static_cast<Scalar>(moments++->per_s)));
            before_k = now_k;
        }
        fastest_k_per_s_ = fastest_k_per_s;
    }

    void add_stay(Stay& stay, const Range& range, std::span<const Real> temperature_k, const Moment* moments) const {
        const Real threshold_k = Real(stay.threshold_k);
        if (!any(range.high_k >= threshold_k)) {
            stay.run_s = Real{};
        } else if (all(range.low_k >= threshold_k)) {
            Scalar whole_s{};
            for (std::size_t i = 0; i < temperature_k.size(); ++i) whole_s += static_cast<Scalar>(moments[i].since_last_s);
            stay.total_s += whole_s;
            stay.run_s += whole_s;
            stay.longest_s = max(stay.longest_s, stay.run_s);
        } else {
            add_crossing_stay(stay, temperature_k, moments);
        }
    }
    /// The stay at hand is what came into the stretch, while it lasts, and what came in it.
    void add_crossing_stay(Stay& in_out, std::span<const Real> temperature_k, const Moment* moments) const {
        Stay stay = in_out;
        const Real threshold_k = Real(stay.threshold_k);
        Real before_k = last_k_, sum_s{}, run_s{};
        for (const Real& now_k : temperature_k) {
            const Real above_s = time_above_s(threshold_k, before_k, now_k, Real(static_cast<Scalar>(moments++->since_last_s)));
            const auto goes_on = before_k >= threshold_k;
            sum_s += above_s;
            run_s = select(goes_on, run_s, Real{}) + above_s;
            stay.run_s = select(goes_on, stay.run_s, Real{});
            stay.longest_s = max(stay.longest_s, Real(stay.run_s + run_s));
            before_k = now_k;
        }
        stay.total_s += sum_s;
        stay.run_s += run_s;
        in_out = stay;
    }
    [[gnu::always_inline]] static Real time_above_s(const Real& threshold_k, const Real& before_k, const Real& now_k,
                                                    const Real& span_s) {
        const Real low_k = min(before_k, now_k);
        const Real high_k = max(before_k, now_k);
        const auto is_above = low_k >= threshold_k;
        const Real whole_s = select(is_above, span_s, Real{});
        // A lane crosses the threshold in few intervals: then alone is a division due. What it gives the other lanes is what they
        // have already, so that no lane depends on another.
        if (!any_differs(is_above, high_k >= threshold_k)) return whole_s;
        // The least number keeps a level stretch from dividing by zero.
        const Real part_s = (high_k - threshold_k) * span_s / max(Real(high_k - low_k), Real(Scalar(1e-30)));
        return select(is_above, span_s, Real(min(span_s, Real(max(Real{}, part_s)))));
    }

    static void add_integral(Integral& in_out, std::span<const Real> temperature_k, const Moment* moments) {
        Real before = in_out.last, sum{};
        for (const Real& now_k : temperature_k) {
            Real now;
            look_up(*in_out.function, now_k, now);
            sum += (before + now) * static_cast<Scalar>(0.5 * moments++->since_last_s);
            before = now;
        }
        in_out.last = before;
        in_out.sum += sum;
    }

    [[nodiscard]] static bool any_differs(bool one, bool other) { return one != other; }
    template <class Mask>
    [[nodiscard]] static bool any_differs(const Mask& one, const Mask& other) {
        return std::memcmp(&one, &other, sizeof(Mask)) != 0;
    }
    [[nodiscard]] static bool any(bool mask) { return mask; }
    [[nodiscard]] static bool all(bool mask) { return mask; }
    template <class Mask>
    [[nodiscard]] static bool any(const Mask& mask) {
        return any_differs(mask, Mask{});
    }
    template <class Mask>
    [[nodiscard]] static bool all(const Mask& mask) {
        return !any_differs(mask, Real{} == Real{});
    }

    [[nodiscard]] const Real& value_of(const ReadingPlace& place) const {
        switch (place.kind) {
            case Reading::Kind::total_time_at_or_above:
                return stays_[place.index].total_s;
            case Reading::Kind::longest_time_at_or_above:
                return stays_[place.index].longest_s;
            case Reading::Kind::integral:
                return integrals_[place.index].sum;
            case Reading::Kind::largest_heating_rate:
                return fastest_k_per_s_;
            case Reading::Kind::highest_temperature:
                break;
        }
        return highest_k_;
    }

    Real last_k_{}, highest_k_{}, fastest_k_per_s_{};
    std::vector<Stay> stays_;
    std::vector<Integral> integrals_;
    std::vector<ReadingPlace> places_;
    bool wants_rate_ = false;
};

}  // namespace bakewright::thermal
