#include "bakewright/report/tune_text.hpp"
#include "json_records.hpp"

namespace bakewright::report {
namespace {

Json number_json(const tune::TunedNumber& number) {
    return {{"what", std::string(word_of(number.learned.kind))},
            {"of", number.learned.subject},
            {"value", number_or_null(number.learned.value)},
            {"standard_error", number_or_null(number.learned.standard_error)},
            {"before", number_or_null(number.before)},
            {"prior_standard", number_or_null(number.prior_standard)},
            {"told", number_or_null(number.told())},
            {"at_bound", number.at_bound}};
}

Json probe_json(const tune::TunedProbe& probe) {
    return {{"bake", probe.bake},
            {"channel", probe.channel},
            {"offset_k", number_or_null(probe.offset_k)},
            {"offset_standard_k", number_or_null(probe.offset_standard_k)},
            {"air_share", number_or_null(probe.air_share)},
            {"air_share_standard", number_or_null(probe.air_share_standard)},
            {"lag_s", number_or_null(probe.lag_s)},
            {"lag_standard_s", number_or_null(probe.lag_standard_s)}};
}

Json suspect_json(const tune::Suspect& suspect) {
    const bool is_pair = suspect.kind == tune::Suspect::Kind::exchanged;
    return {{"finding", is_pair ? "exchanged" : "loose"},
            {"bake", suspect.bake},
            {"channel", suspect.channel},
            {"with", is_pair ? Json(suspect.with) : Json(nullptr)},
            {"air_share", is_pair ? Json(nullptr) : number_or_null(suspect.share)},
            {"from_s", is_pair ? Json(nullptr) : number_or_null(suspect.from_s)},
            {"rms_k", number_or_null(suspect.rms_k)},
            {"rms_then_k", number_or_null(suspect.rms_then_k)}};
}

Json error_json(const tune::BakeError& error) {
    return {{"bake", error.bake},
            {"channels", error.channels},
            {"before_k", number_or_null(error.before_k)},
            {"used_k", number_or_null(error.used_k)},
            {"held_out_k", number_or_null(error.held_out_k)},
            {"held_out_parts", error.held_out_parts},
            {"probe_standard_k", number_or_null(error.probe_standard_k)}};
}

template <class Records, class Function>
Json mapped(const Records& records, Function&& function) {
    Json list = Json::array();
    for (const auto& record : records) list.push_back(function(record));
    return list;
}

}  // namespace

std::string to_json_text(const tune::TuneResult& result, const std::string& shell_name, const std::string& booth_name,
                         const JsonOptions& options) {
    const auto name = [](const std::string& text) { return text.empty() ? Json(nullptr) : Json(text); };
    return document_text("bakewright.tuning",
                         {{"shell", name(shell_name)},
                          {"booth", name(booth_name)},
                          {"converged", result.converged},
                          {"numbers", mapped(result.numbers, number_json)},
                          {"errors", mapped(result.errors, error_json)},
                          {"used_k", number_or_null(result.used_k())},
                          {"held_out_k", number_or_null(result.held_out_k())},
                          {"held_out_with_zones_k", number_or_null(result.held_out_with_zones_k)},
                          {"held_out_without_zones_k", number_or_null(result.held_out_without_zones_k)},
                          {"zones_kept", result.zones_kept},
                          {"film_spread", number_or_null(result.film_spread)},
                          {"residual_time_s", number_or_null(result.residual_time_s)},
                          {"noise_k", number_or_null(result.noise_k)},
                          {"lag_one", number_or_null(result.lag_one)},
                          {"durbin_watson", number_or_null(result.durbin_watson)},
                          {"singular_values", mapped(result.singular_value, [](double value) { return number_or_null(value); })},
                          {"not_told", Json(texts_of(result.weak))},
                          {"correlated", mapped(result.correlated,
                                                [](const tune::TuneResult::Pair& pair) -> Json {
                                                    return {{"first", pair.first.text()},
                                                            {"second", pair.second.text()},
                                                            {"correlation", number_or_null(pair.correlation)}};
                                                })},
                          {"suspects", mapped(result.suspects, suspect_json)},
                          {"probes", mapped(result.probes, probe_json)},
                          {"warnings", Json(texts_of(result.warnings))},
                          {"solves", result.solves},
                          {"compute_s", number_or_null(result.compute_s)}},
                         options);
}

}  // namespace bakewright::report
