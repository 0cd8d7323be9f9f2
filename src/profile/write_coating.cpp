#include "bakewright/profile/kind.hpp"
#include "bakewright/profile/write.hpp"
#include "record_writers.hpp"
#include "toml_writer.hpp"
#include "words.hpp"

namespace bakewright::profile {
namespace {

KeyValues row_values(const cure::ScheduleRow& row) {
    KeyValues values;
    values.quantity("temperature", row.temperature_k, Dimension::temperature);
    values.quantity("minimum", row.minimum_s, Dimension::time);
    values.quantity("maximum", row.maximum_s, Dimension::time);
    return values;
}

KeyValues energy_values(const cure::ActivationEnergy& energy) {
    KeyValues values;
    values.quantity("low", energy.low_j_per_mol, Dimension::activation_energy);
    values.quantity("value", energy.value_j_per_mol, Dimension::activation_energy);
    values.quantity("high", energy.high_j_per_mol, Dimension::activation_energy);
    return values;
}

}  // namespace

std::string to_toml(const cure::Coating& coating) {
    KeyValues values = head(kind_name(Kind::coating), coating.id, coating.title);
    values.text("basis", text_of(kBasisWords, coating.basis));
    std::vector<KeyValues> rows;
    for (const cure::ScheduleRow& row : coating.schedule) rows.push_back(row_values(row));
    values.tables("schedule", rows);
    values.quantity("floor", coating.floor_k, Dimension::temperature);
    values.quantity("absolute_maximum", coating.absolute_maximum_k, Dimension::temperature);
    values.quantity("cured_below_the_sheet_from", coating.cured_below_the_sheet_from_k, Dimension::temperature);
    values.text("beyond_last_row", text_of(kBeyondLastRowWords, coating.beyond_last_row));
    values.quantity("flash_off_minimum", coating.flash_off_minimum_s, Dimension::time);
    values.quantity("flash_off_maximum", coating.flash_off_maximum_s, Dimension::time);
    values.quantity("largest_heating_rate", coating.largest_heating_rate_k_per_s, Dimension::heating_rate);
    values.quantity("recoat_minimum", coating.recoat_minimum_s, Dimension::time);
    values.quantity("recoat_maximum", coating.recoat_maximum_s, Dimension::time);
    values.quantity("sandable_after", coating.sandable_after_s, Dimension::time);
    values.quantity("tape_free_after", coating.tape_free_after_s, Dimension::time);
    values.quantity("polish_after", coating.polish_after_s, Dimension::time);
    if (coating.activation_energy) values.table("activation_energy", energy_values(*coating.activation_energy));
    if (coating.kinetics) values.table("kinetics", kinetics_values(*coating.kinetics));
    return values.lines() + section("sources", sources_of(coating.sources));
}

}  // namespace bakewright::profile
