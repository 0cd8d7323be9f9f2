#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "bakewright/profile/read.hpp"
#include "document.hpp"
#include "learned.hpp"
#include "record_readers.hpp"

namespace bakewright::profile {
namespace {

/// Conduction through a contact: conductivity times area over length (Fourier's law).
void read_contact(TableReader& reader, MaterialLookup& materials, double& conductance_w_per_k) {
    double area_m2 = 0.0;
    double length_m = 0.0;
    bool complete = reader.read_quantity("area", Dimension::area, area_m2, Need::required);
    complete &= reader.read_quantity("length", Dimension::length, length_m, Need::required);
    const std::optional<thermal::Material> material = materials.read(reader, "material");
    for (const auto& [key, value] : {std::pair("area", area_m2), std::pair("length", length_m)})
        if (complete && !(value > 0.0)) reader.problem(key, "must be greater than 0");
    reader.finish();
    if (complete && material && length_m > 0.0) conductance_w_per_k = material->conductivity_w_per_m_k * area_m2 / length_m;
}

void read_conductance(TableReader& reader, MaterialLookup& materials, double& conductance_w_per_k) {
    const bool whole = reader.has("conductance");
    std::optional<TableReader> contact = reader.table("contact");
    if (!reader.has("contact")) {
        reader.read_quantity("conductance", Dimension::conductance, conductance_w_per_k, Need::required);
        return;
    }
    if (whole) reader.problem("conductance", "is given twice: write either conductance or contact");
    if (contact) read_contact(*contact, materials, conductance_w_per_k);
    reader.collector().mark_unread(reader.path_of("conductance"));
}

bake::Link read_link(TableReader& reader, MaterialLookup& materials) {
    bake::Link link;
    reader.read_name("from", link.from, Need::required);
    reader.read_name("to", link.to, Need::required);
    read_conductance(reader, materials, link.conductance_w_per_k);
    reader.read_word("from_side", kSideWords, link.from_side);
    reader.read_word("to_side", kSideWords, link.to_side);
    if (bool bonded = false; reader.has("bonded") && reader.read_boolean("bonded", bonded)) link.bonded = bonded;
    reader.finish();
    return link;
}

bake::Cavity read_cavity(TableReader& reader) {
    bake::Cavity cavity;
    reader.read_name("name", cavity.name, Need::required);
    reader.read_quantity("volume", Dimension::volume, cavity.volume_m3, Need::required);
    reader.read_quantity("leakage", Dimension::air_change_rate, cavity.leakage_per_s);
    reader.read_quantity("contents", Dimension::heat_capacity, cavity.contents_heat_capacity_j_per_k);
    reader.read_quantity("contents_conductance", Dimension::conductance, cavity.contents_conductance_w_per_k);
    reader.read_quantity("start", Dimension::temperature, cavity.start_temperature_k);
    reader.read_quantity("contents_warn", Dimension::temperature, cavity.contents_limits.warn_k);
    reader.read_quantity("contents_never", Dimension::temperature, cavity.contents_limits.never_k);
    reader.read_text("contents_limit_source", cavity.contents_limit_source);
    reader.finish();
    return cavity;
}

std::optional<bake::ShellSize> read_size(TableReader& reader) {
    std::optional<TableReader> size_reader = reader.table("size");
    if (!size_reader) return std::nullopt;
    bake::ShellSize size;
    size_reader->read_quantity("length", Dimension::length, size.length_m, Need::required);
    size_reader->read_quantity("width", Dimension::length, size.width_m, Need::required);
    size_reader->read_quantity("height", Dimension::length, size.height_m, Need::required);
    size_reader->finish();
    return size;
}

void read_items(TableReader& reader, ShellProfile& profile) {
    for (TableReader& item_reader : reader.tables("item")) {
        bake::Item item;
        cure::HeatSensitiveItem limits;
        read_item(item_reader, item, limits);
        profile.shell.items.push_back(std::move(item));
        profile.item_limits.push_back(std::move(limits));
    }
}

ShellProfile read_shell_keys(TableReader& reader, MaterialLookup& materials) {
    ShellProfile profile;
    bake::Shell& shell = profile.shell;
    read_head(reader, Kind::shell, shell.id, shell.title);
    shell.size = read_size(reader);
    materials.read_own(reader);
    for (TableReader& zone : reader.tables("zone", Need::required)) shell.zones.push_back(read_zone(zone, materials));
    for (TableReader& link : reader.tables("link")) shell.links.push_back(read_link(link, materials));
    for (TableReader& cavity : reader.tables("cavity")) shell.cavities.push_back(read_cavity(cavity));
    read_items(reader, profile);
    read_learned(reader, shell.learned);
    reader.finish();
    return profile;
}

/// Whether some zone or cavity has no name that could be read; what refers to it then is not at fault.
bool names_are_incomplete(const bake::Shell& shell) {
    const auto nameless = [](const auto& part) { return part.name.empty(); };
    return std::any_of(shell.zones.begin(), shell.zones.end(), nameless) ||
           std::any_of(shell.cavities.begin(), shell.cavities.end(), nameless);
}

bool is_reference(const Problem& problem) {
    constexpr std::array<std::string_view, 4> kReferences{".from", ".to", ".zone", ".cavity"};
    return std::any_of(kReferences.begin(), kReferences.end(), [&](std::string_view end) { return problem.key.ends_with(end); });
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
    for (std::size_t i = 0; i < profile.item_limits.size(); ++i)
        collector.add_of_record(cure::problems_in(profile.item_limits[i], fmt::format("item[{}]", i)));
}

void note_sources(const ShellProfile& profile, Collector& collector) {
    for (std::size_t i = 0; i < profile.item_limits.size(); ++i)
        collector.note_numbers_without_source(fmt::format("item[{}]", i), profile.item_limits[i].sources);
}

}  // namespace

Located<ShellProfile> read_shell(std::string_view text, const std::string& file, const Library& library) {
    Collector collector(file);
    ShellProfile profile;
    if (const std::optional<toml::table> root = parse_document(text, collector)) {
        TableReader reader(*root, {}, collector);
        MaterialLookup materials(library, collector);
        profile = read_shell_keys(reader, materials);
        add_record_problems(profile, collector);
        note_sources(profile, collector);
    }
    return collector.finish(std::move(profile));
}

}  // namespace bakewright::profile
