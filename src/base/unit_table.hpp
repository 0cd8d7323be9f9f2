#pragma once

#include <string_view>

namespace bakewright {

/// Exponents of the SI base units a unit is made of. Electric current and luminous intensity do not occur.
struct Powers {
    int length = 0;
    int mass = 0;
    int time = 0;
    int temperature = 0;
    int amount = 0;

    bool operator==(const Powers&) const = default;
};

[[nodiscard]] constexpr Powers added(const Powers& left, const Powers& right, int times) noexcept {
    return {left.length + times * right.length, left.mass + times * right.mass, left.time + times * right.time,
            left.temperature + times * right.temperature, left.amount + times * right.amount};
}

/// A unit's spelling and its size in SI as numerator / denominator, so that "1.2 mm" is 1.2 / 1000, correctly rounded.
struct Unit {
    std::string_view symbol;
    double numerator;
    double denominator;
    Powers powers;
    /// True where a capital means another unit (m and M, K and k).
    bool case_matters = false;
};

/// The unit with the longest spelling that the text begins with; null where there is none.
[[nodiscard]] const Unit* unit_at_start(std::string_view text) noexcept;

}  // namespace bakewright
