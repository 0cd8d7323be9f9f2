#include "record_readers.hpp"

namespace bakewright::profile {
namespace {

void read_rate(TableReader& reader, cure::ArrheniusRate& rate) {
    reader.read_number("prefactor_per_s", rate.prefactor_per_s, "a number above 0, per second", Need::required);
    reader.read_quantity("activation_energy", Dimension::activation_energy, rate.activation_energy_j_per_mol, Need::required);
}

cure::ArrheniusRate rate_of(TableReader& reader) {
    cure::ArrheniusRate rate;
    read_rate(reader, rate);
    reader.finish();
    return rate;
}

cure::GlassTransition glass_of(TableReader& reader) {
    cure::GlassTransition glass;
    reader.read_quantity("uncured", Dimension::temperature, glass.uncured_k, Need::required);
    reader.read_quantity("cured", Dimension::temperature, glass.cured_k, Need::required);
    reader.read_number("lambda", glass.lambda, "a number above 0, up to 1", Need::required);
    reader.finish();
    return glass;
}

cure::CriticalConversion critical_of(TableReader& reader) {
    cure::CriticalConversion law;
    reader.read_number("steepness", law.steepness, "a number above 0", Need::required);
    reader.read_number("offset", law.offset, "a number", Need::required);
    reader.read_number("per_k", law.per_k, "a number from 0 up, per kelvin", Need::required);
    return law;
}

cure::FreeVolumeDiffusion free_volume_of(TableReader& reader) {
    cure::FreeVolumeDiffusion law;
    read_rate(reader, law.diffusion);
    reader.read_number("sensitivity", law.sensitivity, "a number above 0", Need::required);
    return law;
}

void read_diffusion(TableReader& reader, cure::Kinetics& kinetics) {
    DiffusionLaw law = DiffusionLaw::critical_conversion;
    if (!reader.read_word("law", kDiffusionWords, law, Need::required)) return reader.collector().mark_unread(reader.path());
    if (law == DiffusionLaw::critical_conversion)
        kinetics.diffusion = critical_of(reader);
    else
        kinetics.diffusion = free_volume_of(reader);
    reader.finish();
}

}  // namespace

cure::Kinetics read_kinetics(TableReader& reader) {
    cure::Kinetics kinetics;
    if (std::optional<TableReader> first = reader.table("k1")) kinetics.first = rate_of(*first);
    if (std::optional<TableReader> second = reader.table("k2")) {
        kinetics.autocatalytic.emplace().rate = rate_of(*second);
        reader.read_number("m", kinetics.autocatalytic->order, "a number above 0", Need::required);
    }
    reader.read_number("n", kinetics.order, "a number above 0", Need::required);
    reader.read_number("start_conversion", kinetics.start_conversion, "a number from 0 to below 1");
    double required = 0.0;
    if (reader.read_number("required_conversion", required, "a number below 1")) kinetics.required_conversion = required;
    if (std::optional<TableReader> glass = reader.table("glass")) kinetics.glass = glass_of(*glass);
    if (std::optional<TableReader> diffusion = reader.table("diffusion")) read_diffusion(*diffusion, kinetics);
    reader.finish();
    return kinetics;
}

}  // namespace bakewright::profile
