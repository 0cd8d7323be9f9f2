// SPDX-License-Identifier: Apache-2.0
#include "bakewright/record/recorder.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <atomic>
#include <cmath>
#include <set>
#include <thread>
#include <utility>

#include "bakewright/base/format.hpp"
#include "bakewright/probe/quality.hpp"

namespace bakewright::record {
namespace {

constexpr double kWallStepS = 1.5;  ///< the wall clock was set by at least so much
constexpr double kSleepS = 1.0;     ///< the computer slept for at least so long
constexpr std::size_t kEventsShown = 8;
/// Another program may hold the book, or somebody make room, at the very end.
constexpr int kTriesAtEnd = 6;
constexpr std::size_t kMostTogether = 50'000;
/// Counts of late and repeated readings are told so often.
constexpr double kSumEveryS = 60.0;

book::Flagging flagging() {
    return [](std::vector<Trace>& traces) {
        std::vector<std::string> remarks;
        static_cast<void>(probe::flag_quality(traces, {}, remarks));
    };
}

}  // namespace

void RecorderOptions::check() const {
    const auto refuse = [](const char* key, const char* message) { refuse_option(key, message); };
    if (!(keep_every_s > 0.0 && keep_every_s <= 4.0)) refuse("keep_every_s", "accepts more than 0, up to 4 s");
    if (!(fold_every_s > 0.0 && fold_every_s <= 600.0)) refuse("fold_every_s", "accepts more than 0, up to 600 s");
    if (most_waiting == 0 || most_in_memory == 0) refuse("most_waiting", "accepts 1 and more");
}

struct Recorder::State {
    State(book::Book& in_book, RecorderTask what, const Timebase& with, RecorderOptions how)
        : book(in_book), task(std::move(what)), clock(with), options(how), inbox(how.most_waiting) {}

    book::Book& book;
    RecorderTask task;
    const Timebase& clock;
    RecorderOptions options;
    Inbox inbox;
    Intake intake;
    std::optional<book::LiveLog> log;
    std::optional<book::BakeId> bake;
    std::vector<book::RecordedChannel> channels;  ///< all, by index
    std::vector<std::jthread> threads;
    std::vector<std::unique_ptr<std::atomic<bool>>> running;

    double zero_s = 0.0;  ///< now_s() of the clock at time 0
    Taken pending;        ///< not kept yet
    std::uint64_t kept = 0, dropped = 0;
    double dropped_from_s = 0.0;
    double kept_at_s = 0.0, tried_at_s = 0.0, folded_at_s = 0.0, summed_at_s = 0.0;  ///< by the clock of the computer
    double wall_less_now_s = 0.0, now_less_awake_s = 0.0;
    std::string trouble;
    std::vector<book::RecordingEvent> newest;
    bool goes_on = false, is_first_fold = true;

    [[nodiscard]] double log_time(double now_s) const { return (now_s - zero_s) * clock.speed(); }
    [[nodiscard]] double now_s() const { return log_time(clock.now_s()); }
    [[nodiscard]] book::RecorderClock stamp() const {
        return {.boot_id = clock.boot_id(), .zero_s = zero_s, .latest_s = now_s(), .kept_at = utc_text(clock.wall_s())};
    }

    void take_up();
    void start_sources();
    void take(Arrival arrival, Taken& taken);
    void announce(std::size_t source, const Announcement& announcement);
    void watch_clocks(Taken& taken);
    void watch_ends(Taken& taken);
    void add(Taken taken);
    [[nodiscard]] Taken loss() const;
    void keep_some();
    void keep();
    void fold();
    [[nodiscard]] bool seal();
    void begin_log();
};

/// A recording of this booth that broke off: gone on with, or ended where it is too old.
void Recorder::State::take_up() {
    for (const book::Recording& open : book::open_recordings(book, task.booth)) {
        const bool same_boot = !open.clock.boot_id.empty() && open.clock.boot_id == clock.boot_id();
        const double latest_at_s = open.clock.zero_s + open.clock.latest_s / clock.speed();
        const double since_s = same_boot ? clock.now_s() - latest_at_s : clock.wall_s() - wall_of(open.clock.kept_at);
        book::LiveLog found = [&] {
            try {
                return book::LiveLog::go_on(book, open.bake);
            } catch (const InputError&) {
                refuse_option("--booth", fmt::format("'{}' is being recorded by another program already, as bake {}", task.booth,
                                                     static_cast<std::int64_t>(open.bake)));
            }
        }();
        if (log || !(std::abs(since_s) <= options.go_on_within_s)) {
            found.seal();
            continue;
        }
        zero_s = same_boot ? open.clock.zero_s : clock.now_s() - (open.clock.latest_s + std::max(since_s, 0.0)) / clock.speed();
        channels = found.channels();
        kept = found.sample_count();
        goes_on = true;
        const double gap_s = now_s() - open.clock.latest_s;
        pending.events.push_back({.time_s = open.clock.latest_s,
                                  .kind = "gap",
                                  .lasts_s = gap_s,
                                  .what = fmt::format("the recorder was not running for {}{}", format_duration(gap_s),
                                                      same_boot ? "" : ", by the computer's wall clock: it was started anew")});
        newest.push_back(pending.events.back());
        log.emplace(std::move(found));
        bake = log->bake();
    }
}

void Recorder::State::start_sources() {
    for (RecorderTask::NamedSource& one : task.sources) {
        static_cast<void>(intake.add_source(one.name, one.interval_s, one.source->is_steady()));
        running.push_back(std::make_unique<std::atomic<bool>>(true));
    }
    for (std::size_t i = 0; i < task.sources.size(); ++i)
        threads.emplace_back([this, i](const std::stop_token& stop) {
            const SourceLink link(inbox, i, clock);
            try {
                task.sources[i].source->run(stop, link);
            } catch (const std::exception& error) {
                link.tell_bad(error.what());
            }
            running[i]->store(false);
        });
}

void Recorder::State::announce(std::size_t source, const Announcement& announcement) {
    const std::string& name = task.sources[source].name;
    std::vector<book::RecordedChannel> named = task.place(name, announcement.channels);
    ensure(named.size() == announcement.channels.size(), "every channel is the trace of something");
    std::vector<std::size_t> indices;
    for (book::RecordedChannel& channel : named) {
        channel.source = name;
        const auto is_it = [&](const book::RecordedChannel& known) { return known.name == channel.name; };
        auto at = std::ranges::find_if(channels, is_it);
        if (at != channels.end() && at->source != name) {
            channel.name += " (" + name + ")";
            at = std::ranges::find_if(channels, is_it);
        }
        indices.push_back(static_cast<std::size_t>(at - channels.begin()));
        if (at == channels.end()) channels.push_back(channel);
    }
    intake.add_channels(source, named, indices);
    if (goes_on)
        for (const std::size_t index : indices)
            if (log && index < log->channels().size() && !std::isnan(log->latest_s(index)))
                intake.seed(index, log->latest_s(index));
}

void Recorder::State::take(Arrival arrival, Taken& taken) {
    if (const auto* announcement = std::get_if<Announcement>(&arrival.what)) return announce(arrival.source, *announcement);
    if (auto* notice = std::get_if<SourceNotice>(&arrival.what)) {
        notice->arrived_s = log_time(notice->arrived_s);
        return intake.notice(arrival.source, *notice, taken);
    }
    auto rows = std::get<std::vector<SourceRow>>(std::move(arrival.what));
    for (SourceRow& row : rows) row.arrived_s = log_time(row.arrived_s);
    intake.take(arrival.source, std::move(rows), taken);
}

/// What decides is the clock that nobody can set; that the others moved against it is written down.
void Recorder::State::watch_clocks(Taken& taken) {
    const double now = clock.now_s(), wall = clock.wall_s() - now, sleep = now - clock.awake_s();
    const double set_s = wall - wall_less_now_s, slept_s = sleep - now_less_awake_s;
    wall_less_now_s = wall;
    now_less_awake_s = sleep;
    if (slept_s >= kSleepS)
        taken.events.push_back({.time_s = log_time(now) - slept_s * clock.speed(),
                                .kind = "sleep",
                                .lasts_s = slept_s,
                                .what = "the computer slept for " + format_duration(slept_s)});
    if (std::abs(set_s) >= kWallStepS)
        taken.events.push_back(
            {.time_s = log_time(now),
             .kind = "clock set",
             .lasts_s = set_s,
             .what =
                 fmt::format("the computer's clock was set {} by {}; it says {} now. Times of this log go on as they were",
                             set_s > 0.0 ? "forward" : "back", format_duration(std::abs(set_s)), local_text(clock.wall_s()))});
}

void Recorder::State::watch_ends(Taken& taken) {
    for (const auto& [source, readings] : inbox.take_lost()) intake.lost(source, readings, now_s(), taken);
    for (std::size_t i = 0; i < running.size(); ++i)
        if (!running[i]->load()) intake.ended(i);
}

/// Behind what waits to be kept. Where memory is at its bound the newest are counted and gone.
void Recorder::State::add(Taken taken) {
    if (task.observer && !taken.samples.empty()) task.observer(taken.samples, intake.channels(), now_s());
    for (const book::RecordingEvent& event : taken.events) newest.push_back(event);
    if (newest.size() > kEventsShown) newest.erase(newest.begin(), newest.end() - static_cast<std::ptrdiff_t>(kEventsShown));
    for (const book::RecordedSample& sample : taken.samples) {
        if (pending.samples.size() < options.most_in_memory) {
            pending.samples.push_back(sample);
            continue;
        }
        if (dropped++ == 0) dropped_from_s = sample.time_s;
    }
    if (pending.events.size() < options.most_in_memory)
        pending.events.insert(pending.events.end(), taken.events.begin(), taken.events.end());
}

void Recorder::State::begin_log() {
    if (channels.empty()) return;
    if (!log) {
        book::NewBake made = task.bake;
        made.kind = book::BakeKind::logged;
        log.emplace(book::LiveLog::begin(book, made, task.booth, channels, stamp()));
        bake = log->bake();
        return;
    }
    const std::size_t known = log->channels().size();
    if (channels.size() > known) log->add({channels.begin() + static_cast<std::ptrdiff_t>(known), channels.end()});
}

/// What was lost while memory was at its bound: told, and no line is drawn over it.
Taken Recorder::State::loss() const {
    Taken told;
    told.events.push_back(
        {.time_s = dropped_from_s,
         .kind = "lost",
         .lasts_s = now_s() - dropped_from_s,
         .count = dropped,
         .what = fmt::format("{} readings were lost: the book could not be written, and memory was full", dropped)});
    for (std::size_t channel = 0; channel < channels.size(); ++channel)
        told.samples.push_back({.channel = channel,
                                .time_s = dropped_from_s + 1e-3,
                                .temperature_k = std::nan(""),
                                .quality = SampleQuality::missing});
    return told;
}

/// Some of what waits, so that nobody else waits long for the book.
void Recorder::State::keep_some() {
    const std::size_t count = std::min(pending.samples.size(), kMostTogether);
    const std::size_t not_taken = log->keep(std::span(pending.samples).first(count), pending.events, stamp());
    kept += count - not_taken;
    pending.samples.erase(pending.samples.begin(), pending.samples.begin() + static_cast<std::ptrdiff_t>(count));
    pending.events.clear();
}

/// Where the book refuses, samples stay in memory, and it is tried again.
void Recorder::State::keep() {
    tried_at_s = clock.now_s();
    try {
        begin_log();
        if (!log) return;
        do keep_some();
        while (!pending.samples.empty());
        if (dropped > 0) {
            const Taken told = loss();
            static_cast<void>(log->keep(told.samples, told.events, stamp()));
            newest.push_back(told.events.back());
            dropped = 0;
        }
        if (!trouble.empty())
            pending.events.push_back({.time_s = now_s(), .kind = "book", .what = "the book can be written again: " + trouble});
        trouble.clear();
        kept_at_s = clock.now_s();
    } catch (const BookError& error) {
        trouble = error.what();
    }
}

/// @return whether the book has it all
bool Recorder::State::seal() {
    keep();
    if (!trouble.empty()) return false;
    try {
        if (log) log->seal(kept <= options.most_flagged ? flagging() : book::Flagging{});
        log.reset();
        return true;
    } catch (const BookError& error) {
        trouble = error.what();
        return false;
    }
}

void Recorder::State::fold() {
    try {
        if (log) log->fold(flagging());
        is_first_fold = false;
        folded_at_s = clock.now_s();
    } catch (const BookError& error) {
        trouble = error.what();
    }
}

Recorder::Recorder(book::Book& book, RecorderTask task, const Timebase& clock, RecorderOptions options)
    : state_(std::make_unique<State>(book, std::move(task), clock, options)) {
    State& state = *state_;
    state.options.check();
    ensure(!state.task.sources.empty() && !state.task.booth.empty() && state.task.place, "a recording has sources and a booth");
    state.zero_s = state.kept_at_s = state.tried_at_s = state.folded_at_s = state.summed_at_s = clock.now_s();
    if (state.task.bake.started_at.empty()) state.task.bake.started_at = local_text(clock.wall_s());
    state.wall_less_now_s = clock.wall_s() - clock.now_s();
    state.now_less_awake_s = clock.now_s() - clock.awake_s();
    state.take_up();
    state.start_sources();
}

Recorder::~Recorder() {
    for (std::jthread& thread : state_->threads) thread.request_stop();
    state_->inbox.close();
    state_->threads.clear();
}

void Recorder::step(std::chrono::milliseconds wait) {
    State& state = *state_;
    // Asked first: what a source brought before it ended is taken with this step.
    Taken taken, ends;
    state.watch_ends(ends);
    for (Arrival& arrival : state.inbox.take(wait)) state.take(std::move(arrival), taken);
    taken.events.insert(taken.events.end(), ends.events.begin(), ends.events.end());
    state.watch_clocks(taken);
    const double now_s = state.clock.now_s();
    if (now_s - state.summed_at_s >= kSumEveryS) {
        state.intake.sum_up(state.now_s(), taken);
        state.summed_at_s = now_s;
    }
    state.add(std::move(taken));
    if (now_s - state.tried_at_s >= state.options.keep_every_s) state.keep();
    if (state.trouble.empty() && (state.is_first_fold ? state.kept > 0 : now_s - state.folded_at_s >= state.options.fold_every_s))
        state.fold();
}

bool Recorder::has_ended() const {
    return std::ranges::none_of(state_->running, [](const auto& one) { return one->load(); });
}

RecorderStatus Recorder::status() const {
    const State& state = *state_;
    return {.bake = state.bake,
            .now_s = state.now_s(),
            .channels = state.intake.channels(),
            .sources = state.intake.sources(),
            .waiting = state.inbox.waiting(),
            .most_waiting = state.inbox.most(),
            .in_memory = state.pending.samples.size(),
            .most_in_memory = state.options.most_in_memory,
            .since_kept_s = state.clock.now_s() - state.kept_at_s,
            .trouble = state.trouble,
            .kept = state.kept,
            .events = state.newest,
            .goes_on = state.goes_on};
}

void Recorder::note(book::RecordingEvent event) {
    Taken noted;
    noted.events.push_back(std::move(event));
    state_->add(std::move(noted));
}

void Recorder::finish() {
    State& state = *state_;
    for (std::jthread& thread : state.threads) thread.request_stop();
    state.inbox.close();
    state.threads.clear();
    step(std::chrono::milliseconds(0));
    Taken rest;
    state.intake.sum_up(state.now_s(), rest, true);
    state.add(std::move(rest));
    for (int tries = 1; !state.seal(); ++tries) {
        if (tries == kTriesAtEnd)
            throw BookError(
                fmt::format("{}; {} readings of the recording could not be kept", state.trouble, state.pending.samples.size()));
        std::this_thread::sleep_for(std::chrono::milliseconds(500));
    }
}

void seal_recording(book::Book& book, book::BakeId bake) {
    book::LiveLog log = book::LiveLog::go_on(book, bake);
    log.seal(flagging());
}

}  // namespace bakewright::record
