#pragma once

#include <string>
#include <vector>

#include "bakewright/book/book.hpp"
#include "bakewright/shop/stored_bake.hpp"
#include "bakewright/tune/tune.hpp"
#include "options.hpp"

namespace bakewright::cli {

/// Words parted by commas, and several of those.
[[nodiscard]] std::vector<std::string> split_list(const std::vector<std::string>& lists);

/// "bake 3 of 2026-10-02"
[[nodiscard]] std::string bake_label(const book::Bake& bake);

/// A logged bake as tuning sees it: its cycle, or that of the prediction it belongs to. @throws InputError for a prediction
[[nodiscard]] tune::LoggedBake logged_bake(book::Book& book, StoredBake stored);

/// What tuning is asked, read from book and options.
struct TuneRecords {
    tune::TuneTask task;
    profile::ShellProfile shell;        ///< with the items' limits
    std::vector<std::string> held_out;  ///< labels
};
[[nodiscard]] TuneRecords load_tune_records(book::Book& book, const Options& options);

/// Gives a tuned shell and booth their new names. @param name  for both; empty: theirs with "_tuned"
void name_tuned(profile::ShellProfile& shell, bake::Booth& booth, const std::string& name);
/// The same with names that the book does not have yet ("..._2"), and keeps them.
void keep_tuned(book::Book& book, TuneRecords& records, bake::Booth& booth, const std::string& name);

}  // namespace bakewright::cli
