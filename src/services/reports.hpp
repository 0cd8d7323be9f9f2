// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "bakewright/report/html.hpp"
#include "bakewright/services/certainty.hpp"
#include "bakewright/services/shell_history.hpp"
#include "bakewright/services/stored_bake.hpp"

namespace bakewright::services {

/// How a bake of the book is to be shown.
struct ReportAsked {
    std::string title;       ///< the bake's where empty
    std::string written_at;  ///< when it was asked for
    std::string program_version;
    Units units;
    std::optional<cure::Coating> coating;       ///< to judge by; else the one kept with the bake
    std::optional<CertaintyOptions> certainty;  ///< absent: how sure the verdicts are is not reckoned
};

/// What people call the zones and items of a shell, by their names; nothing for two that are called alike.
[[nodiscard]] std::map<std::string, std::string> titles_in(const profile::ShellProfile& shell);

/// Within which 90 % of the members lie, for every zone and item.
[[nodiscard]] std::vector<report::TraceBand> bands_of(const plan::EnsemblePrediction& ensemble);

/// The bake this one is paired with, or the newest that is paired with it.
[[nodiscard]] std::optional<StoredBake> other_half(book::Book& book, const StoredBake& bake);

/// Everything a report or the page shows of a bake, a log laid over its prediction: what burner and booth did is predicted anew,
/// exposure goes on from the history in which the bake stands.
/// @param other  of the other kind than bake
[[nodiscard]] report::ReportInput report_input(const ReportAsked& asked, book::Book& book, const StoredBake& bake,
                                               const std::optional<StoredBake>& other);

/// What people call the zones and items of a shell with a history, as the newest bake in it has them; empty where none has a
/// shell.
[[nodiscard]] std::map<std::string, std::string> titles_in(const LoadedHistory& loaded);

/// How the report of a shell's history is to be written.
struct ShellReportAsked {
    std::string shell;       ///< its name in the book
    std::string written_at;  ///< when it was asked for
    std::string program_version;
    Units units;
    CertaintyOptions certainty;
};

/// @throws InputError where the book has no coat and no bake of it
[[nodiscard]] report::ShellReportInput shell_report_input(const ShellReportAsked& asked, book::Book& book);

}  // namespace bakewright::services
