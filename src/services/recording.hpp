// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "bakewright/bake/booth.hpp"
#include "bakewright/bake/cycle.hpp"
#include "bakewright/book/book.hpp"
#include "bakewright/book/ids.hpp"
#include "bakewright/cure/coating.hpp"
#include "bakewright/probe/source_record.hpp"
#include "bakewright/profile/shell_profile.hpp"
#include "bakewright/record/recorder.hpp"

namespace bakewright::services {

/// A bake to be recorded as it happens.
struct RecordingTask {
    std::vector<probe::SourceRecord> sources{};  ///< at least one, each under an id of its own
    std::optional<profile::ShellProfile> shell{};
    std::optional<bake::Booth> booth{};
    std::optional<cure::Coating> coating{};
    std::optional<bake::Cycle> cycle{};  ///< that is set
    std::optional<book::BakeId> of{};    ///< the prediction it is the log of
    std::string title{};                 ///< "recorded" and the moment where empty
    std::string program_version{};
};

/// What the booth of a recording is called: recordings that broke off are gone on with by it.
[[nodiscard]] std::string recorded_booth(const RecordingTask& task);

/// How many times as fast as the clock the recording runs: the speed of a replay; 1 without one.
/// @throws InputError where a replay at another speed than 1 stands beside another source
[[nodiscard]] double recording_speed(const RecordingTask& task);

/// What a recorder is given: records kept in the book, sources made, channels named as an import names them.
/// @throws InputError where a channel's place is nothing of the shell, a saved reading or a bake to be replayed is not in the
/// book
[[nodiscard]] record::RecorderTask recorder_task(book::Book& book, const RecordingTask& task);

}  // namespace bakewright::services
