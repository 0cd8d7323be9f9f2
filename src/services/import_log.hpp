// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "bakewright/bake/booth.hpp"
#include "bakewright/base/work.hpp"
#include "bakewright/book/book.hpp"
#include "bakewright/book/ids.hpp"
#include "bakewright/book/raw_file_repository.hpp"
#include "bakewright/book/trace_repository.hpp"
#include "bakewright/codec/samples.hpp"
#include "bakewright/cure/coating.hpp"
#include "bakewright/probe/map_channels.hpp"
#include "bakewright/probe/merge_logs.hpp"
#include "bakewright/probe/paged_log.hpp"
#include "bakewright/probe/probe_record.hpp"
#include "bakewright/probe/read_log.hpp"
#include "bakewright/report/answer.hpp"
#include "bakewright/report/json.hpp"
#include "bakewright/report/text.hpp"
#include "bakewright/services/reading_options.hpp"
#include "bakewright/services/stored_bake.hpp"

namespace bakewright::services {

/// A probe file as it came.
struct LogFile {
    std::string path;  ///< as the user named it, for messages
    std::string name;  ///< to be kept
    std::string bytes;
};

/// A log to be brought in, and what is known about it.
struct ImportTask {
    LogFile file;
    GivenOptions reading;                        ///< overrules how the file is read; `air` and `map` say what a column is
    std::optional<LogFile> second;               ///< of another logger at the same bake
    probe::MergeOptions merge;                   ///< how the second is put on the time of the first
    std::optional<profile::ShellProfile> shell;  ///< its zones and items are what channels may be
    std::optional<bake::Booth> booth;
    std::optional<cure::Coating> coating;
    std::optional<probe::ProbeSet> probes;  ///< records of the probes: readings are corrected
    std::optional<book::BakeId> of;         ///< the prediction it is the log of
    std::string title;                      ///< the file's name where empty
    std::string program_version;
};

/// One file of it as read.
struct ReadLog {
    std::string file_name;
    std::string bytes;
    std::string options_json;  ///< how it was read
    probe::ProbeLog log;
    std::shared_ptr<const book::PackedFile> packed;  ///< of a log that was read page by page, instead of the bytes
};

/// Everything that becomes one bake.
struct ImportedLog {
    std::vector<ReadLog> files;
    TraceSet traces;                                     ///< without samples where the log was read page by page
    std::shared_ptr<const codec::PartwiseTraces> paged;  ///< the traces of such a log, named and corrected
    std::shared_ptr<const book::PackedTraces> packed;    ///< the same packed, where they will be kept
    std::optional<probe::MergedLogs> merged;
    probe::MappingResult mapped;
    std::optional<probe::ProbeSet> probes;  ///< channels bear the names of the traces
    probe::ProbeUse probe_use;
};

/// What a channel may be found to be by its name: zones, cavities and items of a shell.
[[nodiscard]] std::vector<probe::MappingTarget> mapping_targets(const bake::Shell& shell);

/// A channel that is a zone, cavity or item of the shell, "booth air" or a surface of the booth; without a shell any other name
/// is a zone.
/// @param option  what to name where it is none of them @throws InputError
[[nodiscard]] probe::ChannelMapping mapping_to(const std::string& channel, const std::string& name,
                                               const std::optional<bake::Shell>& shell, const std::string& option);

/// Reads, merges, names and corrects; nothing is kept. @throws InputError
[[nodiscard]] ImportedLog read_log(const ImportTask& task);

/// The same of a file too large to be held whole; the task has no second file and its file no bytes.
/// @param keep  whether it will be kept; else the file is not hashed and compressed
/// @throws probe::NeedsWholeLog where it has to be read the other way
[[nodiscard]] ImportedLog read_paged_log(const ImportTask& task, bool keep, const Progress& progress);

/// The first samples of every trace, named and corrected.
[[nodiscard]] TraceSet first_samples(const ImportedLog& imported, std::size_t count);

struct KeptLog {
    book::BakeId bake{};
    bool was_known = false;  ///< the same files, read in the same part, were in the book already: nothing was added
};

/// The bake of the book that was read from the same files, in the same part.
struct KnownLog {
    book::BakeId bake{};
    bool reads_otherwise = false;          ///< with other options than now
    std::vector<std::string> read_with{};  ///< "--temperature-unit degF", the options it was read with
};

/// How it was read, for programs (docs/json.md) and for people.
[[nodiscard]] report::Json log_document(const ImportedLog& imported);
[[nodiscard]] std::string log_words(const ImportedLog& imported, const report::TextOptions& how);
/// The same as an answer: where it is kept, what was read, what each channel became; all the rest is a part.
/// @param kept, next  sentences; may be empty
[[nodiscard]] report::Answer log_answer(const ImportedLog& imported, const std::string& kept, const std::string& next,
                                        const report::TextOptions& how);

/// Keeps it as a bake, whole or not at all.
KeptLog keep_log(book::Book& book, const ImportTask& task, const ImportedLog& imported);

[[nodiscard]] std::optional<KnownLog> known_log(book::Book& book, const ImportedLog& imported);
/// The bake of these files where they are to be read again: another reading is asked for, or it is said so.
/// @throws InputError where it is said of a log that is not in the book
[[nodiscard]] std::optional<book::BakeId> to_read_again(book::Book& book, const ImportTask& task, const ImportedLog& imported,
                                                        bool is_said);
/// What the task does not say of shell and probes is taken from the bake. @return whether there was something: read again then
[[nodiscard]] bool complete_from(ImportTask& task, book::Book& book, book::BakeId bake);
/// Makes what was imported the reading of a bake that is in the book; histories and verdicts follow it.
/// @param why  empty: the options it was read with
/// @return the number under which the reading before is kept, marked as replaced
/// @throws InputError as book::BakeRepository::read_again() does
book::BakeId keep_again(book::Book& book, const ImportTask& task, const ImportedLog& imported, book::BakeId bake,
                        const std::string& who, const std::string& why);

}  // namespace bakewright::services
