// SPDX-License-Identifier: Apache-2.0
#include "recording.hpp"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>

#include "bakewright/base/error.hpp"
#include "rows.hpp"
#include "statement.hpp"

namespace bakewright::book {
namespace {

constexpr std::string_view kReadingRecording = "read a recording";

std::vector<RecordedChannel> channels_of(Connection& connection, BakeId bake) {
    Statement query(connection, "SELECT name, role, source FROM recording_channel WHERE bake_id = ?1 ORDER BY position",
                    kReadingRecording);
    query.bind(bake);
    std::vector<RecordedChannel> channels;
    while (query.step()) {
        const auto role = trace_role_from_name(query.text(1));
        if (!role)
            connection.damaged("a channel of recording " + number_text(bake) + " has the unknown role '" + query.text(1) + "'");
        channels.push_back({query.text(0), *role, query.text(2)});
    }
    return channels;
}

std::vector<RecordingEvent> events_of(Connection& connection, BakeId bake) {
    Statement query(connection,
                    "SELECT time_s, kind, source, channel, lasts_s, count, what FROM recording_event WHERE bake_id = ?1 ORDER BY "
                    "position",
                    kReadingRecording);
    query.bind(bake);
    std::vector<RecordingEvent> events;
    while (query.step())
        events.push_back({.time_s = query.real(0),
                          .kind = query.text(1),
                          .source = query.text(2),
                          .channel = query.text(3),
                          .lasts_s = query.real(4),
                          .count = query.count(5),
                          .what = query.text(6)});
    return events;
}

RecorderClock clock_of(Connection& connection, BakeId bake) {
    Statement query(connection, "SELECT boot_id, zero_s, latest_s, kept_at FROM recorder WHERE bake_id = ?1", kReadingRecording);
    if (!query.bind(bake).step()) return {};
    return {.boot_id = query.text(0), .zero_s = query.real(1), .latest_s = query.real(2), .kept_at = query.text(3)};
}

/// A book of an older schema that is read as it stands has none.
bool has_recordings(Connection& connection) { return connection.pragma("user_version") >= 5; }

bool is_still_at(int descriptor, const std::filesystem::path& file) {
    struct stat held {
    }, there{};
    return ::fstat(descriptor, &held) == 0 && ::stat(file.c_str(), &there) == 0 && held.st_ino == there.st_ino &&
           held.st_dev == there.st_dev;
}

}  // namespace

std::optional<Recording> recording_of(Book& book, BakeId bake) {
    Connection& connection = book.connection();
    const ReadScope scope(connection);
    if (!has_recordings(connection)) return std::nullopt;
    Statement query(connection, "SELECT booth, began_at, sealed_at FROM recording WHERE bake_id = ?1", kReadingRecording);
    if (!query.bind(bake).step()) return std::nullopt;
    return Recording{.bake = bake,
                     .booth = query.text(0),
                     .began_at = query.text(1),
                     .sealed_at = query.is_null(2) ? std::nullopt : std::optional(query.text(2)),
                     .channels = channels_of(connection, bake),
                     .events = events_of(connection, bake),
                     .clock = clock_of(connection, bake)};
}

std::vector<Recording> open_recordings(Book& book, std::string_view booth) {
    Connection& connection = book.connection();
    const ReadScope scope(connection);
    if (!has_recordings(connection)) return {};
    Statement query(connection,
                    "SELECT bake_id FROM recording WHERE sealed_at IS NULL AND (?1 = '' OR booth = ?1) ORDER BY began_at DESC, "
                    "bake_id DESC",
                    kReadingRecording);
    query.bind(booth);
    std::vector<Recording> found;
    while (query.step()) found.push_back(recording_of(book, query.id<BakeId>(0)).value());
    return found;
}

TraceSet recorded_since(Book& book, BakeId bake) {
    Connection& connection = book.connection();
    const ReadScope scope(connection);
    TraceSet set;
    const std::optional<Recording> recording = recording_of(book, bake);
    if (!recording || recording->sealed_at) return set;
    for (const RecordedChannel& channel : recording->channels)
        set.traces.push_back({.name = channel.name, .role = channel.role, .time_s = {}, .temperature_k = {}, .quality = {}});
    Statement query(
        connection,
        "SELECT channel, time_s, temperature_k, quality FROM recorded_sample WHERE bake_id = ?1 ORDER BY channel, time_s",
        kReadingRecording);
    query.bind(bake);
    while (query.step()) {
        if (query.count(0) >= set.traces.size()) connection.damaged("a recorded sample is of a channel that is not there");
        Trace& trace = set.traces[query.count(0)];
        trace.time_s.push_back(query.real(1));
        trace.temperature_k.push_back(query.real(2));
        trace.quality.push_back(static_cast<SampleQuality>(query.integer(3)));
    }
    return set;
}

void refuse_open_recording(Connection& connection, BakeId bake, std::string_view tried) {
    Statement query(connection, "SELECT 1 FROM recording WHERE bake_id = ?1 AND sealed_at IS NULL", kReadingRecording);
    if (!query.bind(bake).step()) return;
    const std::string number = number_text(bake);
    connection.not_there("bake", "bake " + number + " is being recorded and is not " + std::string(tried) +
                                     "; stop its recorder, or where that has died: bakewright record --seal " + number);
}

void insert_event(Connection& connection, std::string_view table, BakeId bake, const RecordingEvent& event) {
    const std::string name(table);
    Statement(connection,
              "INSERT INTO " + name + " (bake_id, position, time_s, kind, source, channel, lasts_s, count, what) VALUES (?1, " +
                  "(SELECT coalesce(max(position) + 1, 0) FROM " + name + " WHERE bake_id = ?1), ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
              "keep what happened to a recording")
        .bind(bake, event.time_s, event.kind, event.source, event.channel, event.lasts_s, event.count, event.what)
        .run();
}

RecordingLock::RecordingLock(const Connection& connection, std::string_view uid)
    : file_(connection.file().string() + "-recording-" + std::string(uid.substr(0, 8))) {
    for (;;) {
        descriptor_ = ::open(file_.c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0600);
        if (descriptor_ < 0)
            throw BookError(file_.string() + ": could not be made to say that the log is being recorded: " +
                            std::strerror(errno) + "; nothing was changed");
        if (::flock(descriptor_, LOCK_EX | LOCK_NB) != 0) {
            ::close(descriptor_);
            connection.not_there("bake", "another program is recording this log");
        }
        if (is_still_at(descriptor_, file_)) return;
        ::close(descriptor_);  // who had it before has just removed it
    }
}

RecordingLock::~RecordingLock() {
    ::unlink(file_.c_str());  // while the lock is held: nobody can have taken it
    ::close(descriptor_);
}

}  // namespace bakewright::book
