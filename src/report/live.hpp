// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/bake/cycle.hpp"
#include "bakewright/base/trace.hpp"
#include "bakewright/cure/coating.hpp"
#include "bakewright/cure/verdict.hpp"
#include "bakewright/report/json.hpp"
#include "bakewright/report/text.hpp"
#include "bakewright/report/titles.hpp"

/// What is known of a bake while it goes on: one record, which the terminal, JSON and the page show.
namespace bakewright::report {

/// A number with the band that holds 90 % of the simulated bakes which agree with the readings.
struct LiveBand {
    double low = 0.0, median = 0.0, high = 0.0;
};

/// When something will be [s since the recording's start]. An end is absent where that share of the simulated bakes never comes
/// to it within the time that is looked ahead.
struct LiveMoment {
    std::optional<double> low_s{}, median_s{}, high_s{};
};

/// The limit that a zone or an item comes nearest to.
struct LiveLimit {
    std::string what;                  ///< for people: "67 °C", "10 min at or above 60 °C"
    double temperature_k = 0.0;        ///< of it
    double chance = 0.0;               ///< that it is passed if the heat stays on as the cycle sets it, 0 to 1
    std::optional<double> earliest_s;  ///< by then one in twenty simulated bakes has passed it: the last moment before that
    std::optional<double> likeliest_s;
};

/// A zone, a test panel or an item.
struct LivePlace {
    std::string name;
    TraceRole role = TraceRole::zone;
    bool is_coated = false;
    cure::KnownFrom known_from = cure::KnownFrom::estimated;
    LiveBand now_k{};                  ///< its temperature at LiveState::now_s [K]
    std::optional<LiveBand> credit{};  ///< of the sheet's window so far, 0 to 1, capped there; of coated ones
    bool is_good = false;              ///< kSure that it is good already, if the heat went off now
    LiveMoment good{};                 ///< when it will be, with the heat on as the cycle sets it; of coated ones
    double off_now_chance = 0.0;  ///< that it is good in the end if the heat goes off now; of an item: that no limit is passed
    cure::Word off_now = cure::Word::not_judged;
    std::optional<LiveLimit> limit{};  ///< absent where it has none
};

/// How one place goes from the recording's start to what is to come, with the heat off at LiveState::heat_off, or on where that
/// is absent; a moment each minute. The samples lie at time_s, all four of one length.
struct LiveCurve {
    std::string name;
    TraceRole role = TraceRole::zone;
    std::vector<double> time_s{}, low_k{}, median_k{}, high_k{};
};

/// What becomes of the bake if the heat goes off at a moment.
struct LiveChoice {
    double off_s = 0.0;
    double chance = 0.0;                  ///< that every coated zone is good in the end and nothing over
    cure::Word word = cure::Word::check;  ///< the worst, as judging would have it: check where nothing is sure
    std::optional<double>
        all_good_s{};         ///< by then it is kSure that all are good; later than off_s where they cure while it cools
    std::string last_zone{};  ///< the zone that is most often last
};

/// Most urgent first.
enum class LiveWarningKind {
    limit_near,        ///< an item or part is about to pass a limit
    heating_too_fast,  ///< faster than the sheet allows while the film closes
    probe_fault,       ///< lost, loose, jumped or exchanged
    off_cycle,         ///< the booth does not follow its cycle
    zone_behind,       ///< a zone will not be good when the cycle ends
    heat_can_go_off,   ///< all good
    cool               ///< all estimated below kCoolK: test before you touch
};
constexpr std::array<std::string_view, 7> words_of(LiveWarningKind) noexcept {
    return {"limit_near", "heating_too_fast", "probe_fault", "off_cycle", "zone_behind", "heat_can_go_off", "cool"};
}
/// Where no reading came for so long, none is taken for the present [s]; common practice, no source.
inline constexpr double kLiveSilentS = 10.0;
/// A part that is cooler may be touched, once it was tested [K]; common practice, no source.
inline constexpr double kCoolK = celsius_to_kelvin(40.0);

/// Raised once, cleared when it is over.
struct LiveWarning {
    LiveWarningKind kind = LiveWarningKind::off_cycle;
    std::string subject{};  ///< zone, item or channel; empty: the booth or all
    double since_s = 0.0;
    std::optional<double> cleared_s{};
    Phrase says{};        ///< a plain sentence
    std::string to_do{};  ///< what to do about it, a plain sentence
};

/// How a bake stands that is not over.
struct LiveState {
    std::int64_t bake = 0;
    std::string booth{};
    double now_s = 0.0;                      ///< newest reading that counts, since the recording's start
    std::string started_at{};                ///< clock time of time 0, ISO 8601; empty where unknown
    std::string now_at{};                    ///< now_s by the shop's clock, "18:40"; empty where unknown
    std::size_t update = 0;                  ///< how often it was estimated in full; 1 for the first
    double estimated_s = 0.0;                ///< up to when it was; between two estimates it moves by the linear form
    bool is_known = false;                   ///< false: what follows up to the warnings is empty
    std::string why_not{};                   ///< for people, where it is not known
    std::string to_do{};                     ///< what to do so that it is
    std::optional<bake::StageKind> phase{};  ///< recognised from the air
    double phase_since_s = 0.0;
    std::optional<double> setpoint_k{};    ///< that the air goes to, by the cycle or as told
    std::optional<double> cycle_off_s{};   ///< when the cycle as set ends its last hold
    LiveBand air_k{};                      ///< the booth's air at its reference place now
    std::vector<LivePlace> places{};       ///< coated ones first, last to be good first; then items, nearest to a limit first
    std::optional<LiveChoice> heat_off{};  ///< first minute at which heat off leaves all kSure of good and nothing over
    std::string why_no_heat_off{};         ///< for people, where there is none within what is looked ahead
    std::optional<LiveChoice> off_now{};
    std::vector<LiveCurve> curves{};      ///< of the booth's air and of every place
    std::vector<Phrase> remarks{};        ///< what it rests on that may be wrong, for people
    std::vector<LiveWarning> warnings{};  ///< those that stand, most urgent first
    std::size_t members = 0, readings = 0;
    double compute_s = 0.0;
};

/// Said wherever any of it is.
inline constexpr std::string_view kLiveAdvice =
    "Advice, no safety device: it switches nothing and replaces neither the booth's own high limit nor its ventilation "
    "interlocks.";

/// The record for programs, document "bakewright.live" (docs/json.md).
[[nodiscard]] Json live_document(const LiveState& state);
/// What is said to people in it, with titles in place of names and in their units: `why_not`, `to_do`, `why_no_heat_off`,
/// `remarks`, and of each warning `says` and `to_do`, in the order of the record.
[[nodiscard]] Json live_words(const LiveState& state, const Titles& titles, const Units& units);
/// On one screen: minutes to heat off, the phase, warnings, each zone with its minute.
[[nodiscard]] std::string live_screen(const LiveState& state, const TextOptions& options);
/// In one line, for a log.
[[nodiscard]] std::string live_line(const LiveState& state, const TextOptions& options);
/// A warning in one line, raised or cleared.
[[nodiscard]] std::string live_warning_line(const LiveWarning& warning);

}  // namespace bakewright::report
