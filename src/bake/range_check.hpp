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

/// Collects what is out of range in a record. Messages give the value in SI and what is accepted.
class RangeCheck {
public:
    void add(std::string key, std::string message) { problems_.push_back({{}, 0, std::move(key), std::move(message)}); }
    void require(bool holds, std::string key, double value, std::string_view accepted) {
        if (!holds) add(std::move(key), fmt::format("is {:g} in SI units, accepted is {}", value, accepted));
    }
    void positive(std::string key, double value, std::string_view accepted) {
        require(std::isfinite(value) && value > 0.0, std::move(key), value, accepted);
    }
    void not_negative(std::string key, double value, std::string_view accepted) {
        require(std::isfinite(value) && value >= 0.0, std::move(key), value, accepted);
    }
    void within(std::string key, double value, double low, double high, std::string_view accepted) {
        require(std::isfinite(value) && value >= low && value <= high, std::move(key), value, accepted);
    }
    void spread(std::string key, const std::optional<Spread>& spread, double largest, std::string_view accepted) {
        if (!spread) return;
        const bool ordered = spread->low > 0.0 && spread->low <= spread->value && spread->value <= spread->high;
        require(ordered && spread->high <= largest, std::move(key), spread->value, accepted);
    }
    [[nodiscard]] std::vector<Problem> take() { return std::move(problems_); }

private:
    std::vector<Problem> problems_;
};

}  // namespace bakewright::bake
