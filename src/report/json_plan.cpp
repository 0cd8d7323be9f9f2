// SPDX-License-Identifier: Apache-2.0
#include "bakewright/report/json.hpp"
#include "bakewright/report/likeliest_text.hpp"
#include "bakewright/report/map_text.hpp"
#include "bakewright/report/places_text.hpp"
#include "bakewright/report/plan_text.hpp"
#include "bakewright/report/tune_text.hpp"
#include "json_records.hpp"

namespace bakewright::report {

namespace {

Json remedy_json(const plan::Remedy& remedy) {
    const auto if_feasible = [&](double value) { return remedy.feasible ? Json(value) : Json(nullptr); };
    return {{"kind", std::string(remedy_name(remedy.kind))},
            {"subject", remedy.subject},
            {"feasible", remedy.feasible},
            {"setpoint_k", if_feasible(remedy.setpoint_k)},
            {"hold_s", if_feasible(remedy.hold_s)},
            {"booth_time_s", if_feasible(remedy.booth_time_s)},
            {"gap_k", number_or_null(remedy.gap_k)}};
}

std::string_view counts_name(plan::Energy::Counts counts) noexcept {
    switch (counts) {
        case plan::Energy::Counts::burner:
            return "burner";
        case plan::Energy::Counts::shell_walls_and_air:
            return "shell_walls_and_air";
        case plan::Energy::Counts::shell:
            return "shell";
    }
    return "shell";
}

}  // namespace

Json json_of(const plan::Energy& energy) {
    return {{"counts", std::string(counts_name(energy.counts))},
            {"total_j", energy.total_j},
            {"shell_j", energy.shell_j},
            {"walls_j", energy.walls_j},
            {"fresh_air_j", energy.fresh_air_j}};
}

Json json_of(const std::optional<plan::LargestDifference>& difference) {
    if (!difference) return nullptr;
    return {{"metal", difference->pair.metal},
            {"laminate", difference->pair.laminate},
            {"metal_less_laminate_k", difference->metal_less_laminate_k},
            {"at_s", difference->at_s}};
}

namespace {

Json candidate_json(const plan::Candidate& candidate) {
    Json zones = Json::array(), items = Json::array();
    for (const cure::ZoneVerdict& zone : candidate.bad_zones)
        zones.push_back({{"zone", zone.zone}, {"word", std::string(cure::word_text(zone.word))}, {"reason", zone.reason}});
    for (const cure::ItemVerdict& item : candidate.bad_items)
        items.push_back({{"item", item.item}, {"word", std::string(cure::word_text(item.word))}, {"reason", item.reason}});
    return {
        {"setpoint_k", candidate.setpoint_k},         {"hold_s", number_or_null(candidate.hold_s)},
        {"booth_time_s", candidate.booth_time_s},     {"feasible", candidate.feasible},
        {"energy", json_of(candidate.energy)},        {"margin_k", candidate.feasible ? Json(candidate.margin_k) : Json(nullptr)},
        {"zones_not_good", std::move(zones)},         {"items_not_good", std::move(items)},
        {"chance", number_or_null(candidate.chance)}, {"unsure", candidate.unsure}};
}

Json choice_json(const plan::Choice& choice) {
    Json json = candidate_json(choice.candidate);
    json["objective"] = std::string(objective_name(choice.objective));
    return json;
}

}  // namespace

Json json_of(const plan::Margins& margins) {
    Json zones = Json::array(), items = Json::array();
    for (const plan::ZoneMargin& zone : margins.zones)
        zones.push_back({{"zone", zone.zone}, {"cure_k", zone.cure_k}, {"too_much_k", number_or_null(zone.too_much_k)}});
    for (const plan::ItemMargin& item : margins.items) items.push_back({{"item", item.item}, {"spare_k", item.spare_k}});
    Json coats = Json::array();
    for (const plan::CoatMargin& coat : margins.coats)
        coats.push_back({{"coat", coat.coat}, {"zone", coat.zone}, {"spare_k", coat.spare_k}});
    return {{"smallest_k", margins.smallest_k()},
            {"smallest_of", margins.smallest_of()},
            {"zones", std::move(zones)},
            {"items", std::move(items)},
            {"coats", std::move(coats)}};
}

namespace {

Json effect_json(const plan::AssumptionEffect& effect) {
    return {{"assumed", std::string(assumed_name(effect.assumed))},
            {"settled_by", std::string(how_to_settle(effect.assumed))},
            {"later_at_low_s", number_or_null(effect.later_at_low_s)},
            {"later_at_high_s", number_or_null(effect.later_at_high_s)},
            {"hotter_at_low_k", effect.hotter_at_low_k},
            {"hotter_at_high_k", effect.hotter_at_high_k}};
}

Json likeliest_json(const std::optional<plan::LikeliestCycle>& likeliest) {
    if (!likeliest) return nullptr;
    return {{"setpoint_k", likeliest->setpoint_k},
            {"hold_s", likeliest->hold_s},
            {"chance", likeliest->chance},
            {"last_zone", likeliest->last_zone},
            {"assumptions", json_list(likeliest->assumptions, effect_json)}};
}

}  // namespace

Json document_of(const plan::Plan& plan, const PlanCompany& company) {
    const auto index = [](const std::optional<std::size_t>& value) { return value ? Json(*value) : Json(nullptr); };
    Json fields = {{"feasible", plan.feasible},
                   {"word", plan.feasible ? Json(std::string(cure::word_text(plan.verdict.worst()))) : Json(nullptr)},
                   {"objective", std::string(objective_name(plan.objective))},
                   {"best", index(plan.best)},
                   {"coolest_that_cures", index(plan.coolest_that_cures)},
                   {"hottest_that_spares", index(plan.hottest_that_spares)},
                   {"slowest_zone", plan.slowest_zone},
                   {"stages", stages_of(plan.cycle)},
                   {"candidates", json_list(plan.candidates, candidate_json)}};
    fields["chosen"] = plan.feasible ? candidate_json(*plan.chosen) : Json(nullptr);
    fields["choices"] = json_list(plan.choices, choice_json);
    fields["difference"] = json_of(plan.difference);
    fields["margins"] = plan.feasible ? json_of(plan.margins) : Json(nullptr);
    fields["chance"] = number_or_null(plan.chance);
    fields["surest"] = index(plan.surest);
    fields["likeliest_obstacle"] = plan.likeliest_obstacle ? Json(plan.likeliest_obstacle->text()) : Json(nullptr);
    fields["probe_places"] = places_json(plan.probe_places ? plan.probe_places->places : std::vector<plan::ProbePlace>{});
    fields["remedies"] = json_list(company.remedies, remedy_json);
    fields["verdict"] = plan.feasible ? fields_of(plan.verdict) : Json(nullptr);
    fields["prediction"] = plan.feasible ? fields_of(plan.prediction, false) : Json(nullptr);
    fields["after"] = company.after == nullptr ? Json(nullptr) : remaining_json(*company.after);
    fields["taken_out"] = company.taken_out;
    fields["booth_purges_by_itself"] = company.booth_purges_by_itself;
    fields["likeliest"] = likeliest_json(company.likeliest);
    return document("bakewright.plan", fields);
}

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

Json suspect_json(const tune::ChannelFinding& suspect) {
    const tune::ProbeFault& fault = *suspect.fault;
    return {{"finding", word_of(fault.kind)},
            {"bake", suspect.bake},
            {"channel", suspect.channel},
            {"with", fault.kind == probe::FaultKind::exchanged ? Json(fault.with) : Json(nullptr)},
            {"from_s", number_or_null(fault.from_s)},
            {"amount", number_or_null(fault.amount)},
            {"statistic", number_or_null(fault.statistic)}};
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

Json document_of(const tune::TuneResult& result, const std::string& shell_name, const std::string& booth_name) {
    const auto name = [](const std::string& text) { return text.empty() ? Json(nullptr) : Json(text); };
    return document("bakewright.tuning", {{"shell", name(shell_name)},
                                          {"booth", name(booth_name)},
                                          {"converged", result.converged},
                                          {"numbers", mapped(result.numbers, number_json)},
                                          {"errors", mapped(result.errors, error_json)},
                                          {"used_k", number_or_null(result.used_k())},
                                          {"held_out_k", number_or_null(result.held_out_k())},
                                          {"film_spread", number_or_null(result.film_spread)},
                                          {"residual_time_s", number_or_null(result.residual_time_s)},
                                          {"noise_k", number_or_null(result.noise_k)},
                                          {"lag_one", number_or_null(result.lag_one)},
                                          {"durbin_watson", number_or_null(result.durbin_watson)},
                                          {"not_told", Json(texts_of(result.weak))},
                                          {"correlated", mapped(result.correlated,
                                                                [](const tune::CorrelatedPair& pair) -> Json {
                                                                    return {{"first", pair.first.text()},
                                                                            {"second", pair.second.text()},
                                                                            {"correlation", number_or_null(pair.correlation)}};
                                                                })},
                                          {"suspects", mapped(result.suspects, suspect_json)},
                                          {"probes", mapped(result.probes, probe_json)},
                                          {"warnings", Json(texts_of(result.warnings))},
                                          {"solves", result.solves},
                                          {"compute_s", number_or_null(result.compute_s)}});
}

}  // namespace bakewright::report
