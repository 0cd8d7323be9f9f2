// SPDX-License-Identifier: Apache-2.0
#include "bakewright/services/recording.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>
#include <utility>

#include "bakewright/base/error.hpp"
#include "bakewright/book/bake_repository.hpp"
#include "bakewright/book/trace_repository.hpp"
#include "bakewright/probe/map_channels.hpp"
#include "bakewright/services/entered.hpp"
#include "bakewright/services/import_log.hpp"
#include "bakewright/services/saved_readings.hpp"
#include "bakewright/services/stored_bake.hpp"

namespace bakewright::services {
namespace {

/// Channels are named as those of a log are: by their place where it is told, else by their name.
std::vector<book::RecordedChannel> place_channels(const std::string& source, const std::vector<probe::SourceChannel>& channels,
                                                  const std::optional<bake::Shell>& shell) {
    TraceSet set;
    std::vector<probe::ChannelMapping> given;
    for (const probe::SourceChannel& channel : channels) {
        set.traces.push_back(
            {.name = channel.name, .role = TraceRole::unmapped, .time_s = {}, .temperature_k = {}, .quality = {}});
        if (!channel.place.empty())
            given.push_back(
                mapping_to(channel.name, channel.place, shell, fmt::format("source '{}', channel '{}'", source, channel.name)));
    }
    static_cast<void>(probe::map_channels(set, given, shell ? mapping_targets(*shell) : std::vector<probe::MappingTarget>{}));
    std::vector<book::RecordedChannel> placed;
    for (const Trace& trace : set.traces) placed.push_back({trace.name, trace.role, source});
    return placed;
}

record::SourceNeeds needs_of(book::Book& book, const probe::SourceRecord& source) {
    record::SourceNeeds needs;
    if (source.lines && !source.lines->reading.empty())
        needs.reading = read_options(with_saved({}, saved_reading(book, source.lines->reading)));
    if (source.way == probe::SourceWay::replay) {
        const book::BakeId id = bake_id(book, source.replay->bake, "--replay");
        if (book::BakeRepository(book).get(id).kind != book::BakeKind::logged)
            refuse_option("--replay", fmt::format("bake {} was predicted; a replay is of a logged bake", source.replay->bake));
        needs.replayed = book::TraceRepository(book).load(id);
    }
    return needs;
}

std::vector<book::DocumentId> keep_documents(book::Book& book, const RecordingTask& task) {
    std::vector<book::DocumentId> documents;
    if (task.shell) documents.push_back(keep(book, *task.shell));
    if (task.booth) documents.push_back(keep(book, *task.booth));
    if (task.coating) documents.push_back(keep(book, *task.coating));
    if (task.cycle) documents.push_back(keep(book, *task.cycle));
    for (const probe::SourceRecord& source : task.sources) documents.push_back(keep(book, source));
    return documents;
}

}  // namespace

std::string recorded_booth(const RecordingTask& task) { return task.booth ? task.booth->id : "booth"; }

double recording_speed(const RecordingTask& task) {
    double speed = 1.0;
    for (const probe::SourceRecord& source : task.sources)
        if (source.way == probe::SourceWay::replay) speed = source.replay->speed;
    const bool is_one_clock = std::ranges::all_of(task.sources, [&](const probe::SourceRecord& source) {
        return source.way == probe::SourceWay::replay ? source.replay->speed == speed : speed == 1.0;
    });
    if (!is_one_clock)
        refuse_option("--source", "a replay runs beside other sources at speed 1 alone, and beside other replays at their speed");
    return speed;
}

record::RecorderTask recorder_task(book::Book& book, const RecordingTask& task) {
    ensure(!task.sources.empty(), "a recording has a source");
    std::set<std::string> names;
    record::RecorderTask made;
    std::optional<bake::Shell> shell;
    if (task.shell) shell = task.shell->shell;
    for (const probe::SourceRecord& source : task.sources) {
        if (!names.insert(source.id).second) refuse_option("--source", fmt::format("'{}' is there twice", source.id));
        static_cast<void>(place_channels(source.id, source.channels, shell));  // what is wrong is told before anything begins
        made.sources.push_back({source.id, source.interval_s, record::make_source(source, needs_of(book, source))});
    }
    made.booth = recorded_booth(task);
    book::Transaction transaction(book);
    made.bake.kind = book::BakeKind::logged;
    made.bake.documents = keep_documents(book, task);
    made.bake.paired_bake = task.of;
    made.bake.program_version = task.program_version;
    made.bake.title = task.title.empty() ? "recorded live" : entered_text("--title", task.title);
    transaction.commit();
    made.place = [shell](const std::string& source, const std::vector<probe::SourceChannel>& channels) {
        return place_channels(source, channels, shell);
    };
    return made;
}

}  // namespace bakewright::services
