// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "bakewright/bake/booth.hpp"
#include "bakewright/bake/build_network.hpp"
#include "bakewright/bake/cycle.hpp"
#include "bakewright/bake/predict.hpp"
#include "bakewright/bake/shell.hpp"
#include "bakewright/bake/uncertainty.hpp"
#include "bakewright/base/format.hpp"
#include "bakewright/base/trace.hpp"
#include "bakewright/base/work.hpp"
#include "bakewright/cure/coating.hpp"
#include "bakewright/cure/verdict.hpp"
#include "bakewright/plan/so_far.hpp"
#include "bakewright/thermal/ensemble.hpp"

namespace bakewright::plan {

using Uncertainty = bake::Uncertainty;

/// How many members a bake is made anew for, wherever one asks: two places that ask the same question draw the same members.
inline constexpr std::size_t kMemberCount = 256;
/// Members are read so often, and followed so long after the end of the cycle, whatever interval a prediction is kept at [s]:
/// items behind linings go on warming.
inline constexpr double kMemberIntervalS = 30.0;
inline constexpr double kMembersFollowedS = kSecondPerHour;

/// What an ensemble of predictions is asked beside shell, booth and cycle.
struct EnsemblePredictOptions {
    std::size_t member_count = kMemberCount;  ///< 1 to 10 million
    std::uint64_t seed = 1;  ///< two ensembles with one seed have the same members: what differs is what was changed
    Uncertainty uncertainty{};
    bake::PredictOptions predict{};  ///< its start and film factor count; steps follow largest_error_k
    double largest_error_k = 0.02;   ///< of a member's temperature; 1e-6 to 0.5
    std::size_t thread_count = 0;    ///< 0: one a core
    double band_interval_s = 60.0;   ///< of the bands over time; rounded to a multiple of kMemberIntervalS; 0: no bands
    Progress progress{};
    /// @throws InputError
    void check() const;
};

/// Members that somebody else drew, such as an estimate from a log: standard normal numbers in the order of
/// bake::MemberSpace::numbers().
using DrawnMembers = std::vector<std::vector<double>>;

/// Quantiles over time [K], 5, 50 and 95 % of the members.
struct TemperatureBand {
    std::vector<double> low_k, median_k, high_k;

    /// The standard deviation [K] of a normal distribution with these quantiles, its mean over the moments at which the median is
    /// within kPlateauK of its peak: where cure and exposure are decided.
    [[nodiscard]] double plateau_standard_k() const;
};
inline constexpr double kPlateauK = 5.0;  ///< common practice, no source

/// What the members of an ensemble say of one zone. Events that cannot happen (no absolute maximum, an uncoated zone) have a
/// share of 0.
struct ZoneChances {
    std::string zone;
    TraceRole role = TraceRole::zone;
    bool coated = false;
    TemperatureBand band;
    thermal::EventProbability cured{};       ///< by the coating's window
    thermal::EventProbability too_hot{};     ///< above the absolute maximum
    thermal::EventProbability over_baked{};  ///< more than the maximum times' dose at every activation energy of the band
    double peak_low_k = 0.0, peak_median_k = 0.0, peak_high_k = 0.0;
    cure::WordProbabilities words{};  ///< over members and the band of the activation energy; see cure::ensemble_probabilities()
    /// By member: so much more hold cures it, if it stays where it is; below 0: so much less does too [s]. Infinite where it
    /// never came into the window. Empty where not coated.
    std::vector<double> lacking_s{};
    /// So much more hold makes it sure (kSure of the members); absent where some of the rest never come into the window.
    [[nodiscard]] std::optional<double> more_hold_s() const;
};

/// The same for one heat-sensitive item.
struct ItemChances {
    std::string item;
    TemperatureBand band;
    std::vector<thermal::EventProbability> limit_passed;  ///< by limit, with what was had before
    thermal::EventProbability any_limit_passed{};         ///< of those that must not be passed
    cure::WordProbabilities words{};                      ///< GOOD and OVER
};

/// Something that may get too much: a coated zone, an item, an earlier coat, a bond, a rate of heating.
struct SubjectChances {
    Phrase subject;
    std::vector<double> spare_s;  ///< by member: so much more hold it takes; below 0: it has had too much [s]
};

/// An ensemble's answer.
struct EnsemblePrediction {
    bool is_complete = false;  ///< false where progress said no: nothing else is then filled in
    std::size_t member_count = 0;
    std::vector<double> time_s;  ///< of the bands
    std::vector<ZoneChances> zones;
    std::vector<ItemChances> items;
    std::vector<SubjectChances> subjects;
    thermal::EventProbability all_cured;       ///< every coated zone in the same member
    thermal::EventProbability nothing_passed;  ///< no zone too hot, over-baked or heated too fast, no item's limit passed,
                                               ///< nothing earlier over-baked, no bond strained
    thermal::EventProbability good;            ///< all_cured and nothing_passed
    double chance = 0.0;             ///< of good, over the band of the activation energy as well: (k + 1) / (n + 3), see
                                     ///< cure::ensemble_probabilities()
    double band_resolution_k = 0.0;  ///< see thermal::EnsembleQuantiles::resolution_k
    std::optional<bake::TrackRecord> record{};  ///< the booth's, by which members were drawn wider or narrower
    thermal::EnsembleStatistics statistics;
};

/// Predicts a bake many times over, with what is not known drawn anew for every member, and judges each by the rule of cure
/// (cure/rule.hpp) on its trace at kMemberIntervalS. Over-bake doses are read from a table of the sheet's rates, within 0.1 % of
/// cure::dose(). A coating whose basis is booth air is judged on the booth air for every zone. The members are the same at any
/// thread count.
/// @param items  without a trace in the shell they are left out
/// @throws InputError for records or options with problems; SolveError naming the member
[[nodiscard]] EnsemblePrediction predict_ensemble(const bake::Shell& shell, const bake::Booth& booth, const bake::Cycle& cycle,
                                                  const cure::Coating& coating, const std::vector<cure::HeatSensitiveItem>& items,
                                                  const EnsemblePredictOptions& options = {}, const PastHeat& past = {});

/// The same for a network that is driven already. Bands last as long as its segments.
/// @param drawn  empty: members are drawn as before any log; else as many as options.member_count
[[nodiscard]] EnsemblePrediction ensemble_of(const bake::DrivenNetwork& driven, const bake::Shell& shell,
                                             const bake::Booth& booth, const cure::Coating& coating,
                                             const std::vector<cure::HeatSensitiveItem>& items,
                                             const EnsemblePredictOptions& options, const PastHeat& past = {},
                                             const DrawnMembers& drawn = {});

/// What such an ensemble rests on, for people.
[[nodiscard]] std::string ensemble_origin(const EnsemblePrediction& ensemble);

/// Puts an ensemble's certainty, and with it their words, to the judged zones and items of the verdict on the same bake, what
/// would settle those that are too close to call (more hold, a probe), and the chance of the whole.
/// @param origin  what it rests on, for people
void add_certainty(cure::BakeVerdict& verdict, const EnsemblePrediction& ensemble, std::string origin);

}  // namespace bakewright::plan
