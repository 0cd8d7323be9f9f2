// SPDX-License-Identifier: Apache-2.0
#include "bakewright/profile/check.hpp"

#include <fmt/core.h>
#include <fmt/format.h>

#include <filesystem>

#include "bakewright/base/error.hpp"
#include "bakewright/builder/sanity.hpp"
#include "bakewright/profile/file_text.hpp"
#include "bakewright/profile/read.hpp"
#include "bakewright/report/json.hpp"
#include "bakewright/report/plain_text.hpp"
#include "command.hpp"
#include "options.hpp"
#include "output.hpp"

namespace bakewright::cli {
namespace {

namespace po = boost::program_options;
using profile::CheckReport;

/// A word is a file, or a name that one or more kinds of profiles have.
void check_word(const std::string& word, const profile::Library& library, std::vector<CheckReport>& reports) {
    const bool path = word.find('/') != std::string::npos || word.ends_with(".toml") || std::filesystem::exists(word);
    if (path) {
        reports.push_back(profile::check_file(word, library));
        return;
    }
    std::vector<std::string> known;
    bool found = false;
    for (const profile::Kind kind : profile::all_kinds())
        for (const std::string& name : library.names(kind)) {
            known.push_back(name);
            if (name != word) continue;
            reports.push_back(profile::check_file(library.find_name(kind, name), library));
            found = true;
        }
    if (found) return;
    throw InputError(
        Problem{{}, 0, {}, fmt::format("'{}' is neither a file nor the name of a profile{}", word, did_you_mean(word, known))});
}

/// What looks odd in a profile without mistakes stands among its notes.
void add_doubts(CheckReport& report, const profile::Library& library) {
    if (!report.good() || !report.kind) return;
    const std::string id = std::filesystem::path(report.file).stem().string();
    for (std::string& note : builder::notes_on(*report.kind, profile::file_text(report.file), id, library))
        report.notes.push_back(std::move(note));
}

void print_report(const CheckReport& report) {
    const std::string kind = report.kind ? std::string(profile::kind_name(*report.kind)) : "unknown kind";
    if (report.good())
        fmt::print("good     {:<9} {}\n", kind, report::one_line(report.file));
    else
        fmt::print("mistaken {:<9} {}\n", kind, report::one_line(report.file));
    for (const Problem& problem : report.problems) fmt::print("  {}\n", report::one_line(problem.text()));
    for (const std::string& note : report.notes) fmt::print("  note: {}\n", report::one_line(note));
}

}  // namespace

int run_check(const std::vector<std::string>& words) {
    Options options("check [FILE|NAME ...]",
                    "Looks for mistakes in profiles and tells all of them at once, with line and accepted range.\n"
                    "Without a word every profile that can be found is checked.");
    options.add()("profile", po::value<std::vector<std::string>>()->value_name("FILE|NAME"), "profiles to check");
    options.positional("profile", -1);
    if (!options.read(words)) return static_cast<int>(ExitStatus::fine);
    const profile::Library library = options.library();
    std::vector<CheckReport> reports;
    if (options.has("profile"))
        for (const std::string& word : options.texts("profile")) check_word(word, library, reports);
    else
        reports = profile::check_library(library);
    if (reports.empty())
        throw InputError(Problem{{},
                                 0,
                                 "--profiles",
                                 fmt::format("There is no profile in {}; name a folder that holds materials, coatings, ...",
                                             fmt::join(library.directories(), ", "))});
    for (CheckReport& report : reports) add_doubts(report, library);
    std::size_t problems = 0;
    for (const CheckReport& report : reports) problems += report.problems.size();
    if (options.json())
        print_json(report::document_of(reports));
    else {
        for (const CheckReport& report : reports) print_report(report);
        fmt::print("{} profile{} checked, {} mistake{}\n", reports.size(), reports.size() == 1 ? "" : "s", problems,
                   problems == 1 ? "" : "s");
    }
    return static_cast<int>(problems == 0 ? ExitStatus::fine : ExitStatus::input_wrong);
}

}  // namespace bakewright::cli
