// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/base/trace.hpp"
#include "bakewright/book/bake_repository.hpp"
#include "bakewright/book/book.hpp"
#include "bakewright/book/ids.hpp"

namespace bakewright::book {

/// What one channel of a recording is the trace of. Names are unique within it.
struct RecordedChannel {
    std::string name{};                    ///< of the trace
    TraceRole role = TraceRole::unmapped;  ///< of the trace
    std::string source{};                  ///< name of the source that it comes from
};

/// One sample as it came.
struct RecordedSample {
    std::size_t channel = 0;     ///< index among the channels
    double time_s = 0.0;         ///< finite; since the start of the recording
    double temperature_k = 0.0;  ///< NaN where it is missing
    SampleQuality quality = SampleQuality::good;
};

/// Something that happened to a recording and that a reader of the log should know.
struct RecordingEvent {
    double time_s = 0.0;      ///< since the start of the recording
    std::string kind{};       ///< "gap", "late", "lost", "clock", "source", ...; not empty
    std::string source{};     ///< empty: the recorder itself
    std::string channel{};    ///< empty: all of the source
    double lasts_s = 0.0;     ///< how long, or by how much, where that has a meaning; else 0
    std::uint64_t count = 0;  ///< how many samples, where that has a meaning; else 0
    std::string what{};       ///< a sentence for people
};

/// Where the recording's time 0 lies on the clock of the computer that counts on while it sleeps; it begins anew with each start
/// of the computer.
struct RecorderClock {
    std::string boot_id{};  ///< which start of the computer; empty where it cannot be told
    double zero_s = 0.0;    ///< reading of that clock at time 0 of the recording [s]
    double latest_s = 0.0;  ///< time of the recording when it was last kept [s]
    std::string kept_at{};  ///< the same by the computer's wall clock, UTC
};

/// A recording as the book tells of it.
struct Recording {
    BakeId bake{};
    std::string booth{};                     ///< what the recorder was told it records; not empty
    std::string began_at{};                  ///< UTC
    std::optional<std::string> sealed_at{};  ///< UTC; nothing while it goes on
    std::vector<RecordedChannel> channels{};
    std::vector<RecordingEvent> events{};  ///< as far as they stand with the traces, in order
    RecorderClock clock{};                 ///< empty once it is sealed
};

/// Nothing for a bake that was not recorded.
[[nodiscard]] std::optional<Recording> recording_of(Book& book, BakeId bake);
/// Recordings that are not sealed, the newest first. @param booth  of this one alone; empty: all
[[nodiscard]] std::vector<Recording> open_recordings(Book& book, std::string_view booth = {});

/// What was kept of a recording and does not stand in its traces yet, a trace a channel: the last minute, for one who watches
/// from another program. Empty where it is sealed. The flags are those that the samples came with.
[[nodiscard]] TraceSet recorded_since(Book& book, BakeId bake);

/// What the log of a recording calls usable: sets the flags of traces, whose values stay. Gets what a recording still holds open,
/// or at the end all of it.
using Flagging = std::function<void(std::vector<Trace>&)>;

/// The log of a bake while it is recorded: a logged bake like any other whose traces grow.
///
/// keep() makes samples durable, in a table of their own; fold() moves them into the traces, where everything that reads bakes
/// finds them. What keep() has taken is there after a crash and comes into the traces with go_on(). Of each trace the newest 4096
/// to 8191 samples are held open, so that a late sample can be put in its place. Only one program at a time has a recording; a
/// lock on a file beside the book goes with the program that holds it. Every call may throw BookError: nothing of that call is
/// kept then, and it may be made again.
class LiveLog {
public:
    /// Makes the bake. @param bake  its kind is logged, it has no logs
    /// @throws PromiseError where channels are none or share a name
    [[nodiscard]] static LiveLog begin(Book& book, const NewBake& bake, std::string_view booth,
                                       std::vector<RecordedChannel> channels, const RecorderClock& clock);
    /// Goes on with a recording that is not sealed.
    /// @param channels  those that come from now on; of one that is known the role stays. Indices are these from now on
    /// @throws InputError where there is no such recording, it is sealed, or another program has it
    [[nodiscard]] static LiveLog go_on(Book& book, BakeId bake, const std::vector<RecordedChannel>& channels = {});

    LiveLog(LiveLog&&) noexcept;
    LiveLog& operator=(LiveLog&&) noexcept;
    ~LiveLog();

    [[nodiscard]] BakeId bake() const noexcept;
    /// Those given, then those of the recording that were not.
    [[nodiscard]] const std::vector<RecordedChannel>& channels() const noexcept;
    [[nodiscard]] const RecorderClock& clock() const noexcept;
    /// Time of a channel's newest sample [s]; NaN where it has none.
    [[nodiscard]] double latest_s(std::size_t channel) const;
    /// Samples of all channels together.
    [[nodiscard]] std::uint64_t sample_count() const noexcept;
    /// The newest samples of every channel, as they are held open; for one who has to go on where another left off.
    [[nodiscard]] TraceSet newest() const;

    /// Adds channels behind those there are. @throws PromiseError where one has a name that is there
    void add(const std::vector<RecordedChannel>& channels);

    /// Makes samples and events durable, in one transaction.
    /// @return how many samples were not taken: their time is taken, or lies before what is held open
    std::size_t keep(std::span<const RecordedSample> samples, std::span<const RecordingEvent> events, const RecorderClock& clock);
    /// Moves what was kept into the traces.
    void fold(const Flagging& flagging = {});
    /// Folds and ends the recording: it is a log like one that was imported. It cannot go on.
    /// @param flagging  gets the whole log, which is then held in memory; empty leaves the flags of fold()
    void seal(const Flagging& flagging = {});

private:
    struct State;
    explicit LiveLog(std::unique_ptr<State> state) noexcept;
    std::unique_ptr<State> state_;
};

}  // namespace bakewright::book
