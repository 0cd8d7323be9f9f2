// SPDX-License-Identifier: Apache-2.0
#include "bakewright/profile/read.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <filesystem>

#include "bakewright/profile/text_rules.hpp"
#include "document.hpp"
#include "field_reader.hpp"

namespace bakewright::profile {
namespace {

void read_kind(TableReader& reader, Kind expected) {
    std::string word;
    if (!reader.read_name("kind", word, Need::required) || word == kind_name(expected)) return;
    if (kind_from_name(word))
        reader.problem("kind", fmt::format("this is a {}, where a {} is expected", word, kind_name(expected)));
    else
        reader.problem("kind", fmt::format("is {}; expected \"{}\"", shown(word), kind_name(expected)));
}

/// The id is the file's name where there is none.
void read_head(TableReader& reader, Kind kind, std::string& id, std::string& title) {
    read_kind(reader, kind);
    if (!reader.read_name("id", id)) id = std::filesystem::path(reader.collector().file()).stem().string();
    reader.read_text("title", title, Need::required);
}

/// Reads a profile whose record stands for itself.
template <class Record>
Located<Record> read_record(Kind kind, std::string_view text, const std::string& file) {
    Collector collector(file);
    Record record;
    if (const std::optional<toml::table> root = parse_document(text, collector)) {
        TableReader table(*root, {}, collector);
        read_head(table, kind, record.id, record.title);
        FieldReader reader(table);
        visit_fields(record, reader);
        table.finish();
        collector.add_of_record(problems_in(record));
        if constexpr (requires { record.sources; }) collector.note_numbers_without_source({}, record.sources);
    }
    return collector.finish(std::move(record));
}

/// Whether some zone or cavity has no name that could be read; what refers to it then is not at fault.
bool names_are_incomplete(const bake::Shell& shell) {
    const auto nameless = [](const auto& part) { return part.name.empty(); };
    return std::ranges::any_of(shell.zones, nameless) || std::ranges::any_of(shell.cavities, nameless);
}

bool is_reference(const Problem& problem) {
    constexpr std::array<std::string_view, 4> kReferences{".from", ".to", ".zone", ".cavity"};
    return std::ranges::any_of(kReferences, [&](std::string_view end) { return problem.key.ends_with(end); });
}

/// A material has been judged where it stands, once; the layers made of it would only repeat that.
bool is_of_material(const Problem& problem) { return problem.key.find(".material") != std::string::npos; }

void add_record_problems(const ShellProfile& profile, Collector& collector) {
    std::vector<Problem> problems = problems_in(profile.shell);
    const bool ignore_references = names_are_incomplete(profile.shell);
    std::erase_if(problems, [&](const Problem& problem) {
        return is_of_material(problem) || (ignore_references && is_reference(problem));
    });
    collector.add_of_record(std::move(problems));
    for (std::size_t i = 0; i < profile.item_limits.size(); ++i) {
        const std::string key = fmt::format("item[{}]", i);
        collector.add_of_record(problems_in(profile.item_limits[i], key));
        collector.note_numbers_without_source(key, profile.item_limits[i].sources);
    }
}

}  // namespace

Located<thermal::Material> read_material(std::string_view text, const std::string& file) {
    return read_record<thermal::Material>(Kind::material, text, file);
}

Located<cure::Coating> read_coating(std::string_view text, const std::string& file) {
    return read_record<cure::Coating>(Kind::coating, text, file);
}

Located<bake::Booth> read_booth(std::string_view text, const std::string& file) {
    return read_record<bake::Booth>(Kind::booth, text, file);
}

Located<bake::Cycle> read_cycle(std::string_view text, const std::string& file) {
    return read_record<bake::Cycle>(Kind::cycle, text, file);
}

Located<probe::ProbeSet> read_probes(std::string_view text, const std::string& file) {
    return read_record<probe::ProbeSet>(Kind::probes, text, file);
}

Located<probe::SourceRecord> read_source(std::string_view text, const std::string& file) {
    return read_record<probe::SourceRecord>(Kind::source, text, file);
}

Located<ShellProfile> read_shell(std::string_view text, const std::string& file, const Library& library) {
    Collector collector(file);
    ShellProfile profile;
    if (const std::optional<toml::table> root = parse_document(text, collector)) {
        TableReader table(*root, {}, collector);
        read_head(table, Kind::shell, profile.shell.id, profile.shell.title);
        MaterialLookup materials(library, collector);
        FieldReader reader(table, &materials);
        visit_fields(profile, reader);
        table.finish();
        add_record_problems(profile, collector);
    }
    return collector.finish(std::move(profile));
}

}  // namespace bakewright::profile
