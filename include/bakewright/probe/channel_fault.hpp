// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/base/trace.hpp"

/// Channels that as a whole read something else than they are named after. They are told, never mended; a person decides.
namespace bakewright::probe {

/// What is wrong with a channel. The first six show against time and the other channels, the rest against a model of the shell.
enum class FaultKind {
    dead,        ///< it never moves while the booth heats up
    frozen,      ///< it stands still from a moment on: samples are flagged stuck
    reversed,    ///< it falls as the air rises: the wires of a thermocouple are the wrong way round
    wrong_unit,  ///< it reads degrees Fahrenheit among Celsius, or the other way
    wrong_type,  ///< it rises too far, or not far enough: the logger is set to another type of thermocouple
    noisy,       ///< it scatters far more than the others
    drift,       ///< it wanders off, more and more
    step,        ///< it reads so much more from a moment on
    loose,       ///< from a moment on it reads a share of the way to the air
    exchanged    ///< its readings are another channel's
};
constexpr std::array<std::string_view, 10> words_of(FaultKind) noexcept {
    return {"dead", "frozen", "reversed", "wrong unit", "wrong type", "noisy", "drift", "step", "loose", "exchanged"};
}

/// Whether its readings, all of them, say nothing of the place it is named after. What is frozen is flagged sample by sample;
/// what is noisy counts for less.
[[nodiscard]] constexpr bool condemns_all(FaultKind kind) noexcept {
    return kind == FaultKind::dead || kind == FaultKind::reversed || kind == FaultKind::wrong_unit ||
           kind == FaultKind::wrong_type || kind == FaultKind::drift || kind == FaultKind::exchanged;
}

struct ChannelFault {
    std::string channel;
    FaultKind kind = FaultKind::dead;
    double from_s = 0.0;  ///< frozen: since when
    /// dead: kelvins that it moves at most; reversed: that it falls; wrong unit: kelvins that it is off by at the start; wrong
    /// type: its rise over that of the hottest place; noisy: standard deviation of a reading by itself [K]
    double amount = 0.0;
};

/// Looks at every zone, item, cavity and panel of a log against its booth air and against its neighbours. Says nothing where
/// there are fewer than three channels, and nothing of dead, reversed or wrong type where the booth's air was not logged or rose
/// by less than 20 K. By kind:
///
///  - dead: its samples lie within 0.5 K, the middle nine tenths of them;
///  - frozen: 20 samples or more are flagged stuck;
///  - reversed: it starts within 10 K of the rest, and by the time the air is hottest it fell by 3 K and a seventh of the air's
///  rise;
///  - wrong unit: it starts 12 K or more from the median of the others, within 6 K of it once read in the other unit, and is then
///    nowhere hotter than the hottest of the others by more than 10 K;
///  - wrong type: it starts within 5 K of the others, and becomes hotter than the hottest of them, air among them, by 8 K and a
///    fifth of the rise, never by three tenths of that from one sample to the next; not where heaters may shine on it, see
///    `may_shine`;
///  - noisy: second differences have a median of 1 K noise and six times that of the median channel.
///
/// Limits are common practice, no source: chosen so that none of the real logs of docs/real-logs.md and of the demo alarms.
/// @param may_shine  infrared heaters can make a place hotter than the air
[[nodiscard]] std::vector<ChannelFault> channel_faults(const TraceSet& traces, bool may_shine = false);

}  // namespace bakewright::probe
