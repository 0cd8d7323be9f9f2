#include "bakewright/profile/read.hpp"
#include "document.hpp"
#include "record_readers.hpp"

namespace bakewright::profile {
namespace {

void read_row(TableReader& reader, std::vector<cure::ScheduleRow>& schedule) {
    cure::ScheduleRow row;
    bool complete = reader.read_quantity("temperature", Dimension::temperature, row.temperature_k, Need::required);
    complete &= reader.read_quantity("minimum", Dimension::time, row.minimum_s, Need::required);
    if (reader.has("maximum")) complete &= reader.read_quantity("maximum", Dimension::time, row.maximum_s);
    reader.finish();
    // Rows are compared with each other, so one that was not read spoils the comparison of all.
    if (!complete) reader.collector().mark_unread("schedule");
    schedule.push_back(row);
}

void read_activation_energy(TableReader& reader, cure::Coating& coating) {
    if (const auto triple = reader.read_triple("activation_energy", Dimension::activation_energy))
        coating.activation_energy = cure::ActivationEnergy{triple->low, triple->value, triple->high};
}

void read_coating_keys(TableReader& reader, cure::Coating& coating) {
    read_head(reader, Kind::coating, coating.id, coating.title);
    reader.read_word("basis", kBasisWords, coating.basis, Need::required);
    for (TableReader& row : reader.tables("schedule", Need::required)) read_row(row, coating.schedule);
    reader.note_default("floor", "below 45 degC nothing counts towards cure (common practice)");
    reader.read_quantity("floor", Dimension::temperature, coating.floor_k);
    reader.note_default("absolute_maximum",
                        "none is printed: more than 10 K over the hottest row is CHECK, more than 20 K refused "
                        "(common practice); with the maker's word write it here with its source");
    reader.read_quantity("absolute_maximum", Dimension::temperature, coating.absolute_maximum_k);
    reader.read_quantity("cured_below_the_sheet_from", Dimension::temperature, coating.cured_below_the_sheet_from_k);
    reader.read_word("beyond_last_row", kBeyondLastRowWords, coating.beyond_last_row);
    reader.note_default("flash_off_minimum", "none is printed: plans take 15 min (common practice) and are CHECK; ask the maker");
    reader.read_quantity("flash_off_minimum", Dimension::time, coating.flash_off_minimum_s);
    reader.read_quantity("flash_off_maximum", Dimension::time, coating.flash_off_maximum_s);
    reader.read_quantity("largest_heating_rate", Dimension::heating_rate, coating.largest_heating_rate_k_per_s);
    reader.read_quantity("recoat_minimum", Dimension::time, coating.recoat_minimum_s);
    reader.read_quantity("recoat_maximum", Dimension::time, coating.recoat_maximum_s);
    reader.read_quantity("sandable_after", Dimension::time, coating.sandable_after_s);
    reader.read_quantity("tape_free_after", Dimension::time, coating.tape_free_after_s);
    reader.read_quantity("polish_after", Dimension::time, coating.polish_after_s);
    read_activation_energy(reader, coating);
    if (std::optional<TableReader> kinetics = reader.table("kinetics")) coating.kinetics = read_kinetics(*kinetics);
    reader.read_sources(coating.sources);
    reader.finish();
}

}  // namespace

Located<cure::Coating> read_coating(std::string_view text, const std::string& file) {
    Collector collector(file);
    cure::Coating coating;
    if (const std::optional<toml::table> root = parse_document(text, collector)) {
        TableReader reader(*root, {}, collector);
        read_coating_keys(reader, coating);
        collector.add_of_record(problems_in(coating));
        collector.note_numbers_without_source({}, coating.sources);
    }
    return collector.finish(std::move(coating));
}

}  // namespace bakewright::profile
