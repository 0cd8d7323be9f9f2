#pragma once

#include <fmt/core.h>

#include <cmath>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "bakewright/bake/booth.hpp"
#include "bakewright/base/error.hpp"

namespace bakewright::bake {

/// Collects what is out of range in a record. Messages give the value in SI and what is accepted; a profile's reader says both in
/// the unit that was written.
class RangeCheck {
public:
    void add(std::string key, std::string message, std::optional<OutOfRange> range = std::nullopt) {
        problems_.push_back({{}, 0, std::move(key), std::move(message), std::move(range)});
    }
    void require(bool holds, std::string key, double value, std::string_view accepted) {
        if (!holds) add(std::move(key), sentence(value, accepted));
    }
    void positive(std::string key, double value, std::string_view accepted) {
        require_range(std::isfinite(value) && value > 0.0, std::move(key),
                      {.value = value, .least = 0.0, .above_least = true, .accepted = std::string(accepted)});
    }
    void not_negative(std::string key, double value, std::string_view accepted) {
        require_range(std::isfinite(value) && value >= 0.0, std::move(key),
                      {.value = value, .least = 0.0, .accepted = std::string(accepted)});
    }
    void within(std::string key, double value, double low, double high, std::string_view accepted) {
        require_range(std::isfinite(value) && value >= low && value <= high, std::move(key),
                      {.value = value, .least = low, .most = high, .accepted = std::string(accepted)});
    }
    void spread(std::string key, const std::optional<Spread>& spread, double largest, std::string_view accepted) {
        if (!spread) return;
        const bool ordered = spread->low > 0.0 && spread->low <= spread->value && spread->value <= spread->high;
        require_range(
            ordered && spread->high <= largest, std::move(key),
            {.value = spread->value, .least = 0.0, .most = largest, .above_least = true, .accepted = std::string(accepted)});
    }
    [[nodiscard]] std::vector<Problem> take() { return std::move(problems_); }

private:
    static std::string sentence(double value, std::string_view accepted) {
        return fmt::format("is {:g} in SI units, accepted is {}", value, accepted);
    }
    void require_range(bool holds, std::string key, OutOfRange range) {
        if (holds) return;
        std::string message = sentence(range.value, range.accepted);
        add(std::move(key), std::move(message), std::move(range));
    }

    std::vector<Problem> problems_;
};

}  // namespace bakewright::bake
