// SPDX-License-Identifier: Apache-2.0
#include "bakewright/profile/check.hpp"

#include <fmt/format.h>

#include "bakewright/profile/file_text.hpp"
#include "bakewright/profile/read.hpp"
#include "bakewright/profile/text_rules.hpp"
#include "document.hpp"

namespace bakewright::profile {
namespace {

constexpr std::string_view kAcceptedKinds =
    "\"material\", \"coating\", \"booth\", \"shell\", \"cycle\", \"probes\" or \"source\"";

const std::string& title_of(const ShellProfile& profile) { return profile.shell.title; }
template <class Record>
const std::string& title_of(const Record& record) {
    return record.title;
}

template <class Record>
void take_findings(CheckReport& report, Located<Record> located) {
    report.title = title_of(located.record);
    report.problems = std::move(located.problems);
    report.notes = std::move(located.notes);
}

void check_as(Kind kind, CheckReport& report, const std::string& text, const Library& library) {
    switch (kind) {
        case Kind::material:
            return take_findings(report, read_material(text, report.file));
        case Kind::coating:
            return take_findings(report, read_coating(text, report.file));
        case Kind::booth:
            return take_findings(report, read_booth(text, report.file));
        case Kind::cycle:
            return take_findings(report, read_cycle(text, report.file));
        case Kind::probes:
            return take_findings(report, read_probes(text, report.file));
        case Kind::source:
            return take_findings(report, read_source(text, report.file));
        case Kind::shell:
            return take_findings(report, read_shell(text, report.file, library));
    }
}

/// The kind a text says it is; the report learns why where it says none.
std::optional<Kind> kind_of(const std::string& text, CheckReport& report) {
    Collector collector(report.file);
    std::optional<Kind> kind;
    if (const std::optional<toml::table> root = parse_document(text, collector)) {
        const std::optional<std::string> word = (*root)["kind"].value_exact<std::string>();
        if (word) kind = kind_from_name(*word);
        if (!root->contains("kind"))
            collector.add("kind", fmt::format("is missing; expected kind = {}", kAcceptedKinds));
        else if (!kind)
            collector.add("kind", fmt::format("{}; expected {}", word ? "is " + shown(*word) : "is not a text", kAcceptedKinds));
    }
    report.problems = collector.finish(0).problems;
    return kind;
}

}  // namespace

CheckReport check_text(Kind kind, const std::string& text, const std::string& file, const Library& library) {
    CheckReport report{.file = file, .kind = kind, .title = {}, .problems = {}, .notes = {}};
    check_as(kind, report, text, library);
    return report;
}

CheckReport check_file(const std::string& path, const Library& library) {
    CheckReport report{.file = path, .kind = {}, .title = {}, .problems = {}, .notes = {}};
    try {
        const std::string text = file_text(path);
        report.kind = kind_of(text, report);
        if (report.kind) check_as(*report.kind, report, text, library);
    } catch (const InputError& error) {
        report.problems = error.problems();
    }
    return report;
}

std::vector<CheckReport> check_library(const Library& library) {
    std::vector<CheckReport> reports;
    for (const Kind kind : all_kinds())
        for (const std::string& name : library.names(kind)) reports.push_back(check_file(library.find_name(kind, name), library));
    return reports;
}

}  // namespace bakewright::profile
