// SPDX-License-Identifier: Apache-2.0
// Any text is a quantity of the dimension that its first byte chooses, or is refused with a QuantityError. A quantity that was
// read is finite, and its SI text reads back to the same number.
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <string_view>

#include "bakewright/base/error.hpp"
#include "bakewright/base/quantity.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    if (size == 0) return 0;
    constexpr unsigned kDimensions = static_cast<unsigned>(bakewright::Dimension::activation_energy) + 1;
    const auto dimension = static_cast<bakewright::Dimension>(data[0] % kDimensions);
    const auto series = data[0] >= 128 ? bakewright::GaugeSeries::steel : bakewright::GaugeSeries::none;
    const std::string_view text(reinterpret_cast<const char*>(data) + 1, size - 1);
    try {
        const double value = bakewright::parse_quantity(text, dimension, series);
        bakewright::ensure(std::isfinite(value), "a quantity is finite");
        bakewright::ensure(bakewright::parse_quantity(bakewright::si_text(value, dimension), dimension) == value,
                           "the SI text of a quantity reads back to it");
    } catch (const bakewright::QuantityError&) {
    }
    return 0;
}
