// SPDX-License-Identifier: Apache-2.0
#include "bakewright/book/live_log.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <set>
#include <utility>

#include "bakewright/base/error.hpp"
#include "bakewright/codec/block.hpp"
#include "bakewright/codec/samples.hpp"
#include "journal.hpp"
#include "recording.hpp"
#include "rows.hpp"
#include "statement.hpp"
#include "trace_rows.hpp"

namespace bakewright::book {
namespace {

constexpr std::string_view kRecording = "record a log";
/// What a trace closes at a time: 1.1 h at one sample a second, packed anew every minute as long as it is open.
constexpr std::size_t kClosedSamples = 4096;

}  // namespace

/// A channel and the part of its trace that is held open.
struct OpenTrace {
    RecordedChannel channel;
    std::size_t position = 0;            ///< of the channel in the recording
    std::optional<std::size_t> trace{};  ///< position of its trace; none before its first sample is folded
    std::int64_t trace_id = 0;           ///< of that row
    std::size_t closed_blocks = 0;
    codec::PartStatistics closed{};  ///< of what is in them
    Trace open{};                    ///< flags as they came, one each

    [[nodiscard]] double latest_s() const {
        return open.size() > 0 ? open.time_s.back() : closed.sample_count > 0 ? closed.last_time_s : std::nan("");
    }
    /// Whether a sample of this time can still be put in.
    [[nodiscard]] bool takes(double time_s) const {
        if (closed.sample_count > 0 && !(time_s > closed.last_time_s)) return false;
        return open.size() == 0 || time_s > open.time_s.back() || !std::ranges::binary_search(open.time_s, time_s);
    }
    void put(const RecordedSample& sample) {
        const auto at = std::ranges::upper_bound(open.time_s, sample.time_s) - open.time_s.begin();
        open.time_s.insert(open.time_s.begin() + at, sample.time_s);
        open.temperature_k.insert(open.temperature_k.begin() + at, sample.temperature_k);
        open.quality.insert(open.quality.begin() + at, sample.quality);
    }
};

namespace {

/// Samples [first, first + count), without flags where all are good.
Trace part_of(const Trace& trace, std::size_t first, std::size_t count) {
    const auto cut = [&](const auto& values) {
        return std::vector(values.begin() + static_cast<std::ptrdiff_t>(first),
                           values.begin() + static_cast<std::ptrdiff_t>(first + count));
    };
    Trace part{trace.name, trace.role, cut(trace.time_s), cut(trace.temperature_k), {}};
    if (!trace.quality.empty()) part.quality = cut(trace.quality);
    if (std::ranges::all_of(part.quality, [](SampleQuality quality) { return quality == SampleQuality::good; }))
        part.quality.clear();
    return part;
}

void update_trace_row(Connection& connection, std::int64_t trace_id, const TraceSummary& summary) {
    Statement(
        connection,
        "UPDATE trace SET sample_count = ?2, usable_count = ?3, first_time_s = ?4, last_time_s = ?5, min_temperature_k = ?6, "
        "max_temperature_k = ?7, mean_temperature_k = ?8 WHERE trace_id = ?1",
        kRecording)
        .bind(trace_id, summary.sample_count, summary.usable_count, summary.first_time_s, summary.last_time_s,
              summary.min_temperature_k, summary.max_temperature_k, summary.mean_temperature_k)
        .run();
}

void insert_channel(Connection& connection, BakeId bake, std::size_t position, const RecordedChannel& channel) {
    Statement(connection, "INSERT INTO recording_channel (bake_id, position, name, role, source) VALUES (?1, ?2, ?3, ?4, ?5)",
              kRecording)
        .bind(bake, position, channel.name, trace_role_name(channel.role), channel.source)
        .run();
}

void put_clock(Connection& connection, BakeId bake, const RecorderClock& clock) {
    Statement(connection,
              "INSERT OR REPLACE INTO recorder (bake_id, boot_id, zero_s, latest_s, kept_at) VALUES (?1, ?2, ?3, ?4, ?5)",
              kRecording)
        .bind(bake, clock.boot_id, clock.zero_s, clock.latest_s, clock.kept_at)
        .run();
}

/// A trace that is there already: all but its newest block is closed.
void take_up(Connection& connection, const StoredTrace& stored, const StoredTrace& first, std::size_t position, OpenTrace& open) {
    open.trace = position;
    open.trace_id = stored.trace_id;
    BlockReader blocks(connection, stored, first);
    std::optional<Trace> part = blocks.next();
    while (part) {
        std::optional<Trace> next = blocks.next();
        if (!next) break;
        codec::append(open.closed, codec::statistics_of(codec::samples_of(*part, 0, part->size())));
        ++open.closed_blocks;
        part = std::move(next);
    }
    if (!part) return;
    part->quality.resize(part->size(), SampleQuality::good);
    open.open = *std::move(part);
}

}  // namespace

struct LiveLog::State {
    State(Connection& in_book, BakeId of, std::string_view uid) : connection(in_book), bake(of), lock(in_book, uid) {}

    Connection& connection;
    BakeId bake;
    RecordingLock lock;
    std::vector<OpenTrace> traces;
    std::vector<RecordedChannel> channels;
    RecorderClock clock;
    bool is_folded = true;

    void add(const RecordedChannel& channel, std::size_t position) {
        OpenTrace& made = traces.emplace_back(OpenTrace{.channel = channel, .position = position});
        made.open.name = channel.name;
        made.open.role = channel.role;
        channels.push_back(channel);
    }

    void write_open(const Flagging& flagging, std::vector<OpenTrace>& after);
    void take_up_traces();
    void take_up_kept();
};

/// Writes the open part of every trace, as one block or, where it has grown, one that is closed and one that is open.
/// @param after  becomes what the traces are once that is committed
void LiveLog::State::write_open(const Flagging& flagging, std::vector<OpenTrace>& after) {
    after = traces;
    std::vector<Trace> flagged;
    for (const OpenTrace& one : traces) flagged.push_back(one.open);
    if (flagging) flagging(flagged);
    std::size_t next = 0;
    std::size_t first = after.size();  // the trace on whose times the others may rest
    for (std::size_t i = 0; i < after.size(); ++i) {
        if (after[i].trace) next = std::max(next, *after[i].trace + 1);
        if (after[i].trace == std::size_t{0}) first = i;
    }
    Statement remove(connection, "DELETE FROM trace_block WHERE trace_id = ?1 AND position >= ?2", kRecording);
    for (std::size_t i = 0; i < after.size(); ++i) {
        OpenTrace& one = after[i];
        const Trace& open = flagged[i];
        if (open.size() == 0) continue;
        if (!one.trace) {
            one.trace = next++;
            one.trace_id = insert_trace_row(connection, bake, *one.trace, summary_of(open, {}));
            if (*one.trace == 0) first = i;
        }
        remove.bind(one.trace_id, one.closed_blocks).run();
        const Trace& times = flagged[first];
        const bool rests = i != first && traces[i].closed.sample_count == traces[first].closed.sample_count &&
                           traces[i].closed_blocks == traces[first].closed_blocks && open.time_s == times.time_s;
        codec::PartStatistics whole = one.closed;
        const std::size_t closes = open.size() >= 2 * kClosedSamples ? kClosedSamples : 0;
        for (const auto& [begin, count] : {std::pair{std::size_t{0}, closes}, std::pair{closes, open.size() - closes}}) {
            if (count == 0) continue;
            const Trace part = part_of(open, begin, count);
            const codec::Samples samples = codec::samples_of(part, 0, count);
            insert_block(connection, one.trace_id, one.closed_blocks + (begin > 0 ? 1 : 0), count,
                         codec::pack_block(samples, rests ? codec::BlockTimes::first_traces : codec::BlockTimes::own));
            codec::append(whole, codec::statistics_of(samples));
            if (closes > 0 && begin == 0) one.closed = whole;
        }
        update_trace_row(connection, one.trace_id, summary_of(open, whole));
        if (closes == 0) continue;
        ++one.closed_blocks;
        Trace rest = part_of(one.open, closes, open.size() - closes);
        rest.quality.resize(rest.size(), SampleQuality::good);
        one.open = std::move(rest);
    }
}

void LiveLog::State::take_up_traces() {
    Statement query(connection, std::string(kSelectTrace) + "WHERE bake_id = ?1 ORDER BY position", kRecording);
    query.bind(bake);
    std::vector<StoredTrace> stored;
    while (query.step()) stored.push_back(stored_trace_of(connection, query));
    for (std::size_t position = 0; position < stored.size(); ++position)
        for (OpenTrace& one : traces)
            if (one.channel.name == stored[position].summary.name)
                take_up(connection, stored[position], stored.front(), position, one);
}

void LiveLog::State::take_up_kept() {
    Statement query(
        connection,
        "SELECT channel, time_s, temperature_k, quality FROM recorded_sample WHERE bake_id = ?1 ORDER BY channel, time_s",
        kRecording);
    query.bind(bake);
    while (query.step())
        for (OpenTrace& one : traces) {
            const RecordedSample sample{.channel = 0,
                                        .time_s = query.real(1),
                                        .temperature_k = query.real(2),
                                        .quality = static_cast<SampleQuality>(query.integer(3))};
            if (one.position == query.count(0) && one.takes(sample.time_s)) one.put(sample);
        }
    is_folded = false;
}

LiveLog::LiveLog(std::unique_ptr<State> state) noexcept : state_(std::move(state)) {}
LiveLog::LiveLog(LiveLog&&) noexcept = default;
LiveLog& LiveLog::operator=(LiveLog&&) noexcept = default;
LiveLog::~LiveLog() = default;

LiveLog LiveLog::begin(Book& book, const NewBake& bake, std::string_view booth, std::vector<RecordedChannel> channels,
                       const RecorderClock& clock) {
    std::set<std::string> names;
    for (const RecordedChannel& channel : channels) names.insert(channel.name);
    ensure(!channels.empty() && names.size() == channels.size(), "a recording has channels, each under a name of its own");
    ensure(bake.kind == BakeKind::logged && bake.logs.empty() && !booth.empty(), "a recording is a logged bake without a file");
    Connection& connection = book.connection();
    Transaction transaction(connection);
    BakeRepository bakes(book);
    const BakeId id = bakes.add(bake);
    auto state = std::make_unique<State>(connection, id, bakes.get(id).uid);
    Statement(connection, "INSERT INTO recording (bake_id, booth, began_at) VALUES (?1, ?2, ?3)", kRecording)
        .bind(id, booth, connection.now())
        .run();
    for (std::size_t i = 0; i < channels.size(); ++i) {
        insert_channel(connection, id, i, channels[i]);
        state->add(channels[i], i);
    }
    put_clock(connection, id, clock);
    state->clock = clock;
    transaction.commit();
    return LiveLog(std::move(state));
}

LiveLog LiveLog::go_on(Book& book, BakeId bake, const std::vector<RecordedChannel>& channels) {
    Connection& connection = book.connection();
    const std::string uid = BakeRepository(book).get(bake).uid;
    auto state = std::make_unique<State>(connection, bake, uid);
    Transaction transaction(connection);
    const std::optional<Recording> recording = recording_of(book, bake);
    if (!recording || recording->sealed_at)
        connection.not_there("bake",
                             "bake " + number_text(bake) + (recording ? " is a recording that has ended" : " was not recorded"));
    std::vector<RecordedChannel> known = recording->channels;
    const std::size_t had = known.size();
    std::set<std::size_t> given;
    for (const RecordedChannel& channel : channels) {
        const auto at = std::ranges::find(known, channel.name, &RecordedChannel::name);
        const auto position = static_cast<std::size_t>(at - known.begin());
        if (at == known.end()) known.push_back(channel);
        ensure(given.insert(position).second, "a recording has each channel once");
        state->add(known[position], position);
    }
    for (std::size_t i = 0; i < had; ++i)
        if (!given.contains(i)) state->add(known[i], i);
    if (known.size() > had) {
        about_to_change(connection, aggregate_of(connection, bake));
        for (std::size_t i = had; i < known.size(); ++i) insert_channel(connection, bake, i, known[i]);
    }
    state->clock = recording->clock;
    state->take_up_traces();
    state->take_up_kept();
    transaction.commit();
    return LiveLog(std::move(state));
}

BakeId LiveLog::bake() const noexcept { return state_->bake; }
const std::vector<RecordedChannel>& LiveLog::channels() const noexcept { return state_->channels; }
const RecorderClock& LiveLog::clock() const noexcept { return state_->clock; }
double LiveLog::latest_s(std::size_t channel) const { return state_->traces.at(channel).latest_s(); }

std::uint64_t LiveLog::sample_count() const noexcept {
    std::uint64_t count = 0;
    for (const OpenTrace& one : state_->traces) count += one.closed.sample_count + one.open.size();
    return count;
}

TraceSet LiveLog::newest() const {
    TraceSet set;
    for (const OpenTrace& one : state_->traces) set.traces.push_back(one.open);
    return set;
}

void LiveLog::add(const std::vector<RecordedChannel>& channels) {
    State& state = *state_;
    std::size_t position = 0;
    for (const OpenTrace& one : state.traces) position = std::max(position, one.position + 1);
    std::set<std::string> names;
    for (const RecordedChannel& channel : state.channels) names.insert(channel.name);
    Transaction transaction(state.connection);
    about_to_change(state.connection, aggregate_of(state.connection, state.bake));
    for (std::size_t i = 0; i < channels.size(); ++i) {
        ensure(names.insert(channels[i].name).second, "a recording has each channel once");
        insert_channel(state.connection, state.bake, position + i, channels[i]);
    }
    transaction.commit();
    for (std::size_t i = 0; i < channels.size(); ++i) state.add(channels[i], position + i);
}

std::size_t LiveLog::keep(std::span<const RecordedSample> samples, std::span<const RecordingEvent> events,
                          const RecorderClock& clock) {
    State& state = *state_;
    std::vector<RecordedSample> taken;
    std::set<std::pair<std::size_t, double>> times;
    for (const RecordedSample& sample : samples) {
        ensure(sample.channel < state.traces.size() && std::isfinite(sample.time_s), "a sample has a channel and a time");
        if (state.traces[sample.channel].takes(sample.time_s) && times.emplace(sample.channel, sample.time_s).second)
            taken.push_back(sample);
    }
    Transaction transaction(state.connection);
    Statement insert(
        state.connection,
        "INSERT OR REPLACE INTO recorded_sample (bake_id, channel, time_s, temperature_k, quality) VALUES (?1, ?2, ?3, "
        "?4, ?5)",
        kRecording);
    for (const RecordedSample& sample : taken)
        insert
            .bind(state.bake, state.traces[sample.channel].position, sample.time_s, sample.temperature_k,
                  static_cast<int>(sample.quality))
            .run();
    for (const RecordingEvent& event : events) insert_event(state.connection, "recorded_event", state.bake, event);
    put_clock(state.connection, state.bake, clock);
    transaction.commit();
    for (const RecordedSample& sample : taken) state.traces[sample.channel].put(sample);
    state.clock = clock;
    if (!taken.empty() || !events.empty()) state.is_folded = false;
    return samples.size() - taken.size();
}

void LiveLog::fold(const Flagging& flagging) {
    State& state = *state_;
    if (state.is_folded) return;
    std::vector<OpenTrace> after;
    Transaction transaction(state.connection);
    about_to_change(state.connection, aggregate_of(state.connection, state.bake));
    state.write_open(flagging, after);
    Statement(
        state.connection,
        "INSERT INTO recording_event (bake_id, position, time_s, kind, source, channel, lasts_s, count, what) SELECT bake_id, "
        "position + (SELECT coalesce(max(position) + 1, 0) FROM recording_event WHERE bake_id = ?1), time_s, kind, source, "
        "channel, lasts_s, count, what FROM recorded_event WHERE bake_id = ?1 ORDER BY position",
        kRecording)
        .bind(state.bake)
        .run();
    for (const std::string_view sql :
         {"DELETE FROM recorded_sample WHERE bake_id = ?1", "DELETE FROM recorded_event WHERE bake_id = ?1"})
        Statement(state.connection, sql, kRecording).bind(state.bake).run();
    transaction.commit();
    state.traces = std::move(after);
    state.is_folded = true;
}

void LiveLog::seal(const Flagging& flagging) {
    State& state = *state_;
    fold(flagging);
    Transaction transaction(state.connection);
    about_to_change(state.connection, aggregate_of(state.connection, state.bake));
    Statement(state.connection, "UPDATE recording SET sealed_at = ?2 WHERE bake_id = ?1 AND sealed_at IS NULL", kRecording)
        .bind(state.bake, state.connection.now())
        .run();
    Statement(state.connection, "DELETE FROM recorder WHERE bake_id = ?1", kRecording).bind(state.bake).run();
    if (flagging) {
        TraceSet whole = load_traces(state.connection, state.bake);
        flagging(whole.traces);
        Statement(state.connection, "DELETE FROM trace WHERE bake_id = ?1", kRecording).bind(state.bake).run();
        store_traces(state.connection, state.bake, whole);
    }
    transaction.commit();
}

}  // namespace bakewright::book
