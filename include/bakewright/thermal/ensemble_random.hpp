#pragma once

#include <cstddef>
#include <cstdint>
#include <span>

namespace bakewright::thermal {

/// Fills a span with standard normal numbers that belong to a member: the same seed and member give the same numbers on every
/// platform, in any order of members and on any thread, and a longer span begins with the numbers of a shorter one. Two ensembles
/// with one seed therefore differ by what is compared and not by chance (common random numbers). Other distributions follow
/// through their quantile function at cumulative_normal().
/// Source: L'Ecuyer, Maximally equidistributed combined Tausworthe generators, Math. Comp. 65 (1996) 203 (Boost's taus88, seeded
/// by the standard's seed sequence); Marsaglia & Tsang's ziggurat, J. Stat. Softw. 5 (2000) 8.
void draw_normals(std::uint64_t seed, std::size_t member, std::span<double> out);

/// Share of a standard normal distribution below z, 0 to 1.
[[nodiscard]] double cumulative_normal(double z) noexcept;

}  // namespace bakewright::thermal
