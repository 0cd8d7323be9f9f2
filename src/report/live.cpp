// SPDX-License-Identifier: Apache-2.0
#include "bakewright/report/live.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "bakewright/base/format.hpp"
#include "bakewright/base/words.hpp"
#include "bakewright/report/json_records.hpp"
#include "bakewright/report/plain_text.hpp"

namespace bakewright::report {
namespace {

Json json_of(const LiveBand& band) { return {{"low", band.low}, {"median", band.median}, {"high", band.high}}; }
Json json_of(const LiveMoment& moment) {
    return {{"low_s", number_or_null(moment.low_s)},
            {"median_s", number_or_null(moment.median_s)},
            {"high_s", number_or_null(moment.high_s)}};
}
Json json_of(const std::optional<LiveLimit>& limit) {
    if (!limit) return nullptr;
    return {{"what", limit->what},
            {"temperature_k", limit->temperature_k},
            {"chance", limit->chance},
            {"earliest_s", number_or_null(limit->earliest_s)},
            {"likeliest_s", number_or_null(limit->likeliest_s)}};
}
Json json_of(const LivePlace& place) {
    return {{"name", place.name},
            {"role", trace_role_name(place.role)},
            {"coated", place.is_coated},
            {"known_from", cure::known_from_text(place.known_from)},
            {"now_k", json_of(place.now_k)},
            {"credit", place.credit ? json_of(*place.credit) : Json(nullptr)},
            {"is_good", place.is_good},
            {"good", json_of(place.good)},
            {"off_now", cure::word_text(place.off_now)},
            {"off_now_chance", place.off_now_chance},
            {"limit", json_of(place.limit)}};
}
Json json_of(const std::optional<LiveChoice>& choice) {
    if (!choice) return nullptr;
    return {{"off_s", choice->off_s},
            {"chance", choice->chance},
            {"word", cure::word_text(choice->word)},
            {"all_good_s", number_or_null(choice->all_good_s)},
            {"last_zone", choice->last_zone}};
}
/// To the thousandth of a kelvin.
Json thousandths(std::vector<double> values) {
    for (double& value : values) value = std::round(value * 1000.0) / 1000.0;
    return values;
}
Json json_of(const LiveCurve& curve) {
    return {{"name", curve.name},
            {"role", trace_role_name(curve.role)},
            {"time_s", curve.time_s},
            {"low_k", thousandths(curve.low_k)},
            {"median_k", thousandths(curve.median_k)},
            {"high_k", thousandths(curve.high_k)}};
}
Json json_of(const LiveWarning& warning) {
    return {{"kind", word_of(warning.kind)}, {"subject", warning.subject},
            {"since_s", warning.since_s},    {"cleared_s", number_or_null(warning.cleared_s)},
            {"says", warning.says.text()},   {"to_do", warning.to_do}};
}

std::string sure_percent(double chance) { return fmt::format("{:.0f} %", std::floor(100.0 * chance + 1e-9)); }

/// By the shop's clock, or where that is unknown since the start.
std::string at_text(const LiveState& state, double time_s) {
    const std::string clock = clock_text(state.started_at, time_s);
    return clock.empty() ? elapsed_text(time_s) : clock;
}

std::string minutes_to_go(double seconds) {
    const double minutes = std::max(0.0, std::ceil(seconds / 60.0 - 1e-6));
    if (minutes > 99.0) return elapsed_text(minutes * 60.0) + " h";
    return fmt::format("{:.0f} min", minutes);
}

std::string phase_text(bake::StageKind kind) {
    std::string text(word_of(kind));
    std::replace(text.begin(), text.end(), '_', '-');
    return text;
}

/// The answer first.
std::string headline(const LiveState& state) {
    if (!state.is_known) return fmt::format("Not foretold: {}. {}", state.why_not, state.to_do);
    if (state.phase == bake::StageKind::cool && state.off_now)
        return fmt::format("HEAT IS OFF: {}, {} sure all good{}", cure::word_text(state.off_now->word),
                           sure_percent(state.off_now->chance),
                           state.off_now->all_good_s && *state.off_now->all_good_s > state.now_s
                               ? " by " + at_text(state, *state.off_now->all_good_s)
                               : "");
    if (!state.heat_off) return fmt::format("NO MINUTE FOR HEAT OFF YET: {}", state.why_no_heat_off);
    const LiveChoice& off = *state.heat_off;
    // What nobody knows, such as how hot an item may get, is in no chance: its remark stands below.
    const std::string_view doubt = off.word == cure::Word::good ? "" : "CHECK: ";
    if (off.off_s <= state.now_s) return fmt::format("{}HEAT CAN GO OFF NOW, {} sure all good", doubt, sure_percent(off.chance));
    std::string text = fmt::format("{}HEAT OFF IN {}, at {}: {} sure all good", doubt, minutes_to_go(off.off_s - state.now_s),
                                   at_text(state, off.off_s), sure_percent(off.chance));
    if (off.all_good_s && *off.all_good_s > off.off_s) text += " by " + at_text(state, *off.all_good_s);
    return text;
}

std::string how_it_stands(const LiveState& state, const TextOptions& options) {
    if (!state.is_known) return {};
    std::string text = fmt::format("{} since {}", phase_text(*state.phase), at_text(state, state.phase_since_s));
    if (state.setpoint_k) text += ", set " + format_temperature(*state.setpoint_k, options.units);
    text += ", air " + format_temperature(state.air_k.median, options.units);
    if (state.cycle_off_s) text += ", the cycle ends its hold at " + at_text(state, *state.cycle_off_s);
    if (state.off_now && state.phase != bake::StageKind::cool)
        text += fmt::format(". Heat off now: {}, {} sure all good", cure::word_text(state.off_now->word),
                            sure_percent(state.off_now->chance));
    if (state.heat_off && !state.heat_off->last_zone.empty()) text += ". Last: " + state.heat_off->last_zone;
    text.front() = static_cast<char>(std::toupper(static_cast<unsigned char>(text.front())));
    return text + ".";
}

std::string good_text(const LiveState& state, const LivePlace& place) {
    if (!place.is_coated) return {};
    if (place.is_good) return "GOOD";
    if (!place.good.median_s) return "not like this";
    const std::string from = place.good.low_s ? at_text(state, *place.good.low_s) : "?";
    return fmt::format("{} ({} to {})", at_text(state, *place.good.median_s), from,
                       place.good.high_s ? at_text(state, *place.good.high_s) : "later");
}

std::string limit_cell(const LiveState& state, const LivePlace& place, const TextOptions& options) {
    if (!place.limit) return {};
    const std::string what = in_degrees_of(place.limit->what, options.units);
    return place.limit->earliest_s ? fmt::format("{} from {}", what, at_text(state, *place.limit->earliest_s)) : what + ": kept";
}

Table live_table(const LiveState& state, const TextOptions& options) {
    Table table({{"zone or item"},
                 {"now\n" + std::string(temperature_symbol(options.units)), Align::right},
                 {"credit", Align::right},
                 {"good at", Align::left},
                 {"off now", Align::left},
                 {"may pass its limit", Align::left, true}});
    for (const LivePlace& place : state.places) {
        const bool is_estimated = place.known_from == cure::KnownFrom::estimated;
        table.add({(is_estimated ? "~ " : "") + place.name,
                   fmt::format("{} ±{}", temperature_number(place.now_k.median, options.units),
                               difference_number((place.now_k.high - place.now_k.low) / 2.0, options.units)),
                   place.credit ? sure_percent(place.credit->median) : "", good_text(state, place),
                   fmt::format("{} {}", cure::word_text(place.off_now), sure_percent(place.off_now_chance)),
                   limit_cell(state, place, options)});
    }
    return table;
}

std::vector<std::string> warning_lines(const LiveState& state, const TextOptions& options) {
    std::vector<std::string> lines;
    for (const LiveWarning& warning : state.warnings)
        lines.push_back(one_line(in_degrees_of(fmt::format("{}. {}.", warning.says.text(), warning.to_do), options.units)));
    return lines;
}

}  // namespace

Json live_document(const LiveState& state) {
    Json places = Json::array(), warnings = Json::array(), curves = Json::array();
    for (const LiveCurve& curve : state.curves) curves.push_back(json_of(curve));
    for (const LivePlace& place : state.places) places.push_back(json_of(place));
    for (const LiveWarning& warning : state.warnings) warnings.push_back(json_of(warning));
    return document("bakewright.live", {{"bake", state.bake},
                                        {"booth", state.booth},
                                        {"started_at", state.started_at},
                                        {"now_s", state.now_s},
                                        {"now_at", state.now_at},
                                        {"update", state.update},
                                        {"estimated_s", state.estimated_s},
                                        {"known", state.is_known},
                                        {"why_not", state.why_not},
                                        {"to_do", state.to_do},
                                        {"phase", state.phase ? Json(word_of(*state.phase)) : Json(nullptr)},
                                        {"phase_since_s", state.phase_since_s},
                                        {"setpoint_k", number_or_null(state.setpoint_k)},
                                        {"cycle_off_s", number_or_null(state.cycle_off_s)},
                                        {"air_k", json_of(state.air_k)},
                                        {"places", std::move(places)},
                                        {"heat_off", json_of(state.heat_off)},
                                        {"why_no_heat_off", state.why_no_heat_off},
                                        {"off_now", json_of(state.off_now)},
                                        {"curves", std::move(curves)},
                                        {"remarks", texts_of(state.remarks)},
                                        {"warnings", std::move(warnings)},
                                        {"members", state.members},
                                        {"readings", state.readings},
                                        {"compute_s", state.compute_s},
                                        {"advice", kLiveAdvice}});
}

Json live_words(const LiveState& state, const Titles& titles, const Units& units) {
    const auto said = [&](Phrase phrase) {
        phrase.rename_places([&](const std::string& name) { return title_of(name, titles); });
        return in_degrees_of(phrase.text(), units);
    };
    Json warnings = Json::array(), remarks = Json::array();
    for (const LiveWarning& warning : state.warnings)
        warnings.push_back({{"says", said(warning.says)}, {"to_do", warning.to_do}});
    for (const Phrase& remark : state.remarks) remarks.push_back(said(remark));
    return {{"why_not", said(state.why_not)},
            {"to_do", state.to_do},
            {"why_no_heat_off", said(state.why_no_heat_off)},
            {"remarks", std::move(remarks)},
            {"warnings", std::move(warnings)}};
}

std::string live_screen(const LiveState& state, const TextOptions& options) {
    std::vector<std::string> remarks;
    for (const std::string& remark : texts_of(state.remarks)) remarks.push_back(one_line(in_degrees_of(remark, options.units)));
    return joined_blocks({paragraph_text(one_line(headline(state)), options),
                          list_text("Warnings", warning_lines(state, options), options),
                          paragraph_text(one_line(how_it_stands(state, options)), options),
                          state.places.empty() ? std::string() : live_table(state, options).text(options.style),
                          list_text("It rests on this", remarks, options), paragraph_text(std::string(kLiveAdvice), options)});
}

std::string live_line(const LiveState& state, const TextOptions& options) {
    std::string text = fmt::format("{} {}", elapsed_text(state.now_s), headline(state));
    if (state.is_known)
        text += fmt::format("; {}, air {}", phase_text(*state.phase), format_temperature(state.air_k.median, options.units));
    for (const LiveWarning& warning : state.warnings) text += fmt::format("; {}", warning.says.text());
    return one_line(in_degrees_of(text, options.units)) + "\n";
}

std::string live_warning_line(const LiveWarning& warning) {
    if (warning.cleared_s) return one_line(fmt::format("{} Over: {}.", elapsed_text(*warning.cleared_s), warning.says.text()));
    return one_line(fmt::format("{} WARNING: {}. {}. ({})", elapsed_text(warning.since_s), warning.says.text(), warning.to_do,
                                "advice, no safety device"));
}

}  // namespace bakewright::report
