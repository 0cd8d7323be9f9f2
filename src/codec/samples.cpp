#include "bakewright/codec/samples.hpp"

#include <cmath>
#include <limits>

namespace bakewright::codec {

bool Samples::are_all_usable() const noexcept {
    // Counted without branches, so that it goes by several at a time.
    std::size_t others = 0;
    for (const SampleQuality flag : quality) others += flag == SampleQuality::good ? 0 : 1;
    for (const double value_k : temperature_k) others += std::abs(value_k) <= std::numeric_limits<double>::max() ? 0 : 1;
    return others == 0;
}

}  // namespace bakewright::codec
