// SPDX-License-Identifier: Apache-2.0
#include "bakewright/profile/file_text.hpp"
#include "bakewright/profile/read.hpp"

namespace bakewright::profile {
namespace {

template <class Record>
Located<Record> require_good(Located<Record> located) {
    if (!located.problems.empty()) throw InputError(std::move(located.problems));
    return located;
}

}  // namespace

Located<thermal::Material> load_material(std::string_view name_or_path, const Library& library) {
    const std::string path = library.find(Kind::material, name_or_path);
    return require_good(read_material(file_text(path), path));
}

Located<cure::Coating> load_coating(std::string_view name_or_path, const Library& library) {
    const std::string path = library.find(Kind::coating, name_or_path);
    return require_good(read_coating(file_text(path), path));
}

Located<bake::Booth> load_booth(std::string_view name_or_path, const Library& library) {
    const std::string path = library.find(Kind::booth, name_or_path);
    return require_good(read_booth(file_text(path), path));
}

Located<bake::Cycle> load_cycle(std::string_view name_or_path, const Library& library) {
    const std::string path = library.find(Kind::cycle, name_or_path);
    return require_good(read_cycle(file_text(path), path));
}

Located<probe::ProbeSet> load_probes(std::string_view name_or_path, const Library& library) {
    const std::string path = library.find(Kind::probes, name_or_path);
    return require_good(read_probes(file_text(path), path));
}

Located<probe::SourceRecord> load_source(std::string_view name_or_path, const Library& library) {
    const std::string path = library.find(Kind::source, name_or_path);
    return require_good(read_source(file_text(path), path));
}

Located<ShellProfile> load_shell(std::string_view name_or_path, const Library& library) {
    const std::string path = library.find(Kind::shell, name_or_path);
    return require_good(read_shell(file_text(path), path, library));
}

thermal::Material material_from_toml(std::string_view text, const std::string& origin) {
    return require_good(read_material(text, origin)).record;
}

cure::Coating coating_from_toml(std::string_view text, const std::string& origin) {
    return require_good(read_coating(text, origin)).record;
}

bake::Booth booth_from_toml(std::string_view text, const std::string& origin) {
    return require_good(read_booth(text, origin)).record;
}

bake::Cycle cycle_from_toml(std::string_view text, const std::string& origin) {
    return require_good(read_cycle(text, origin)).record;
}

probe::ProbeSet probes_from_toml(std::string_view text, const std::string& origin) {
    return require_good(read_probes(text, origin)).record;
}

probe::SourceRecord source_from_toml(std::string_view text, const std::string& origin) {
    return require_good(read_source(text, origin)).record;
}

ShellProfile shell_from_toml(std::string_view text, const std::string& origin) {
    return require_good(read_shell(text, origin, Library{})).record;
}

}  // namespace bakewright::profile
