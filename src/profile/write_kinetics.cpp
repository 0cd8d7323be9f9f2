#include "record_writers.hpp"
#include "words.hpp"

namespace bakewright::profile {
namespace {

void add_rate(KeyValues& values, const cure::ArrheniusRate& rate) {
    values.number("prefactor_per_s", rate.prefactor_per_s);
    values.quantity("activation_energy", rate.activation_energy_j_per_mol, Dimension::activation_energy);
}

KeyValues rate_values(const cure::ArrheniusRate& rate) {
    KeyValues values;
    add_rate(values, rate);
    return values;
}

KeyValues glass_values(const cure::GlassTransition& glass) {
    KeyValues values;
    values.quantity("uncured", glass.uncured_k, Dimension::temperature);
    values.quantity("cured", glass.cured_k, Dimension::temperature);
    values.number("lambda", glass.lambda);
    return values;
}

KeyValues values_of(const cure::CriticalConversion& law) {
    KeyValues values;
    values.text("law", text_of(kDiffusionWords, DiffusionLaw::critical_conversion));
    values.number("steepness", law.steepness);
    values.number("offset", law.offset);
    values.number("per_k", law.per_k);
    return values;
}

KeyValues values_of(const cure::FreeVolumeDiffusion& law) {
    KeyValues values;
    values.text("law", text_of(kDiffusionWords, DiffusionLaw::free_volume));
    add_rate(values, law.diffusion);
    values.number("sensitivity", law.sensitivity);
    return values;
}

}  // namespace

KeyValues kinetics_values(const cure::Kinetics& kinetics) {
    KeyValues values;
    if (kinetics.first) values.table("k1", rate_values(*kinetics.first));
    if (kinetics.autocatalytic) {
        values.table("k2", rate_values(kinetics.autocatalytic->rate));
        values.number("m", kinetics.autocatalytic->order);
    }
    values.number("n", kinetics.order);
    values.number("start_conversion", kinetics.start_conversion);
    if (kinetics.required_conversion) values.number("required_conversion", *kinetics.required_conversion);
    if (kinetics.glass) values.table("glass", glass_values(*kinetics.glass));
    if (const auto* law = std::get_if<cure::CriticalConversion>(&kinetics.diffusion)) values.table("diffusion", values_of(*law));
    if (const auto* law = std::get_if<cure::FreeVolumeDiffusion>(&kinetics.diffusion)) values.table("diffusion", values_of(*law));
    return values;
}

}  // namespace bakewright::profile
