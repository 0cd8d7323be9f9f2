#include <fmt/format.h>

#include <filesystem>

#include "bakewright/profile/read.hpp"
#include "bakewright/profile/text_rules.hpp"
#include "document.hpp"
#include "record_readers.hpp"

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

std::string name_of_file(const std::string& file) { return std::filesystem::path(file).stem().string(); }

}  // namespace

void read_head(TableReader& reader, Kind kind, std::string& id, std::string& title) {
    read_kind(reader, kind);
    if (!reader.read_name("id", id)) id = name_of_file(reader.collector().file());
    reader.read_text("title", title, Need::required);
}

void read_material_properties(TableReader& reader, thermal::Material& material) {
    reader.read_quantity("density", Dimension::density, material.density_kg_per_m3, Need::required);
    reader.read_quantity("specific_heat", Dimension::specific_heat, material.specific_heat_j_per_kg_k, Need::required);
    reader.read_quantity("conductivity", Dimension::conductivity, material.conductivity_w_per_m_k, Need::required);
    reader.note_default("emissivity", "0.9 is used (infrared instrument manuals: most non-metals)");
    reader.read_number("emissivity", material.emissivity, "a number from 0 to 1");
    reader.read_word("gauge", kGaugeWords, material.gauge);
    reader.read_quantity("warn", Dimension::temperature, material.limits.warn_k);
    reader.read_quantity("never", Dimension::temperature, material.limits.never_k);
    reader.read_boolean("unharmed", material.is_unharmed);
    reader.read_sources(material.sources);
}

Located<thermal::Material> read_material(std::string_view text, const std::string& file) {
    Collector collector(file);
    thermal::Material material;
    if (const std::optional<toml::table> root = parse_document(text, collector)) {
        TableReader reader(*root, {}, collector);
        read_head(reader, Kind::material, material.id, material.title);
        read_material_properties(reader, material);
        reader.finish();
        collector.add_of_record(problems_in(material));
        collector.note_numbers_without_source({}, material.sources);
    }
    return collector.finish(std::move(material));
}

}  // namespace bakewright::profile
