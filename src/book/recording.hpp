// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <filesystem>
#include <string_view>

#include "bakewright/book/live_log.hpp"
#include "connection.hpp"

/// The rows of recordings, read; and who has one.
namespace bakewright::book {

/// @throws InputError where the bake is a recording that is not sealed. @param tried  "removed"
void refuse_open_recording(Connection& connection, BakeId bake, std::string_view tried);

/// Writes an event as the next one of a table of them.
void insert_event(Connection& connection, std::string_view table, BakeId bake, const RecordingEvent& event);

/// What a program holds as long as it records: a lock on a file beside the book, which goes with the program however it ends.
class RecordingLock {
public:
    /// @throws InputError where another program has it; BookError where the file cannot be made
    RecordingLock(const Connection& connection, std::string_view uid);
    ~RecordingLock();
    RecordingLock(const RecordingLock&) = delete;
    RecordingLock& operator=(const RecordingLock&) = delete;

private:
    std::filesystem::path file_;
    int descriptor_ = -1;
};

}  // namespace bakewright::book
