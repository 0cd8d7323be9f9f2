#include "bakewright/report/stage_difference_text.hpp"

#include "bakewright/report/plain_text.hpp"
#include "bakewright/report/tables.hpp"
#include "json_records.hpp"
#include "numbers.hpp"

namespace bakewright::report {

std::string stage_difference_text(const std::vector<tune::StageDifference>& differences, const TextOptions& options) {
    const std::string unit = difference_symbol(options.units);
    Table table({{"channel", Align::left, true},
                 {"stage"},
                 {"samples", Align::right},
                 {"bias\n" + unit, Align::right},
                 {"RMS\n" + unit, Align::right},
                 {"drift\n" + unit + "/min", Align::right}});
    for (const tune::StageDifference& one : differences)
        table.add({one_line(one.channel), std::string(stage_words(one.kind)), std::to_string(one.samples),
                   difference_number(one.bias_k, options.units, 2), difference_number(one.rms_k, options.units, 2),
                   difference_number(60.0 * one.slope_k_per_s, options.units, 2)});
    return table_block("By stage: bias in the hold is the plateau's error, drift in the ramp the heating rate's", table, options);
}

std::string with_stage_differences(const std::string& document, const std::vector<tune::StageDifference>& differences) {
    Json json = Json::parse(document);
    Json list = Json::array();
    for (const tune::StageDifference& one : differences)
        list.push_back({{"channel", one.channel},
                        {"stage", std::string(word_of(one.kind))},
                        {"samples", one.samples},
                        {"bias_k", number_or_null(one.bias_k)},
                        {"rms_k", number_or_null(one.rms_k)},
                        {"slope_k_per_s", number_or_null(one.slope_k_per_s)}});
    json["stages"] = std::move(list);
    return dump(json, 2) + '\n';
}

}  // namespace bakewright::report
