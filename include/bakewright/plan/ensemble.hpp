#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "bakewright/bake/booth.hpp"
#include "bakewright/bake/cycle.hpp"
#include "bakewright/bake/predict.hpp"
#include "bakewright/bake/shell.hpp"
#include "bakewright/bake/uncertainty.hpp"
#include "bakewright/base/progress.hpp"
#include "bakewright/base/trace.hpp"
#include "bakewright/cure/coating.hpp"
#include "bakewright/cure/verdict.hpp"
#include "bakewright/thermal/ensemble.hpp"

namespace bakewright::plan {

using Uncertainty = bake::Uncertainty;

/// What an ensemble of predictions is asked beside shell, booth and cycle.
struct EnsemblePredictOptions {
    std::size_t member_count = 1000;  ///< 1 to 10 million
    std::uint64_t seed = 1;           ///< two ensembles with one seed have the same members: what differs is what was changed
    Uncertainty uncertainty{};
    bake::PredictOptions predict{};  ///< start, output interval and after_s count; steps follow largest_error_k
    double largest_error_k = 0.02;   ///< of a member's temperature; 1e-6 to 0.5
    std::size_t thread_count = 0;    ///< 0: one a core
    double band_interval_s = 60.0;   ///< of the bands over time; rounded to a multiple of the output interval
    Progress progress{};
    /// @throws InputError
    void check() const;
};

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
    thermal::EventProbability cured_by_time{};  ///< the longest stay at some row of the sheet is its minimum or more
    thermal::EventProbability cured_by_dose{};  ///< a dose of 1 at every activation energy of the band
    thermal::EventProbability cured{};          ///< as judged: by time, or by dose where the coating tells its activation energy
    thermal::EventProbability too_hot{};        ///< above the absolute maximum
    thermal::EventProbability over_baked{};     ///< more than the maximum times' dose at every activation energy of the band
    double peak_low_k = 0.0, peak_median_k = 0.0, peak_high_k = 0.0;
    cure::WordProbabilities words{};  ///< over members and the band of the activation energy; see cure::ensemble_probabilities()
    /// So much more hold cures 95 % of the members by the sheet's own rows, if each stays where it is; absent where some of the
    /// rest never reach a row.
    std::optional<double> more_hold_s{};
};

/// The same for one heat-sensitive item.
struct ItemChances {
    std::string item;
    TemperatureBand band;
    std::vector<thermal::EventProbability> limit_passed;  ///< by limit; those over a lifetime are judged on this bake alone
    thermal::EventProbability any_limit_passed;
    cure::WordProbabilities words{};  ///< GOOD and OVER
};

/// An ensemble's answer.
struct EnsemblePrediction {
    bool is_complete = false;  ///< false where progress said no: nothing else is then filled in
    std::size_t member_count = 0;
    std::vector<double> time_s;  ///< of the bands
    std::vector<ZoneChances> zones;
    std::vector<ItemChances> items;
    thermal::EventProbability all_cured_by_time;  ///< every coated zone in the same member
    thermal::EventProbability all_cured;          ///< as judged
    thermal::EventProbability nothing_passed;     ///< no zone too hot or over-baked, no item's limit passed
    thermal::EventProbability good;               ///< all_cured and nothing_passed
    double band_resolution_k = 0.0;               ///< see thermal::EnsembleQuantiles::resolution_k
    thermal::EnsembleStatistics statistics;
};

/// Predicts a bake many times over, with what is not known drawn anew for every member, and tells how often each event of a
/// verdict happens. Stays and doses are those of the members' traces at the output interval; a dose is read from a table of
/// the sheet's rates, within 0.1 % of cure::dose(). A coating whose basis is booth air is judged on the booth air for every
/// zone. The members are the same at any thread count.
/// @param items  without a trace in the shell they are left out
/// @throws InputError for records or options with problems; SolveError naming the member
[[nodiscard]] EnsemblePrediction predict_ensemble(const bake::Shell& shell, const bake::Booth& booth, const bake::Cycle& cycle,
                                                  const cure::Coating& coating, const std::vector<cure::HeatSensitiveItem>& items,
                                                  const EnsemblePredictOptions& options = {});

/// Puts an ensemble's certainty to the judged zones and items of the verdict on the same bake, and what would settle those that
/// are too close to call: more hold, a probe.
/// @param origin  what it rests on, for people
void add_certainty(cure::BakeVerdict& verdict, const EnsemblePrediction& ensemble, std::string origin);

}  // namespace bakewright::plan
