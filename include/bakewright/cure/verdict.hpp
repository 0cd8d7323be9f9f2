// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/base/format.hpp"
#include "bakewright/base/trace.hpp"
#include "bakewright/cure/coating.hpp"
#include "bakewright/cure/kinetics.hpp"
#include "bakewright/cure/readings.hpp"
#include "bakewright/cure/stay.hpp"

namespace bakewright::cure {

/// The word of a verdict. check stands where the readings or their uncertainty cross a line: a person must look.
enum class Word { under, good, over, check, not_judged };

/// "UNDER", "GOOD", "OVER", "CHECK" or "NOT JUDGED".
[[nodiscard]] std::string_view word_text(Word word) noexcept;

/// 0 for the worst word: over, under, check, not judged, good.
[[nodiscard]] constexpr int word_rank(Word word) noexcept {
    switch (word) {
        case Word::over:
            return 0;
        case Word::under:
            return 1;
        case Word::check:
            return 2;
        case Word::not_judged:
            return 3;
        case Word::good:
            break;
    }
    return 4;
}

/// Where a word on a log comes from.
enum class KnownFrom {
    measured,               ///< from what its probe read
    measured_and_modelled,  ///< from its probe, its neighbours' and the model together
    estimated               ///< it had no probe: from the others and the model
};
/// "measured", "measured and modelled" or "estimated".
[[nodiscard]] std::string_view known_from_text(KnownFrom from) noexcept;

/// Time at temperature against one schedule row.
struct RowReading {
    ScheduleRow row;
    double longest_stay_s = 0.0;  ///< longest time at or above the row's temperature in one stay, without its dips
    double total_s = 0.0;         ///< all time at or above it
    double missing_s = 0.0;       ///< how much of the minimum the longest stay lacks; 0 when met
};

/// What a trace shows of a sheet's window; see rule.hpp.
struct WindowReading {
    double credit = 0.0;              ///< of the best single stay; 1 is cured
    LongestStay stay;                 ///< the one that earned it
    std::optional<double> reached_s;  ///< since when it is cured: a credit of 1, or a row met
    double missing_s = 0.0;  ///< so much longer at the hottest temperature of that stay; 0 when cured, infinite without a stay
    double slack_s = 0.0;    ///< signed: what is over or lacking, as time at the reference row; a kelvin short of the window
                             ///< counts as a minute. Grows with time and temperature and has no jump at 0
    [[nodiscard]] bool is_cured() const noexcept { return slack_s >= 0.0; }
};

/// Why there is no verdict.
enum class NotJudged {
    no_trace,      ///< nothing was recorded or predicted under this name
    too_little,    ///< fewer than two usable samples
    no_booth_air,  ///< the sheet's schedule means booth air, and there is no booth-air trace
};

/// A verdict is sure from this probability on; the decision rule of docs/judging.md.
inline constexpr double kSure = 0.95;

/// Probability that a quantity lies within limits, its estimate known with a normal standard uncertainty.
///
///     p_c = Phi((upper - y) / u) - Phi((lower - y) / u)
///
/// @param standard_uncertainty  > 0
/// Source: JCGM 106:2012, 7.2 to 7.4 (equation numbers from memory).
[[nodiscard]] double conformance_probability(double estimate, double standard_uncertainty, std::optional<double> lower,
                                             std::optional<double> upper);

/// Width of the guard band inside one limit for which a quantity found at its edge conforms with a probability: z(p) u.
/// Source: JCGM 106:2012, 8.3.2 (guarded acceptance; number from memory).
[[nodiscard]] double guard_band(double standard_uncertainty, double probability = kSure);

/// How likely each word is; they add up to 1.
struct WordProbabilities {
    double under = 0.0;
    double good = 0.0;
    double over = 0.0;
};

/// The likeliest word, how likely it is, and what would settle it where it is too close to call; see confidence.hpp.
struct Certainty {
    WordProbabilities probabilities;
    Word best = Word::not_judged;  ///< under, good or over
    double probability = 0.0;
    bool too_close = true;              ///< below kSure, or something may be hidden in a gap
    std::optional<double> more_time_s;  ///< so much longer makes GOOD sure; nothing where time does not help
    double more_time_at_k = 0.0;        ///< at or above this reading: the reference temperature and the guard band; 0: of hold
    std::optional<double> sharper_k;    ///< a standard uncertainty of the probe that would make the best guess sure
    bool is_predicted = false;          ///< rests on a model, in whole or in part: a probe there would settle it
};

/// The likeliest word and how likely it is.
[[nodiscard]] Certainty certainty_of(const WordProbabilities& probabilities);

/// Weights of the low, middle and high activation energy of a band; common practice, no source.
inline constexpr std::array<double, 3> kEnergyWeights = {1.0 / 6.0, 4.0 / 6.0, 1.0 / 6.0};

/// What a hand found on the film of a zone, hours after a bake.
struct FilmTest {
    std::string zone;
    std::string method;    ///< "thumb", "tape", "rub" or "hardness"
    double after_s = 0.0;  ///< since the end of the bake
    bool is_soft = false;
};

/// That the last test of a zone's film found it soft. A film that is soft is not GOOD, whatever a probe read.
struct FoundSoft {
    std::string method;
    double after_s = 0.0;
    std::string bake{};                     ///< after which, in a history: "bake 3"; empty for the bake that is judged
    Word readings_word = Word::not_judged;  ///< what the readings alone say
};

/// What one coated zone got out of a bake.
struct ZoneVerdict {
    std::string zone;
    TraceRole role = TraceRole::zone;
    Word word = Word::not_judged;
    std::optional<NotJudged> why_not;  ///< set where the word is not_judged
    std::string reason;              ///< one sentence in the trade's words, in degrees Celsius; see reason_text() for other units
    std::vector<RowReading> rows;    ///< in the order of the schedule
    WindowReading window;            ///< by the sheet: what the word rests on
    double noise_k = 0.0;            ///< of the trace the cure was judged on, from sample to sample
    bool is_on_makers_word = false;  ///< the window reaches below the sheet: the coating's profile says so, with a source
    bool is_beyond_sheet = false;    ///< hotter than anything the sheet speaks of, and no maximum is printed
    Band dose;  ///< D = integral dt / t_required(T) over all of the trace, by chemistry: 1 may be cured, and never more than may
    Band equivalent_time_s;  ///< the dose as seconds at the reference temperature: dose times reference_minimum_s [s]
    double reference_temperature_k = 0.0;      ///< the schedule's first row at or above the floor
    double reference_minimum_s = 0.0;          ///< that row's minimum
    Band over_bake_dose;                       ///< the same integral with the maximum times; 0 where the sheet has none
    std::optional<double> absolute_maximum_k;  ///< the sheet's
    double peak_temperature_k = 0.0;           ///< of the zone itself, also where the schedule means booth air
    double peak_at_s = 0.0;
    double steepest_rate_k_per_s = 0.0;    ///< largest mean rise over one minute; 0 where it never rose or lasted no minute
    double steepest_from_s = 0.0;          ///< start of that minute
    std::optional<double> cured_at_s;      ///< when it was cured by the window
    std::optional<double> heat_to_cure_s;  ///< from the moment the heat came on to cured_at_s; only from judge_bake()
    double beyond_last_row_s = 0.0;        ///< time hotter than the schedule's last row: counted at that row's rate
    std::optional<ConversionReading> conversion;  ///< by the coating's rate law, where it has one; changes no word
    std::optional<double> required_conversion;    ///< what that law's source counts as cured
    std::optional<Certainty> certainty;           ///< from add_certainty()
    std::optional<double> share_of_panel;   ///< its dose over the test panel's; only from judge_bake(), where there is a panel
    std::optional<double> ended_warm_at_k;  ///< last temperature of a trace that stops above the floor: a bake cut short
    Gaps gaps;                              ///< of the trace the cure was judged on
    bool gap_may_hide_cure = false;         ///< what was missed might have cured it: under is not sure
    bool gap_may_hide_heat = false;         ///< what was missed might have been too much: good is not sure
    std::optional<FoundSoft> found_soft{};  ///< check then where the readings say good
    std::optional<KnownFrom> known_from{};  ///< of a log
};

/// What one heat-sensitive item went through, limit by limit.
struct LimitReading {
    ExposureLimit limit;
    double exposed_s = 0.0;            ///< total time at or above the limit's temperature
    double exposed_at_margin_s = 0.0;  ///< total time at or above it less the margin
    bool passed = false;               ///< exposed for longer than allowed; where nothing is allowed, the temperature was reached
    bool near = false;                 ///< not passed, but would be if the item were hotter by the margin; counts where no chance
                                       ///< is known
};
struct ItemVerdict {
    std::string item;
    Word word = Word::not_judged;      ///< good, over, check (within the margin of a limit) or not_judged
    std::optional<NotJudged> why_not;  ///< set where the word is not_judged
    std::string reason;                ///< as ZoneVerdict::reason
    double margin_k = 0.0;
    std::vector<LimitReading> limits;
    std::string limit_source{};                    ///< where the limits come from; empty where nobody says
    std::vector<std::string> no_limit_known_of{};  ///< materials in it without a known upper limit: CHECK at best
    double peak_temperature_k = 0.0;
    double peak_at_s = 0.0;
    Gaps gaps;
    bool gap_may_hide_heat = false;
    std::optional<Certainty> certainty;     ///< from add_certainty(): GOOD, limits kept, or OVER
    std::optional<KnownFrom> known_from{};  ///< of a log
};

/// Something about how the heat came on that spoils a film while solvent is still in it.
enum class HeatWarningKind {
    heated_too_soon,  ///< less flash-off before heat than the sheet asks
    heated_too_late,  ///< more flash-off than the sheet allows: the skin may have closed first
    heated_too_fast   ///< a coated face rose faster than the sheet allows before it reached the schedule
};
/// "heated too soon", "heated too late" or "heated too fast".
[[nodiscard]] std::string_view heat_warning_text(HeatWarningKind kind) noexcept;
/// Whether it is the sheet's flash-off that was not kept: the whole bake is CHECK then.
[[nodiscard]] constexpr bool is_about_flash_off(HeatWarningKind kind) noexcept {
    return kind == HeatWarningKind::heated_too_soon || kind == HeatWarningKind::heated_too_late;
}

struct HeatWarning {
    HeatWarningKind kind = HeatWarningKind::heated_too_soon;
    std::string where;      ///< zone name; empty for the whole bake
    double at_s = 0.0;      ///< when the heat came on, or when the steepest minute began
    double found = 0.0;     ///< [s], or [K/s] for heated_too_fast
    double accepted = 0.0;  ///< the sheet's limit, in the same unit
    std::string reason;     ///< as ZoneVerdict::reason
};

/// The judgement of one bake.
struct BakeVerdict {
    std::string coating_title;
    ScheduleBasis basis = ScheduleBasis::not_stated;
    ActivationEnergy activation_energy;
    std::string activation_energy_origin;  ///< "from the sheet's 2 schedules", "default band", "given"
    std::vector<ZoneVerdict> zones;        ///< coated zones and the test panel, worst first
    std::vector<ItemVerdict> items;        ///< worst first
    std::vector<HeatWarning> warnings;     ///< in order of kind, then the worst first
    std::optional<double> heat_on_s;       ///< when the booth air began to heat; nothing without a trace that shows it
    std::optional<double> chance;          ///< that every coated zone is cured and nothing too hot, together; from an ensemble
    std::string uncertainty_origin;        ///< what the certainty of its zones rests on; empty without one
    double standard_uncertainty_k = 0.0;   ///< of each trace; 0 where it differs from trace to trace
    std::vector<std::string> questions;    ///< to be answered before a word is trusted: a log that looks read in the wrong unit
    std::string after_bake;                ///< after_bake_text() of the coating
    std::vector<Phrase> remarks;           ///< such as "the sheet does not say whether it means part or air temperature"

    /// The worst word over zones and items: over before under before check before not judged before good. Not judged where there
    /// is neither. With a flash-off that was not kept it is no better than check.
    [[nodiscard]] Word worst() const noexcept;
};

}  // namespace bakewright::cure
