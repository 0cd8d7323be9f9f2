#include "bakewright/thermal/ensemble_random.hpp"

#include <array>
#include <boost/random/normal_distribution.hpp>
#include <boost/random/seed_seq.hpp>
#include <boost/random/taus88.hpp>
#include <cmath>
#include <numbers>

namespace bakewright::thermal {

// The distributions of the standard library differ from platform to platform; Boost's do not.
void draw_normals(std::uint64_t seed, std::size_t member, std::span<double> out) {
    const std::uint64_t index = member;
    const std::array<std::uint32_t, 4> words{static_cast<std::uint32_t>(seed), static_cast<std::uint32_t>(seed >> 32U),
                                             static_cast<std::uint32_t>(index), static_cast<std::uint32_t>(index >> 32U)};
    boost::random::seed_seq sequence(words.begin(), words.end());
    boost::random::taus88 engine(sequence);
    boost::random::normal_distribution<double> normal;
    for (double& number : out) number = normal(engine);
}

double cumulative_normal(double z) noexcept { return 0.5 * std::erfc(-z / std::numbers::sqrt2); }

}  // namespace bakewright::thermal
