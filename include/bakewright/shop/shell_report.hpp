#pragma once

#include <string>

#include "bakewright/report/html.hpp"
#include "bakewright/shop/certainty.hpp"
#include "bakewright/shop/shell_history.hpp"

namespace bakewright::shop {

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

}  // namespace bakewright::shop
