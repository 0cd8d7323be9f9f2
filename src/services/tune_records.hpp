// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "bakewright/bake/booth.hpp"
#include "bakewright/bake/learned.hpp"
#include "bakewright/book/book.hpp"
#include "bakewright/book/ids.hpp"
#include "bakewright/profile/shell_profile.hpp"
#include "bakewright/services/stored_bake.hpp"
#include "bakewright/tune/trend.hpp"
#include "bakewright/tune/tune.hpp"

namespace bakewright::services {

/// "bake 3 of 2026-10-02"
[[nodiscard]] std::string bake_label(const book::Bake& bake);

/// A logged bake as tuning sees it: its cycle, or that of the prediction it belongs to. @throws InputError for a prediction
[[nodiscard]] tune::LoggedBake logged_bake(book::Book& book, StoredBake stored);

/// What is to be learned from.
struct TuneAsked {
    std::vector<book::BakeId> bakes;     ///< logged, at least one
    std::vector<book::BakeId> held_out;  ///< logged, only predicted; may stand among bakes too
    std::optional<profile::ShellProfile> shell;
    std::optional<bake::Booth> booth;  ///< both: those of the first bake that has one, or of the prediction it belongs to
};

/// The same read from the book.
struct TuneRecords {
    tune::TuneTask task;
    std::vector<book::Bake> logs;          ///< in the order of the task's bakes
    profile::ShellProfile shell;           ///< with the items' limits
    std::vector<std::string> held_out;     ///< labels
    std::vector<double> earlier_evidence;  ///< of the book's other bakes (evidence.hpp)
};
/// @throws InputError where there is no bake, a prediction among them, or no shell or booth
[[nodiscard]] TuneRecords load_tune_records(book::Book& book, const TuneAsked& asked);

/// A shell and a booth as they were tuned, under names of their own.
struct TunedPair {
    profile::ShellProfile shell;
    bake::Booth booth;
};
/// @param name  for both; empty: theirs with "_tuned"
[[nodiscard]] TunedPair named_pair(const TuneRecords& records, const tune::TuneResult& result, const std::string& name);
/// The same with names that the book does not have yet ("..._2"), kept in it, both or neither.
[[nodiscard]] TunedPair keep_pair(book::Book& book, const TuneRecords& records, const tune::TuneResult& result,
                                  const std::string& name);

/// A shell or booth of the book that was learned from logs.
struct TunedVersion {
    std::string kind;  ///< "shell" or "booth"
    std::string name, title;
    std::string stored_at;  ///< UTC
    bake::Learned learned;
};
/// Of each name the newest, newest first.
[[nodiscard]] std::vector<TunedVersion> tuned_versions(book::Book& book);

/// The logged bakes of a booth of this name, by the log's own record of it or that of the prediction it belongs to.
/// @param since  a date or time as shop_time_from() reads it; bakes that began before are left out; empty: none are
/// @throws InputError where the time is none; BookError
[[nodiscard]] std::vector<book::BakeId> logged_bakes_of_booth(book::Book& book, const std::string& booth,
                                                              const std::string& since);

/// What logged bakes say of their booth over time: air on the plateau against what the cycle set, bias and lag by zone group
/// against the prediction of each. A bake without a prediction is predicted from the shell, booth and cycle kept with it.
/// Bakes without a start by the clock are left out; all that is missing is told in the remarks.
/// @throws InputError for a bake that is a prediction, or where fewer than three bakes are left
[[nodiscard]] tune::BoothTrend booth_trend(book::Book& book, const std::vector<book::BakeId>& bakes);

}  // namespace bakewright::services
