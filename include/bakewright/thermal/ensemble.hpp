// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <span>
#include <vector>

#include "bakewright/thermal/ensemble_options.hpp"
#include "bakewright/thermal/network.hpp"

namespace bakewright::thermal {

/// Solves members of a network side by side, and keeps readings and quantiles in place of traces.
///
/// Every member is stepped as the unperturbed one was (a plan). One whose own error estimate passes twice what is allowed goes
/// again with shorter steps (those of a member that does not start at rest), then with those halved, then by itself with steps of
/// its own. So a member's numbers depend on that member alone: rows and quantiles are the same to the bit for any thread count,
/// company, pack width and instruction set. In networks with heaters every member reaches limits and
/// switches at moments of its own: they are solved member by member, as by solve().
/// @throws SolveError "member 17: ...", of the failing member with the lowest index; what the generator throws, as it is
/// Promise: options and readings in range; segments follow each other without a gap; at least one watched place.
[[nodiscard]] EnsembleResult solve_ensemble(const Network& network, std::span<const Segment> segments,
                                            std::span<const WatchedPlace> watched, const MemberGenerator& generator,
                                            const EnsembleOptions& options);

/// How probable an event is, from the share of members it happened to, with its 95 % confidence interval.
/// Source of the interval: Wilson, J. Am. Stat. Assoc. 22 (1927) 209.
struct EventProbability {
    double share = 0.0;
    double low = 0.0;
    double high = 1.0;
};
/// @param has_happened  asked of every row of a complete result
[[nodiscard]] EventProbability probability(const EnsembleResult& result,
                                           const std::function<bool(std::span<const double> row)>& has_happened);

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
