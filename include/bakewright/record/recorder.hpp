// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <chrono>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "bakewright/base/error.hpp"
#include "bakewright/book/book.hpp"
#include "bakewright/book/live_log.hpp"
#include "bakewright/record/intake.hpp"
#include "bakewright/record/source.hpp"
#include "bakewright/record/timebase.hpp"

namespace bakewright::record {

struct RecorderOptions {
    double keep_every_s = 2.0;   ///< samples are made durable so often; with what a commit may take they are within five seconds
    double fold_every_s = 60.0;  ///< the traces of the bake are brought up to date so often
    std::size_t most_waiting = 90'000;  ///< readings between sources and recorder, Inbox
    std::size_t most_in_memory =
        2'000'000;  ///< samples that cannot be kept because the book refuses: 32 channels at 1 Hz for 17 h, 64 MB
    double go_on_within_s = 7200.0;          ///< a recording that broke off is gone on with where its last sample is not older
    std::uint64_t most_flagged = 4'000'000;  ///< a longer recording is not gone through once more when it is sealed

    /// @throws InputError
    void check() const;
};

/// What a recording is made of.
struct RecorderTask {
    std::string booth{};  ///< recordings of one booth go on; not empty
    book::NewBake bake{};
    struct NamedSource {
        std::string name{};  ///< unique
        double interval_s = 1.0;
        std::unique_ptr<Source> source{};
    };
    std::vector<NamedSource> sources{};
    /// What channels of a source are the traces of; names that are there already are to be left out of the answer's names.
    std::function<std::vector<book::RecordedChannel>(const std::string& source,
                                                     const std::vector<probe::SourceChannel>& channels)>
        place{};
    /// Told, in the recorder's thread, for every batch of new samples before they are kept; channels by index in `channels`. A
    /// sample may be older than those before it. What was recorded before this program began, where it goes on, stands in the
    /// book (TraceRepository::load() of RecorderStatus::bake) from the first step on. May be empty.
    std::function<void(std::span<const book::RecordedSample> samples, const std::vector<ChannelStatus>& channels, double now_s)>
        observer{};
};

/// How a recording stands.
struct RecorderStatus {
    std::optional<book::BakeId> bake{};  ///< nothing before the first source has told its channels
    double now_s = 0.0;                  ///< of the recording
    std::vector<ChannelStatus> channels{};
    std::vector<SourceStatus> sources{};
    std::size_t waiting = 0, most_waiting = 0;
    std::size_t in_memory = 0, most_in_memory = 0;  ///< samples that are not kept yet
    double since_kept_s = 0.0;                      ///< seconds since the book last took what there was
    std::string trouble{};                          ///< why it does not now; empty where it does
    std::uint64_t kept = 0;                         ///< samples that are in the book
    std::vector<book::RecordingEvent> events{};     ///< the newest, at most 8
    bool goes_on = false;                           ///< a recording that broke off is gone on with
};

/// Records from several sources at once into one log of a book.
class Recorder {
public:
    /// Starts the sources. @param book, clock  must outlive it
    /// @throws InputError where the booth is being recorded by another program; BookError where the book cannot be read
    Recorder(book::Book& book, RecorderTask task, const Timebase& clock, RecorderOptions options = {});
    ~Recorder();
    Recorder(const Recorder&) = delete;
    Recorder& operator=(const Recorder&) = delete;

    /// Takes what came, after waiting for it at most so long, and keeps and folds what is due. A book that refuses is told in the
    /// status and tried again; it is no error here.
    void step(std::chrono::milliseconds wait);
    /// Whether every source has ended by itself.
    [[nodiscard]] bool has_ended() const;
    [[nodiscard]] RecorderStatus status() const;
    /// Writes down beside the log something that somebody who watches it found, such as a warning; kept with the next samples.
    void note(book::RecordingEvent event);
    /// Ends the sources, keeps the rest and seals the log. @throws BookError where the book refuses: what it has taken stays, as
    /// a recording that broke off
    void finish();

private:
    struct State;
    std::unique_ptr<State> state_;
};

/// Ends a recording that broke off. @throws InputError, BookError as LiveLog::go_on()
void seal_recording(book::Book& book, book::BakeId bake);

}  // namespace bakewright::record
