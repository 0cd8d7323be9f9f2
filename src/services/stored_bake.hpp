// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "bakewright/bake/booth.hpp"
#include "bakewright/bake/cycle.hpp"
#include "bakewright/bake/predict.hpp"
#include "bakewright/base/trace.hpp"
#include "bakewright/book/bake_repository.hpp"
#include "bakewright/book/book.hpp"
#include "bakewright/book/hand_note_repository.hpp"
#include "bakewright/book/ids.hpp"
#include "bakewright/cure/coating.hpp"
#include "bakewright/probe/probe_record.hpp"
#include "bakewright/probe/source_record.hpp"
#include "bakewright/profile/library.hpp"
#include "bakewright/profile/located.hpp"
#include "bakewright/profile/shell_profile.hpp"
#include "bakewright/services/reading_options.hpp"

namespace bakewright::services {

/// A bake of the book with everything it was computed from, read back.
struct StoredBake {
    book::Bake record;
    TraceSet traces;
    std::optional<profile::ShellProfile> shell;
    std::optional<bake::Booth> booth;
    std::optional<bake::Cycle> cycle;
    std::optional<cure::Coating> coating;
    std::optional<probe::ProbeSet> probes;  ///< records of the probes of a log; their channels bear the names of the traces

    /// Of a log with traces longer than cure::kMostSamplesJudged, which are read condensed (cure::TraceCondenser): how long a
    /// span is, else 0; and how many samples the longest of them has.
    double condensed_span_s = 0.0;
    std::uint64_t longest_samples = 0;
    TraceSet means;                     ///< of such a log, the means of its spans; else empty
    std::vector<book::HandNote> noted;  ///< by hand
    /// Standard uncertainty of the traces that add_hand_channels() made, by name [K].
    std::map<std::string, double> hand_standard_k;

    /// Channels that somebody left out when the log was read, for people. Their readings stand in the book and are not counted.
    std::vector<std::string> left_out;
    /// What to know before a word is trusted: rows that are not those the program stored, a reading that was replaced.
    std::vector<std::string> doubts;

    /// What a model is held to: the traces, or their means where they were condensed.
    [[nodiscard]] const TraceSet& readings() const noexcept { return condensed_span_s > 0.0 ? means : traces; }
    /// Limits of the shell's items; empty without a shell.
    [[nodiscard]] std::vector<cure::HeatSensitiveItem> item_limits() const;
    /// Coated places of the shell, strips over what lags too: one without a trace is not judged, as a zone without a probe. Empty
    /// without a shell, which means all zones.
    [[nodiscard]] std::vector<std::string> coated_places() const;
    /// What was done to a log that is too long to be read whole, for people; empty where it was.
    [[nodiscard]] std::string condensed_text() const;
};

/// Takes what was left out of the traces: whole ones go, of others the samples from then on count as missing.
/// @return a sentence each
std::vector<std::string> leave_out(TraceSet& traces, const std::vector<LeftOut>& channels);

/// "12" or "#12". @throws InputError that names the option or word
[[nodiscard]] book::BakeId bake_id(const std::string& text, const std::string& what);

/// The same, or the uid of a bake or the first eight digits of it or more. @throws InputError where no bake has it
[[nodiscard]] book::BakeId bake_id(book::Book& book, const std::string& text, const std::string& what);

/// @throws InputError where there is no such bake; BookError where it is damaged
[[nodiscard]] StoredBake load_bake(book::Book& book, book::BakeId id);

/// Stores records as documents; the same content is stored once.
[[nodiscard]] book::DocumentId keep(book::Book& book, const profile::ShellProfile& shell);
[[nodiscard]] book::DocumentId keep(book::Book& book, const bake::Booth& booth);
[[nodiscard]] book::DocumentId keep(book::Book& book, const bake::Cycle& cycle);
[[nodiscard]] book::DocumentId keep(book::Book& book, const cure::Coating& coating);
[[nodiscard]] book::DocumentId keep(book::Book& book, const probe::ProbeSet& probes);
[[nodiscard]] book::DocumentId keep(book::Book& book, const probe::SourceRecord& source);

/// Where a shell or booth is looked up by its name: in the profiles, then in the book (such as a tuned one; the newest of its
/// name counts). Refers to the caller's library.
struct RecordSources {
    const profile::Library& library;
    std::string book_path;    ///< need not exist
    bool takes_paths = true;  ///< false: names alone, so that nobody makes the program read other files
};

/// The shell of a vehicle whose history goes by a name: "library_van" of "library_van #27-031", which a shop that builds several
/// on one shell tells apart by its job number. Any other name, and a path, is the shell's own.
[[nodiscard]] std::string shell_of_history(const std::string& name);

/// A shell may be named as its history is. @throws InputError where neither has it, or for a profile with mistakes: that is never
/// passed over for one of the book
[[nodiscard]] profile::Located<profile::ShellProfile> find_shell(const RecordSources& sources, const std::string& name);
/// A booth comes with what the book says of predictions in it (booth_record()).
[[nodiscard]] profile::Located<bake::Booth> find_booth(const RecordSources& sources, const std::string& name);

/// What a prediction was asked, as the book keeps it beside the bake. A replay names the channel whose air drove it.
[[nodiscard]] std::string options_json(const bake::PredictOptions& asked, const std::string& air_channel);

/// Reads it back; keys that are not there keep their defaults. @throws BookError where the text is not such an object
[[nodiscard]] bake::PredictOptions predict_options_from(const std::string& text);

/// A prediction and everything it was computed from.
struct PredictedBake {
    std::string title;
    std::string program_version;
    std::string started_at;  ///< ISO 8601; empty where unknown
    const profile::ShellProfile& shell;
    const bake::Booth& booth;
    const bake::Cycle* cycle = nullptr;  ///< null where a log's air drove it
    const cure::Coating* coating = nullptr;
    const bake::PredictOptions& asked;
    const TraceSet& traces;
    std::optional<book::BakeId> log{};  ///< whose air drove it, in which channel
    std::string air_channel{};
};

/// Keeps it as a bake, whole or not at all.
book::BakeId keep_prediction(book::Book& book, const PredictedBake& predicted);

}  // namespace bakewright::services
