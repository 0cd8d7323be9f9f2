// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "bakewright/cure/coating.hpp"
#include "bakewright/cure/course.hpp"
#include "bakewright/cure/rule.hpp"
#include "bakewright/cure/verdict.hpp"
#include "bakewright/report/live.hpp"
#include "bakewright/tune/forecast.hpp"

/// Judges the simulated bakes of a forecast by the rule of cure, each for itself, and sums up.
namespace bakewright::services {

inline constexpr double kBandLow = 0.05, kBandHigh = 0.95;  ///< of members, of every band that is told live
inline constexpr double kNeverS = std::numeric_limits<double>::infinity();

/// What is judged: the coating, its zones, the items that are still in.
struct LiveSheet {
    const cure::Coating& coating;
    std::vector<std::string> coated;
    std::vector<cure::HeatSensitiveItem> items;
};

/// One simulated bake to its end: what cure::bake_course() says of it.
struct JudgedMember {
    std::vector<double> good_s;    ///< by coated zone: since when it is cured; kNeverS
    std::vector<double> over_s;    ///< by coated zone: since when it is past a maximum; kNeverS
    std::vector<double> passed_s;  ///< by item: when it passed a limit; kNeverS

    /// Every zone cured and nothing over.
    [[nodiscard]] bool is_good() const;
    /// When the last zone was cured; kNeverS where one never is.
    [[nodiscard]] double all_good_s() const;
};

[[nodiscard]] std::vector<JudgedMember> judged_members(const tune::ForecastTraces& traces, const LiveSheet& sheet);

/// When each member's zone is cured by the sheet's window, whatever else becomes of it; kNeverS. @param place  of the traces
[[nodiscard]] std::vector<double> cured_s(const tune::ForecastTraces& traces, std::size_t place, const cure::CureWindow& window);
/// When the last zone of each is: the part of judged_members() that a search asks many times.
[[nodiscard]] std::vector<double> all_cured_s(const tune::ForecastTraces& traces, const LiveSheet& sheet);
/// When each member's item passes a limit; kNeverS.
[[nodiscard]] std::vector<double> passed_s(const tune::ForecastTraces& traces, std::size_t place,
                                           const cure::HeatSensitiveItem& item);

/// The place of a name or of the booth's air; nothing where there is none.
[[nodiscard]] std::optional<std::size_t> place_of(const tune::ForecastTraces& traces, const std::string& name);
[[nodiscard]] std::optional<std::size_t> air_of(const tune::ForecastTraces& traces);
/// The place whose course is judged for a zone: its own, or the booth's air where the sheet's schedule is of that.
[[nodiscard]] std::size_t judged_place(const tune::ForecastTraces& traces, const LiveSheet& sheet, std::size_t zone);

/// 5, 50 and 95 % of members.
[[nodiscard]] report::LiveBand band_of(std::vector<double> values);
[[nodiscard]] report::LiveMoment moment_of(const std::vector<double>& moments_s);
/// Members' temperatures at a moment.
[[nodiscard]] report::LiveBand band_at(const tune::ForecastTraces& traces, std::size_t place, double time_s);
/// @param passed_s  of each member
[[nodiscard]] report::LiveLimit limit_of(std::string what, double temperature_k, const std::vector<double>& passed_s);
/// Which quantile of the members is to be good so that all are kSure of it: (k + 1) / (n + 3) reaches it at a share a little
/// over.
[[nodiscard]] double sure_level(std::size_t members);

/// Credit of the window up to a moment, by member, 0 to 1. @param place  of the traces
[[nodiscard]] std::vector<double> credits(const tune::ForecastTraces& traces, std::size_t place, double until_s,
                                          const cure::CureWindow& window);

/// Chances of a coated zone's words.
[[nodiscard]] cure::WordProbabilities words_of_zone(const std::vector<JudgedMember>& members, std::size_t zone);
/// Chances of an item's: limits kept (good) or passed (over).
[[nodiscard]] cure::WordProbabilities words_of_item(const std::vector<JudgedMember>& members, std::size_t item);
/// Chance that a member is_good(), each word given one member more in advance as everywhere (cure::ensemble_probabilities()).
[[nodiscard]] double chance_of(const std::vector<JudgedMember>& members);

/// A quantile of moments of which some never come: nothing where that share of them does not.
[[nodiscard]] std::optional<double> moment_quantile(std::vector<double> moments_s, double level);

}  // namespace bakewright::services
