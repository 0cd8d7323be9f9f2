// SPDX-License-Identifier: Apache-2.0
#include "bakewright/record/intake.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "bakewright/base/error.hpp"
#include "bakewright/base/format.hpp"
#include "source_clock.hpp"

namespace bakewright::record {
namespace {

/// A gap is told from so many usual intervals on, and from so long.
constexpr double kGapIntervals = 3.0, kLeastGapS = 5.0;

std::string change_text(const SourceClock::Change& change) {
    const std::string by = format_duration(std::abs(change.by_s));
    if (change.is_step)
        return fmt::format("the clock of the source was set {} by {}", change.by_s > 0.0 ? "forward" : "back", by);
    return fmt::format("the clock of the source {} {:.1f} s on the computer's; its times were put right",
                       change.by_s > 0.0 ? "gained" : "lost", std::abs(change.by_s));
}

}  // namespace

struct SourceState {
    SourceStatus status;
    double interval_s = 1.0;
    SourceClock clock;
    std::vector<std::size_t> channels{};  ///< index of each of its channels among all
    std::uint64_t new_late = 0, new_duplicates = 0;
};

/// Channels of a source that had the same gap.
struct Gap {
    double from_s = 0.0, to_s = 0.0;
    std::vector<std::size_t> channels{};
};

struct Intake::State {
    std::vector<SourceState> sources;
    std::vector<ChannelStatus> channels;
    std::vector<bool> is_seeded;  ///< what it had before this program began is all it has

    void take_row(SourceState& source, const SourceClock::TimedRow& row, Taken& taken);
    void take_reading(SourceState& source, std::size_t channel, double time_s, const Reading& reading, std::vector<Gap>& gaps,
                      Taken& taken);
    void tell_gaps(SourceState& source, const std::vector<Gap>& gaps, Taken& taken) const;
};

Intake::Intake() : state_(std::make_unique<State>()) {}
Intake::Intake(Intake&&) noexcept = default;
Intake& Intake::operator=(Intake&&) noexcept = default;
Intake::~Intake() = default;

std::size_t Intake::add_source(std::string name, double interval_s, bool is_steady) {
    SourceState& source =
        state_->sources.emplace_back(SourceState{.status = {}, .interval_s = interval_s, .clock = SourceClock(is_steady)});
    source.status.name = std::move(name);
    source.status.what = "nothing yet";
    return state_->sources.size() - 1;
}

void Intake::add_channels(std::size_t source, const std::vector<book::RecordedChannel>& channels,
                          const std::vector<std::size_t>& indices) {
    ensure(channels.size() == indices.size(), "each channel has its index");
    SourceState& of = state_->sources.at(source);
    for (std::size_t i = 0; i < channels.size(); ++i) {
        of.channels.push_back(indices[i]);
        if (state_->channels.size() <= indices[i]) {
            state_->channels.resize(indices[i] + 1);
            state_->is_seeded.resize(indices[i] + 1, false);
        }
        state_->channels[indices[i]].channel = channels[i];
        state_->channels[indices[i]].interval_s = of.interval_s;
    }
}

void Intake::seed(std::size_t channel, double latest_s) {
    state_->channels.at(channel).latest_s = latest_s;
    state_->is_seeded.at(channel) = true;
}

void Intake::take(std::size_t source, std::vector<SourceRow> rows, Taken& taken) {
    SourceState& of = state_->sources.at(source);
    std::vector<SourceClock::TimedRow> timed;
    std::vector<SourceClock::Change> changes;
    if (!rows.empty()) of.status.latest_s = rows.back().arrived_s;
    of.status.rows += rows.size();
    of.clock.take(std::move(rows), timed, changes);
    for (const SourceClock::Change& change : changes)
        taken.events.push_back({.time_s = change.time_s,
                                .kind = change.is_step ? "clock set" : "drift",
                                .source = of.status.name,
                                .lasts_s = change.by_s,
                                .what = change_text(change)});
    for (const SourceClock::TimedRow& row : timed) state_->take_row(of, row, taken);
}

void Intake::State::take_row(SourceState& source, const SourceClock::TimedRow& row, Taken& taken) {
    std::vector<Gap> gaps;
    for (const Reading& reading : row.row.readings) {
        ensure(reading.channel < source.channels.size(), "a source announces its channels before it brings readings of them");
        take_reading(source, source.channels[reading.channel], row.time_s, reading, gaps, taken);
    }
    tell_gaps(source, gaps, taken);
}

void Intake::State::take_reading(SourceState& source, std::size_t channel, double time_s, const Reading& reading,
                                 std::vector<Gap>& gaps, Taken& taken) {
    ChannelStatus& status = channels[channel];
    if (time_s == status.latest_s) {
        ++source.status.duplicates, ++source.new_duplicates;
        return;
    }
    const book::RecordedSample sample{
        .channel = channel, .time_s = time_s, .temperature_k = reading.temperature_k, .quality = reading.quality};
    if (time_s < status.latest_s) {
        ++source.status.late, ++source.new_late;
        taken.samples.push_back(sample);
        return;
    }
    const double mark_s = status.latest_s + status.interval_s;
    if (time_s - status.latest_s > std::max(kGapIntervals * status.interval_s, kLeastGapS) && mark_s < time_s) {
        // Between a reading and one that is missing there is no line: judging sees that nothing is known here.
        taken.samples.push_back(
            {.channel = channel, .time_s = mark_s, .temperature_k = std::nan(""), .quality = SampleQuality::missing});
        const auto same = std::ranges::find_if(gaps, [&](const Gap& gap) { return gap.from_s == status.latest_s; });
        if (same != gaps.end())
            same->channels.push_back(channel);
        else if (!is_seeded[channel])  // of that the recorder tells
            gaps.push_back({status.latest_s, time_s, {channel}});
    }
    taken.samples.push_back(sample);
    is_seeded[channel] = false;
    if (!(reading.temperature_k == status.latest_k)) status.same_since_s = time_s;
    status.latest_s = time_s;
    status.latest_k = reading.temperature_k;
    status.quality = reading.quality;
}

void Intake::State::tell_gaps(SourceState& source, const std::vector<Gap>& gaps, Taken& taken) const {
    for (const Gap& gap : gaps) {
        ++source.status.gaps;
        std::string names;
        if (gap.channels.size() < source.channels.size())
            for (const std::size_t channel : gap.channels) names += (names.empty() ? "" : ", ") + channels[channel].channel.name;
        taken.events.push_back({.time_s = gap.from_s,
                                .kind = "gap",
                                .source = source.status.name,
                                .channel = names,
                                .lasts_s = gap.to_s - gap.from_s,
                                .what = "nothing came for " + format_duration(gap.to_s - gap.from_s)});
    }
}

void Intake::notice(std::size_t source, const SourceNotice& notice, Taken& taken) {
    SourceStatus& status = state_->sources.at(source).status;
    if (notice.channel.empty()) {
        status.is_good = notice.is_good;
        status.what = notice.what;
    }
    taken.events.push_back(
        {.time_s = notice.arrived_s, .kind = "source", .source = status.name, .channel = notice.channel, .what = notice.what});
}

void Intake::lost(std::size_t source, std::uint64_t readings, double now_s, Taken& taken) {
    SourceStatus& status = state_->sources.at(source).status;
    status.lost += readings;
    taken.events.push_back({.time_s = now_s,
                            .kind = "lost",
                            .source = status.name,
                            .count = readings,
                            .what = fmt::format("{} readings were lost: they came faster than they were taken", readings)});
}

void Intake::ended(std::size_t source) { state_->sources.at(source).status.has_ended = true; }

void Intake::sum_up(double now_s, Taken& taken, bool is_end) {
    for (SourceState& source : state_->sources) {
        if (is_end) {
            std::vector<SourceClock::TimedRow> timed;
            source.clock.release(timed);
            for (const SourceClock::TimedRow& row : timed) state_->take_row(source, row, taken);
        }
        if (const std::uint64_t late = std::exchange(source.new_late, 0); late > 0)
            taken.events.push_back({.time_s = now_s,
                                    .kind = "late",
                                    .source = source.status.name,
                                    .count = late,
                                    .what = fmt::format("{} readings came after later ones", late)});
        if (const std::uint64_t same = std::exchange(source.new_duplicates, 0); same > 0)
            taken.events.push_back({.time_s = now_s,
                                    .kind = "duplicate",
                                    .source = source.status.name,
                                    .count = same,
                                    .what = fmt::format("{} readings came twice", same)});
    }
}

const std::vector<ChannelStatus>& Intake::channels() const noexcept { return state_->channels; }

std::vector<SourceStatus> Intake::sources() const {
    std::vector<SourceStatus> all;
    for (const SourceState& source : state_->sources) {
        all.push_back(source.status);
        all.back().gain_s_per_h = source.clock.gain_s_per_h();
    }
    return all;
}

}  // namespace bakewright::record
