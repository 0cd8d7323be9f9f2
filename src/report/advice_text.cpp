#include "bakewright/report/advice_text.hpp"

#include <fmt/core.h>

#include "bakewright/report/plain_text.hpp"
#include "json_records.hpp"
#include "numbers.hpp"

namespace bakewright::report {
namespace {

Table place_table(const std::vector<tune::AdvisedProbe>& places, const Units& units) {
    const std::string unit = difference_symbol(units);
    Table table({{"zone", Align::left, true},
                 {"its own\nbefore " + unit, Align::right},
                 {"after\n" + unit, Align::right},
                 {"all zones\nbefore " + unit, Align::right},
                 {"after\n" + unit, Align::right},
                 {"teaches most of", Align::left, true}});
    for (const tune::AdvisedProbe& place : places)
        table.add({one_line(place.zone), difference_number(place.own_before_k, units, 2),
                   difference_number(place.own_after_k, units, 2), difference_number(place.all_before_k, units, 2),
                   difference_number(place.all_after_k, units, 2), one_line(place.teaches)});
    return table;
}

Json places_json(const std::vector<tune::AdvisedProbe>& places) {
    Json list = Json::array();
    for (const tune::AdvisedProbe& place : places)
        list.push_back({{"zone", place.zone},
                        {"own_before_k", number_or_null(place.own_before_k)},
                        {"own_after_k", number_or_null(place.own_after_k)},
                        {"all_before_k", number_or_null(place.all_before_k)},
                        {"all_after_k", number_or_null(place.all_after_k)},
                        {"teaches", place.teaches}});
    return list;
}

}  // namespace

std::string advice_text(const tune::ProbeAdvice& advice, const TextOptions& options) {
    std::string text =
        table_block("Where the next probes teach most, one after the other", place_table(advice.order, options.units), options);
    text += '\n' + table_block("Each zone, were it the next", place_table(advice.first, options.units), options);
    return text +
           fmt::format("\nA sample is taken to differ from the best model by {} that stay alike for {} ({}).\n",
                       format_temperature_difference(advice.residual_k, options.units, 2),
                       format_duration(advice.residual_time_s), advice.residual_origin) +
           "Standard deviations of predicted temperatures, root mean square over the bake; all zones: those that are coated.\n"
           "Beside them, a zone where nothing may get too hot or that must be cured deserves a probe for its own sake.\n";
}

Json document_of(const tune::ProbeAdvice& advice) {
    return document("bakewright.probe-advice", {{"order", places_json(advice.order)},
                                                {"next", places_json(advice.first)},
                                                {"residual_k", number_or_null(advice.residual_k)},
                                                {"residual_time_s", number_or_null(advice.residual_time_s)},
                                                {"residual_origin", advice.residual_origin}});
}

}  // namespace bakewright::report
