#include "bakewright/report/booth_run.hpp"

#include <fmt/format.h>

#include <optional>

#include "bakewright/base/units.hpp"
#include "bakewright/report/elapsed.hpp"
#include "numbers.hpp"

namespace bakewright::report {
namespace {

/// Air so close to its set point has arrived. Common practice: what a booth's display can be trusted to.
constexpr double kArrivedK = 1.0;

std::string kilowatt_hours(double heat_j) { return fixed(heat_j / (1000.0 * kSecondPerHour), 1); }

std::string heat_sentence(const bake::BoothRun& run) {
    return fmt::format(
        "Burner: {} kWh, of which {} kWh went into the shell, {} kWh out with the air, {} kWh through the walls, and {} kWh are "
        "left in the booth's air and walls. Largest power {} kW.",
        kilowatt_hours(run.burner_j), kilowatt_hours(run.shell_j), kilowatt_hours(run.fresh_air_j),
        kilowatt_hours(run.wall_loss_j), kilowatt_hours(run.stored_j), fixed(run.largest_power_w / 1000.0, 0));
}

/// The end of the first rise to the highest set point: where the air should have arrived.
const bake::ResolvedStage* last_rise(const std::vector<bake::ResolvedStage>& stages) {
    const bake::ResolvedStage* rise = nullptr;
    for (const bake::ResolvedStage& stage : stages)
        if (stage.end_k > stage.begin_k && (rise == nullptr || stage.end_k > rise->end_k)) rise = &stage;
    return rise;
}

std::optional<std::string> lag_sentence(const bake::Prediction& prediction, const Units& units) {
    const bake::ResolvedStage* rise = last_rise(prediction.stages);
    const Trace* air = prediction.traces.find("booth air");
    if (rise == nullptr || air == nullptr) return std::nullopt;
    const double behind_k = rise->end_k - temperature_at_k(*air, rise->end_s);
    if (!(behind_k > kArrivedK)) return std::nullopt;
    std::string when = "does not arrive";
    for (std::size_t i = 0; i < air->size(); ++i)
        if (air->time_s[i] >= rise->end_s && air->temperature_k[i] >= rise->end_k - kArrivedK) {
            when = fmt::format("arrives at {}", elapsed_text(air->time_s[i]));
            break;
        }
    return fmt::format("When the ramp ends at {}, the air is {} under its set point; it {}.", elapsed_text(rise->end_s),
                       format_temperature_difference(behind_k, units), when);
}

}  // namespace

std::vector<std::string> booth_run_sentences(const bake::Prediction& prediction, const Units& units) {
    std::vector<std::string> sentences;
    if (!prediction.summary.booth) return sentences;
    const bake::BoothRun& run = *prediction.summary.booth;
    if (run.tripped_s)
        sentences.push_back(fmt::format("The high limit trips at {}: the burner stays off from there. Do not set this cycle.",
                                        elapsed_text(*run.tripped_s)));
    if (const std::optional<std::string> lag = lag_sentence(prediction, units)) sentences.push_back(*lag);
    if (run.full_power_s > 0.0)
        sentences.push_back(fmt::format("The burner runs at its full power for {} min.", minutes_number(run.full_power_s, 0)));
    if (run.pulsing_s > 0.0)
        sentences.push_back(
            fmt::format("It is under its least steady power, and pulses, for {} min.", minutes_number(run.pulsing_s, 0)));
    if (run.starts > 0) sentences.push_back(fmt::format("The burner is lit {} times.", run.starts));
    sentences.push_back(heat_sentence(run));
    return sentences;
}

}  // namespace bakewright::report
