#pragma once

namespace bakewright::cure {

/// A number that depends on the activation energy: at the low end of the band, the value, and the high end.
struct Band {
    double at_low = 0.0;
    double at_value = 0.0;
    double at_high = 0.0;
    [[nodiscard]] double least() const noexcept;
    [[nodiscard]] double most() const noexcept;
};

}  // namespace bakewright::cure
