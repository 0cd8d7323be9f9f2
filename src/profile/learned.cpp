#include "learned.hpp"

#include "toml_writer.hpp"

namespace bakewright::profile {
namespace {

using bake::LearnedKind;

constexpr std::array<LearnedKind, 15> kKinds{LearnedKind::group_film,       LearnedKind::zone_film,    LearnedKind::mode_film,
                                             LearnedKind::cavity_film,      LearnedKind::thickness,    LearnedKind::link,
                                             LearnedKind::leakage,          LearnedKind::contact,      LearnedKind::emissivity,
                                             LearnedKind::vertical_profile, LearnedKind::wall_offset,  LearnedKind::wall_loss,
                                             LearnedKind::make_up,          LearnedKind::burner_power, LearnedKind::air_offset};

std::array<Word<LearnedKind>, kKinds.size()> kind_words() {
    std::array<Word<LearnedKind>, kKinds.size()> words{};
    for (std::size_t i = 0; i < kKinds.size(); ++i) words[i] = {bake::learned_kind_name(kKinds[i]), kKinds[i]};
    return words;
}

bake::LearnedNumber read_number(TableReader& reader) {
    bake::LearnedNumber number;
    reader.read_word("what", kind_words(), number.kind, Need::required);
    reader.read_text("of", number.subject);
    if (number.kind == LearnedKind::air_offset) {
        number.value = 0.0;
        reader.read_quantity("offset", Dimension::temperature_difference, number.value, Need::required);
        reader.read_quantity("standard_error", Dimension::temperature_difference, number.standard_error, Need::required);
    } else {
        reader.read_number("factor", number.value, "a number from 0.01 to 100", Need::required);
        reader.read_number("standard_error", number.standard_error, "a number from 0 to 3, of the factor's natural logarithm",
                           Need::required);
    }
    reader.read_numbers("correlation", number.correlation);
    reader.finish();
    return number;
}

KeyValues number_values(const bake::LearnedNumber& number) {
    KeyValues values;
    values.text("what", bake::learned_kind_name(number.kind));
    if (!number.subject.empty()) values.text("of", number.subject);
    if (number.kind == LearnedKind::air_offset) {
        values.quantity("offset", number.value, Dimension::temperature_difference);
        values.quantity("standard_error", number.standard_error, Dimension::temperature_difference);
    } else {
        values.number("factor", number.value);
        values.number("standard_error", number.standard_error);
    }
    if (!number.correlation.empty()) values.numbers("correlation", number.correlation);
    return values;
}

}  // namespace

void read_learned(TableReader& reader, bake::Learned& learned) {
    for (TableReader& number : reader.tables("learned")) learned.numbers.push_back(read_number(number));
    std::optional<TableReader> from = reader.table("learned_from");
    if (!from) return;
    from->read_names("bakes", learned.from);
    from->read_names("tuned_from", learned.tuned_from);
    if (double spread = 0.0; from->read_number("film_spread", spread, "a number from 0 to 3")) learned.film_spread = spread;
    from->read_quantity("error_used", Dimension::temperature_difference, learned.error_used_k);
    from->read_quantity("error_held_out", Dimension::temperature_difference, learned.error_held_out_k);
    from->read_quantity("residual", Dimension::temperature_difference, learned.residual_k);
    from->read_quantity("residual_time", Dimension::time, learned.residual_time_s);
    from->finish();
}

std::string learned_text(const bake::Learned& learned) {
    std::string text;
    for (const bake::LearnedNumber& number : learned.numbers) text += element("learned", number_values(number));
    KeyValues from;
    if (!learned.from.empty()) from.texts("bakes", learned.from);
    if (!learned.tuned_from.empty()) from.texts("tuned_from", learned.tuned_from);
    if (learned.film_spread) from.number("film_spread", *learned.film_spread);
    from.quantity("error_used", learned.error_used_k, Dimension::temperature_difference);
    from.quantity("error_held_out", learned.error_held_out_k, Dimension::temperature_difference);
    from.quantity("residual", learned.residual_k, Dimension::temperature_difference);
    from.quantity("residual_time", learned.residual_time_s, Dimension::time);
    return text + section("learned_from", from);
}

}  // namespace bakewright::profile
