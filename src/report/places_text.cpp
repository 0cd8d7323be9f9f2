// SPDX-License-Identifier: Apache-2.0
#include "bakewright/report/places_text.hpp"

#include <fmt/core.h>

#include "bakewright/report/plain_text.hpp"
#include "bakewright/report/table.hpp"
#include "json_records.hpp"

namespace bakewright::report {
namespace {

using plan::PlaceReason;
using plan::ProbeAim;
using plan::ProbePlace;

std::string_view words_of_aim(ProbeAim aim) {
    switch (aim) {
        case ProbeAim::hold:
            return "the doubt about the hold";
        case ProbeAim::cure:
            return "the doubt about how far each zone cures";
        case ProbeAim::items:
            return "the doubt about how hot the items get";
        case ProbeAim::learning:
            break;
    }
    return "the doubt about the temperatures of all coated zones";
}

bool is_in_time(ProbeAim aim) { return aim == ProbeAim::hold || aim == ProbeAim::cure; }

std::string joined(const std::vector<ProbePlace>& places, bool for_safety) {
    std::string names;
    for (const ProbePlace& place : places)
        if (place.is_for_safety() == for_safety) names += (names.empty() ? "" : "; ") + place_words(place);
    return names;
}

/// Seconds as minutes, kelvins in the user's unit.
std::string aim_number(double value, ProbeAim aim, const Units& units) {
    return is_in_time(aim) ? fixed(value / kSecondPerMinute, 1) : difference_number(value, units, 2);
}

Table place_table(const plan::ProbePlaces& found, const std::vector<ProbePlace>& places, const Units& units) {
    const std::string own = difference_symbol(units), aim = is_in_time(found.aim) ? "min" : own;
    Table table({{"place", Align::left, true},
                 {"share\n%", Align::right},
                 {"its own\nbefore " + own, Align::right},
                 {"after\n" + own, Align::right},
                 {"asked\nbefore " + aim, Align::right},
                 {"after\n" + aim, Align::right},
                 {"tells most of", Align::left, true}});
    for (const ProbePlace& place : places)
        if (!place.is_for_safety())
            table.add({one_line(place.zone), fixed(100.0 * place.share, 0), difference_number(place.own_before_k, units, 2),
                       difference_number(place.own_after_k, units, 2), aim_number(place.aim_before, found.aim, units),
                       aim_number(place.aim_after, found.aim, units), one_line(place.teaches)});
    return table;
}

Json detailed_json(const std::vector<ProbePlace>& places) {
    Json list = places_json(places);
    for (std::size_t i = 0; i < places.size(); ++i) {
        list[i]["own_before_k"] = number_or_null(places[i].own_before_k);
        list[i]["own_after_k"] = number_or_null(places[i].own_after_k);
        list[i]["aim_before"] = number_or_null(places[i].aim_before);
        list[i]["aim_after"] = number_or_null(places[i].aim_after);
        list[i]["teaches"] = places[i].teaches;
    }
    return list;
}

}  // namespace

std::string place_words(const ProbePlace& place) {
    switch (place.reason) {
        case PlaceReason::air_high:
        case PlaceReason::air_low:
            return std::string(word_of(place.reason));
        case PlaceReason::weakest_item:
            return fmt::format("{} ({})", one_line(place.zone), word_of(place.reason));
        case PlaceReason::tells:
        case PlaceReason::test_panel:
            break;
    }
    return one_line(place.zone);
}

std::string places_sentence(const plan::ProbePlaces& places) {
    const std::string told = joined(places.places, false), safe = joined(places.places, true);
    std::string text;
    double share = 0.0;
    for (const ProbePlace& place : places.places) share = std::max(share, place.share);
    if (!told.empty())
        text = fmt::format("Best places for probes: {}. Together they take away {:.0f} % of {} that a probe in the air leaves.",
                           told, 100.0 * share, words_of_aim(places.aim));
    if (!safe.empty()) text += fmt::format("{}For safety besides: {}.", text.empty() ? "" : " ", safe);
    return text;
}

std::string calibration_sentence(const plan::ProbePlaces& places, const Units& units) {
    if (!places.calibration || places.calibration->probes == 0) return {};
    const plan::CalibrationWorth& worth = *places.calibration;
    const std::string calibrated = fmt::format("{} probes calibrated to {}", worth.probes,
                                               format_temperature_difference(plan::kCalibratedStandardK, units, 1));
    if (worth.as_they_are) return fmt::format("{} tell as much as {} as they are.", calibrated, *worth.as_they_are);
    return fmt::format("{} tell more than one on each of all {} places as they are.", calibrated, worth.places);
}

std::string places_text(const plan::ProbePlaces& places, const TextOptions& options) {
    const Units& units = options.units;
    std::string text = paragraph_text(places_sentence(places), options);
    if (const std::string worth = calibration_sentence(places, units); !worth.empty()) text += paragraph_text(worth, options);
    text += '\n' + table_block("One after the other, shares added up", place_table(places, places.places, units), options);
    text += '\n' + table_block("Each place, were it the only next one", place_table(places, places.next, units), options);
    return text +
           fmt::format("\nA sample is taken to differ from the best model by {} that stay alike for {} ({}).\n",
                       format_temperature_difference(places.residual_k, units, 2), format_duration(places.residual_time_s),
                       places.residual_origin) +
           "Standard deviations; its own: of the temperature there, root mean square over the bake.\n";
}

Json places_json(const std::vector<ProbePlace>& places) {
    Json list = Json::array();
    for (const ProbePlace& place : places)
        list.push_back({{"zone", place.zone},
                        {"strip_of", place.strip_of},
                        {"reason", std::string(word_of(place.reason))},
                        {"words", place_words(place)},
                        {"share", place.is_for_safety() ? Json(nullptr) : number_or_null(place.share)}});
    return list;
}

Json document_of(const plan::ProbePlaces& places) {
    Json worth = nullptr;
    if (places.calibration)
        worth = {{"probes", places.calibration->probes},
                 {"standard_k", plan::kCalibratedStandardK},
                 {"as_they_are", places.calibration->as_they_are ? Json(*places.calibration->as_they_are) : Json(nullptr)},
                 {"places", places.calibration->places}};
    return document("bakewright.probe-advice", {{"aim", std::string(word_of(places.aim))},
                                                {"order", detailed_json(places.places)},
                                                {"next", detailed_json(places.next)},
                                                {"calibration", std::move(worth)},
                                                {"residual_k", number_or_null(places.residual_k)},
                                                {"residual_time_s", number_or_null(places.residual_time_s)},
                                                {"residual_origin", places.residual_origin}});
}

}  // namespace bakewright::report
