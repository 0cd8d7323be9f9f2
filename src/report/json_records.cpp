// SPDX-License-Identifier: Apache-2.0
#include "json_records.hpp"

#include <cmath>

#include "bakewright/cure/rule.hpp"
#include "bakewright/report/tables.hpp"

namespace bakewright::report {
namespace {

std::string_view basis_name(cure::ScheduleBasis basis) {
    if (basis == cure::ScheduleBasis::part) return "part";
    return basis == cure::ScheduleBasis::booth_air ? "booth_air" : "not_stated";
}

}  // namespace

Json json_of(const cure::Band& band) { return {{"at_low", band.at_low}, {"at_value", band.at_value}, {"at_high", band.at_high}}; }

Json json_of(const cure::RowReading& reading) {
    return {{"temperature_k", reading.row.temperature_k},
            {"minimum_s", reading.row.minimum_s},
            {"maximum_s", number_or_null(reading.row.maximum_s)},
            {"longest_stay_s", reading.longest_stay_s},
            {"total_s", reading.total_s},
            {"missing_s", reading.missing_s}};
}

Json json_of(const cure::LimitReading& reading) {
    return {{"temperature_k", reading.limit.temperature_k},
            {"allowed_s", reading.limit.allowed_s},
            {"scope", reading.limit.scope == cure::ExposureScope::lifetime ? "lifetime" : "bake"},
            {"kind", reading.limit.kind == cure::LimitKind::warn           ? "warn"
                     : reading.limit.kind == cure::LimitKind::never_inside ? "never_inside"
                                                                           : "never"},
            {"exposed_s", reading.exposed_s},
            {"exposed_at_margin_s", reading.exposed_at_margin_s},
            {"passed", reading.passed},
            {"near", reading.near}};
}

Json json_of(const cure::Gaps& gaps) {
    return {{"bridged_s", gaps.bridged_s},
            {"open_s", gaps.open_s},
            {"lost_before_s", gaps.lost_before_s},
            {"lost_after_s", gaps.lost_after_s}};
}

Json json_of(const cure::ConversionReading& reading) {
    return {{"conversion", reading.conversion},
            {"glass_transition_k", number_or_null(reading.glass_k)},
            {"vitrified_at_s", number_or_null(reading.vitrified_at_s)},
            {"reached_at_s", number_or_null(reading.reached_s)}};
}

Json json_of(const cure::Certainty& certainty) {
    return {{"best_guess", cure::word_text(certainty.best)},
            {"probability", certainty.probability},
            {"too_close_to_call", certainty.too_close},
            {"under", certainty.probabilities.under},
            {"good", certainty.probabilities.good},
            {"over", certainty.probabilities.over},
            {"more_time_s", number_or_null(certainty.more_time_s)},
            {"more_time_at_k",
             certainty.more_time_s && certainty.more_time_at_k > 0.0 ? Json(certainty.more_time_at_k) : Json(nullptr)},
            {"sharper_standard_uncertainty_k", number_or_null(certainty.sharper_k)},
            {"is_predicted", certainty.is_predicted}};
}

namespace {

Json why_not(const std::optional<cure::NotJudged>& why) {
    if (!why) return nullptr;
    if (*why == cure::NotJudged::no_trace) return "no_trace";
    return *why == cure::NotJudged::no_booth_air ? "no_booth_air" : "too_little";
}

}  // namespace

Json json_of(const cure::HeatWarning& warning) {
    const bool rate = warning.kind == cure::HeatWarningKind::heated_too_fast;
    return {{"warning", cure::heat_warning_text(warning.kind)},
            {"where", warning.where},
            {"at_s", warning.at_s},
            {rate ? "found_k_per_s" : "found_s", warning.found},
            {rate ? "accepted_k_per_s" : "accepted_s", warning.accepted},
            {"reason", warning.reason}};
}

namespace {}  // namespace

Json json_of(const bake::HeatAccount& heat) {
    return {{"convection_j", heat.convection_j},
            {"radiation_j", heat.radiation_j},
            {"infrared_j", heat.infrared_j},
            {"stored_j", heat.stored_j},
            {"closure_j", heat.closure_j}};
}

Json json_of(const std::optional<bake::BoothRun>& run) {
    if (!run) return nullptr;
    return {{"burner_j", run->burner_j},
            {"fresh_air_j", run->fresh_air_j},
            {"wall_loss_j", run->wall_loss_j},
            {"shell_j", run->shell_j},
            {"stored_j", run->stored_j},
            {"closure_j", run->closure_j},
            {"largest_power_w", run->largest_power_w},
            {"full_power_s", run->full_power_s},
            {"pulsing_s", run->pulsing_s},
            {"starts", run->starts},
            {"tripped_s", number_or_null(run->tripped_s)}};
}

Json json_of(const ZoneSummary& zone, std::optional<double> arrival_k) {
    return {{"name", zone.name},
            {"role", trace_role_name(zone.role)},
            {"peak_temperature_k", zone.peak_temperature_k},
            {"peak_at_s", zone.peak_at_s},
            {"end_temperature_k", zone.end_temperature_k},
            {"arrival_temperature_k", number_or_null(arrival_k)},
            {"arrived_at_s", number_or_null(zone.reached_at_s)},
            {"steepest_rate_k_per_s", number_or_null(zone.steepest_rate_k_per_s)}};
}

Json number_or_null(const std::optional<double>& value) { return value ? Json(*value) : Json(nullptr); }

Json json_of(const Trace& trace) {
    Json json = {{"name", trace.name},
                 {"role", trace_role_name(trace.role)},
                 {"time_s", trace.time_s},
                 {"temperature_k", trace.temperature_k}};
    if (trace.quality.empty()) return json;
    Json quality = Json::array();
    for (const SampleQuality flag : trace.quality) quality.push_back(sample_quality_name(flag));
    json["quality"] = std::move(quality);
    return json;
}

Json json_of(const bake::ResolvedStage& stage) {
    return {{"kind", word_of(stage.kind)},       {"begin_s", stage.begin_s},      {"end_s", stage.end_s},
            {"begin_setpoint_k", stage.begin_k}, {"end_setpoint_k", stage.end_k}, {"door_open_s", stage.door_open_s}};
}

Json json_of(const bake::SplitZone& split) {
    return {{"zone", split.zone}, {"nodes", split.nodes}, {"biot", split.biot}, {"reason", split.reason}};
}

Json json_of(const bake::RunSummary& summary) {
    return {{"ran", summary.ran},
            {"stepper", summary.stepper},
            {"nodes", summary.nodes},
            {"accepted_steps", summary.accepted_steps},
            {"rejected_steps", summary.rejected_steps},
            {"rate_evaluations", summary.rate_evaluations},
            {"compute_s", summary.compute_s},
            {"splits", json_list(summary.splits)},
            {"heat", json_of(summary.heat)},
            {"booth", json_of(summary.booth)}};
}

Json json_of(const cure::WindowReading& window) {
    return {{"credit", window.credit},
            {"stay_from_s", window.stay.from_s},
            {"stay_until_s", window.stay.until_s},
            {"dips_s", window.stay.dips_s},
            {"reached_s", number_or_null(window.reached_s)},
            {"missing_s", std::isfinite(window.missing_s) ? Json(window.missing_s) : Json(nullptr)}};
}

Json json_of(const cure::FoundSoft& found) {
    return {{"method", found.method},
            {"after_s", found.after_s},
            {"bake", found.bake},
            {"readings_word", cure::word_text(found.readings_word)}};
}

Json json_of(const cure::ZoneVerdict& zone) {
    return {{"zone", zone.zone},
            {"role", trace_role_name(zone.role)},
            {"word", cure::word_text(zone.word)},
            {"why_not_judged", why_not(zone.why_not)},
            {"reason", zone.reason},
            {"rows", json_list(zone.rows)},
            {"window", json_of(zone.window)},
            {"noise_k", zone.noise_k},
            {"on_makers_word", zone.is_on_makers_word},
            {"beyond_sheet", zone.is_beyond_sheet},
            {"dose", json_of(zone.dose)},
            {"equivalent_time_s", json_of(zone.equivalent_time_s)},
            {"reference_temperature_k", zone.reference_temperature_k},
            {"reference_minimum_s", zone.reference_minimum_s},
            {"over_bake_dose", json_of(zone.over_bake_dose)},
            {"absolute_maximum_k", number_or_null(zone.absolute_maximum_k)},
            {"peak_temperature_k", zone.peak_temperature_k},
            {"peak_at_s", zone.peak_at_s},
            {"steepest_rate_k_per_s", zone.steepest_rate_k_per_s},
            {"steepest_from_s", zone.steepest_from_s},
            {"cured_at_s", number_or_null(zone.cured_at_s)},
            {"heat_to_cure_s", number_or_null(zone.heat_to_cure_s)},
            {"beyond_last_row_s", zone.beyond_last_row_s},
            {"certainty", zone.certainty ? json_of(*zone.certainty) : Json(nullptr)},
            {"share_of_panel", number_or_null(zone.share_of_panel)},
            {"ended_warm_at_k", number_or_null(zone.ended_warm_at_k)},
            {"degree_of_cure", zone.conversion ? json_of(*zone.conversion) : Json(nullptr)},
            {"required_conversion", number_or_null(zone.required_conversion)},
            {"gaps", json_of(zone.gaps)},
            {"gap_may_hide_cure", zone.gap_may_hide_cure},
            {"gap_may_hide_heat", zone.gap_may_hide_heat},
            {"found_soft", zone.found_soft ? json_of(*zone.found_soft) : Json(nullptr)},
            {"known_from", zone.known_from ? Json(cure::known_from_text(*zone.known_from)) : Json(nullptr)}};
}

Json json_of(const cure::ItemVerdict& item) {
    return {{"item", item.item},
            {"word", cure::word_text(item.word)},
            {"why_not_judged", why_not(item.why_not)},
            {"reason", item.reason},
            {"limits", json_list(item.limits)},
            {"limit_source", item.limit_source},
            {"no_limit_known_of", item.no_limit_known_of},
            {"peak_temperature_k", item.peak_temperature_k},
            {"peak_at_s", item.peak_at_s},
            {"margin_k", item.margin_k},
            {"certainty", item.certainty ? json_of(*item.certainty) : Json(nullptr)},
            {"gaps", json_of(item.gaps)},
            {"gap_may_hide_heat", item.gap_may_hide_heat},
            {"known_from", item.known_from ? Json(cure::known_from_text(*item.known_from)) : Json(nullptr)}};
}

Json json_of(const tune::ChannelComparison& channel) {
    return {{"predicted", channel.predicted},
            {"logged", channel.logged},
            {"role", trace_role_name(channel.role)},
            {"from_s", channel.from_s},
            {"to_s", channel.to_s},
            {"samples", channel.samples},
            {"bias_k", channel.bias_k},
            {"rms_k", channel.rms_k},
            {"largest_k", channel.largest_k},
            {"largest_at_s", channel.largest_at_s},
            {"lag_s", number_or_null(channel.lag_s)},
            {"rms_after_shift_k", channel.rms_after_shift_k},
            {"interpolation_k", channel.interpolation_k}};
}

Json json_of(const tune::Agreement& agreement) {
    Json channels = Json::array();
    for (const tune::ChannelAgreement& channel : agreement.channels) {
        const bool any_beyond = channel.inside < channel.samples;
        channels.push_back({{"channel", channel.channel},
                            {"role", trace_role_name(channel.role)},
                            {"samples", channel.samples},
                            {"inside", channel.inside},
                            {"agrees", channel.agrees()},
                            {"probe_k", number_or_null(channel.probe_k)},
                            {"attachment_k", number_or_null(channel.attachment_k)},
                            {"model_below_k", number_or_null(channel.below_k)},
                            {"model_above_k", number_or_null(channel.above_k)},
                            {"interpolation_k", number_or_null(channel.interpolation_k)},
                            {"largest_excess_k", number_or_null(channel.largest_excess_k)},
                            {"largest_excess_at_s", any_beyond ? Json(channel.largest_excess_at_s) : Json(nullptr)}});
    }
    return {{"channels", std::move(channels)}, {"probes", agreement.probes_origin}, {"model", agreement.model_origin}};
}

Json json_of(const Assumption& assumption) {
    return {{"subject", assumption.subject}, {"value", assumption.value}, {"source", assumption.source}};
}

Json json_of(const Provenance& provenance) { return {{"subject", provenance.subject}, {"value", provenance.value}}; }

Json fields_of(const TraceSet& traces) { return {{"started_at", traces.started_at}, {"traces", json_list(traces.traces)}}; }

Json json_summaries(const TraceSet& traces, const std::vector<bake::ResolvedStage>& stages) {
    const std::optional<double> arrival_k = arrival_temperature_k(stages);
    Json list = Json::array();
    for (const ZoneSummary& zone : summarize(traces, arrival_k)) list.push_back(json_of(zone, arrival_k));
    return list;
}

Json fields_of(const bake::Prediction& prediction, bool with_traces) {
    Json json = {{"started_at", prediction.traces.started_at},
                 {"stages", json_list(prediction.stages)},
                 {"zones", json_summaries(prediction.traces, prediction.stages)},
                 {"run", json_of(prediction.summary)}};
    if (with_traces) json["traces"] = json_list(prediction.traces.traces);
    return json;
}

Json stages_of(const bake::Cycle& cycle) {
    Json stages = Json::array();
    for (const bake::Stage& stage : cycle.stages)
        stages.push_back({{"kind", std::string(word_of(stage.kind))},
                          {"setpoint_k", number_or_null(stage.setpoint_k)},
                          {"duration_s", number_or_null(stage.duration_s)}});
    return stages;
}

Json fields_of(const cure::BakeVerdict& verdict) {
    const cure::ActivationEnergy& energy = verdict.activation_energy;
    return {{"worst", cure::word_text(verdict.worst())},
            {"coating_title", verdict.coating_title},
            {"schedule_basis", basis_name(verdict.basis)},
            {"activation_energy",
             {{"low_j_per_mol", energy.low_j_per_mol},
              {"value_j_per_mol", energy.value_j_per_mol},
              {"high_j_per_mol", energy.high_j_per_mol},
              {"origin", verdict.activation_energy_origin}}},
            {"zones", json_list(verdict.zones)},
            {"items", json_list(verdict.items)},
            {"warnings", json_list(verdict.warnings)},
            {"heat_on_s", number_or_null(verdict.heat_on_s)},
            {"uncertainty", verdict.uncertainty_origin.empty()
                                ? Json(nullptr)
                                : Json({{"origin", verdict.uncertainty_origin},
                                        {"standard_k", verdict.standard_uncertainty_k > 0.0 ? Json(verdict.standard_uncertainty_k)
                                                                                            : Json(nullptr)}})},
            {"questions", verdict.questions},
            {"after_bake", verdict.after_bake},
            {"rule_version", cure::kRuleVersion},
            {"chance", number_or_null(verdict.chance)},
            {"remarks", texts_of(verdict.remarks)}};
}

Json fields_of(const tune::Comparison& comparison) {
    return {{"channels", json_list(comparison.channels)},
            {"unmatched_predicted", comparison.unmatched_predicted},
            {"unmatched_logged", comparison.unmatched_logged}};
}

std::string json_text(const Json& json, int indent) { return json.dump(indent, ' ', false, Json::error_handler_t::replace); }

namespace {

/// Raised when a key changes its meaning or goes; new keys may come without.
constexpr int kFormatVersion = 1;

/// A name given twice keeps its first place and takes the last value, as in JSON.
void take(Json& document, Json& fields) {
    for (auto& [key, value] : fields.items()) document[key] = std::move(value);
}

}  // namespace

Json document(std::string_view format, Json fields) {
    Json made = {{"format", format}, {"format_version", kFormatVersion}};
    take(made, fields);
    return made;
}

void put_first(Json& document, const char* key, Json value) {
    Json made = {{"format", document["format"]}, {"format_version", document["format_version"]}, {key, std::move(value)}};
    take(made, document);
    document = std::move(made);
}

}  // namespace bakewright::report
