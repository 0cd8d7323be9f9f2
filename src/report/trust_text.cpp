// SPDX-License-Identifier: Apache-2.0
#include "bakewright/report/trust_text.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "bakewright/base/units.hpp"
#include "bakewright/report/table.hpp"

namespace bakewright::report {
namespace {

std::string percent_text(double share) { return fmt::format("{:.0f} %", 100.0 * share); }
std::string counted(std::size_t count, const char* what) { return fmt::format("{} {}{}", count, what, count == 1 ? "" : "s"); }

std::string range_text(const cure::ReliabilityRow& row) {
    if (row.from >= cure::kSure) return percent_text(row.from) + " and more";
    if (row.from <= 0.0) return "under " + percent_text(row.to);
    return fmt::format("{} to {}", percent_text(row.from), percent_text(row.to));
}

std::string reliability_sentence(const cure::ReliabilityRow& row) {
    return fmt::format("Of {} of {} that a zone is cured, {} came true; {} can mean {} to {}{}.", counted(row.stated, "chance"),
                       range_text(row), row.came_true, row.stated < 20 ? "so few" : "that", percent_text(row.low),
                       percent_text(row.high), row.can_be_right() ? "" : ", which is not what was stated");
}

Table reliability_table(const cure::Reliability& found) {
    Table table({{"Stated chance\nthat a zone is cured"},
                 {"Stated\ntimes", Align::right},
                 {"Came\ntrue", Align::right},
                 {"Stated\n%", Align::right},
                 {"Came true\n%", Align::right},
                 {"Can mean\n%", Align::right}});
    for (const cure::ReliabilityRow& row : found.rows)
        table.add({range_text(row), std::to_string(row.stated), std::to_string(row.came_true),
                   fmt::format("{:.0f}", 100.0 * row.mean_chance), fmt::format("{:.0f}", 100.0 * row.share()),
                   fmt::format("{:.0f} to {:.0f}", 100.0 * row.low, 100.0 * row.high)});
    return table;
}

Table bakes_table(const ShopRecord& record, const Units& units) {
    Table table({{"Log"},
                 {"Booth"},
                 {"Zones", Align::right},
                 {"In the\n95 % range", Align::right},
                 {"Most off,\npredicted less logged"},
                 {"Chances\nstated", Align::right},
                 {"Came\ntrue", Align::right},
                 {"Left\nopen", Align::right}});
    for (const CheckedBake& bake : record.bakes) {
        if (!bake.why_not.empty()) continue;
        const auto came_true = std::count_if(bake.chances.begin(), bake.chances.end(),
                                             [](const cure::CheckedChance& chance) { return chance.came_true; });
        table.add({bake.log, bake.booth, std::to_string(bake.zones), std::to_string(bake.inside),
                   fmt::format("{} {}", bake.most_off, format_temperature_difference(bake.most_off_k, units)),
                   std::to_string(bake.chances.size()), std::to_string(came_true), std::to_string(bake.left_open)});
    }
    return table;
}

/// "The minute a zone with a probe is good, as foretold in the middle of the hold: ..."; empty where no log has one.
std::string minutes_sentence(const ShopRecord& record) {
    std::vector<double> off_s;
    std::size_t inside = 0;
    for (const CheckedBake& bake : record.bakes)
        for (const CheckedMinute& minute : bake.minutes) {
            off_s.push_back(std::abs(minute.later_s));
            inside += minute.is_inside ? 1 : 0;
        }
    if (off_s.empty()) return {};
    const auto middle = off_s.begin() + static_cast<std::ptrdiff_t>(off_s.size() / 2);
    std::nth_element(off_s.begin(), middle, off_s.end());
    return fmt::format(
        "The minute a zone with a probe is good, as a live forecast says it in the middle of the hold: the band "
        "that was stated to hold 90 % held {} of {}; half of them came within {:.1f} min of what was said.",
        inside, off_s.size(), *middle / kSecondPerMinute);
}

/// "in booth 'x': checked against 4 logs in this booth, ...".
std::vector<std::string> record_sentences(const ShopRecord& record) {
    std::vector<std::string> sentences;
    for (const BoothRecord& of : record.booths)
        sentences.push_back(
            fmt::format("Plans and verdicts for booth '{}' from now on: {}.", of.booth, bake::record_text(of.record)));
    return sentences;
}

}  // namespace

std::size_t ShopRecord::logs() const noexcept {
    return static_cast<std::size_t>(
        std::count_if(bakes.begin(), bakes.end(), [](const CheckedBake& bake) { return bake.why_not.empty(); }));
}

std::vector<std::string> trust_sentences(const ShopRecord& record) {
    const std::string where = record.booth.empty() ? "in this book" : fmt::format("in booth '{}'", record.booth);
    std::vector<std::string> sentences;
    if (record.logs() == 0) {
        sentences.push_back(
            fmt::format("Never yet checked against a log {}: how sure plans and verdicts are rests on common practice alone. "
                        "Predict a bake, bake it, and import its log with --of and the number of the prediction.",
                        where));
    } else {
        std::size_t zones = 0, inside = 0;
        for (const CheckedBake& bake : record.bakes) {
            zones += bake.zones;
            inside += bake.inside;
        }
        sentences.push_back(fmt::format("{} {} held against the prediction of the bake.", counted(record.logs(), "log"), where));
        sentences.push_back(
            fmt::format("The range that was stated to hold a zone's temperature 95 % of the time held {} of {}.", inside, zones));
        for (const cure::ReliabilityRow& row : record.cured.rows) sentences.push_back(reliability_sentence(row));
        if (record.cured.count > 0)
            sentences.push_back(fmt::format("Brier score of these {}: {:.2f} (0 is perfect, 0.25 is a coin toss).",
                                            counted(record.cured.count, "chance"), record.cured.brier));
        if (std::string minutes = minutes_sentence(record); !minutes.empty()) sentences.push_back(std::move(minutes));
        for (std::string& sentence : record_sentences(record)) sentences.push_back(std::move(sentence));
    }
    for (const CheckedBake& bake : record.bakes)
        if (!bake.why_not.empty()) sentences.push_back(fmt::format("Not counted: {}: {}.", bake.log, bake.why_not));
    return sentences;
}

std::string trust_text(const ShopRecord& record, const TextOptions& options) {
    return joined_blocks({list_text("How far stated chances came true", trust_sentences(record), options),
                          table_block("By stated chance", reliability_table(record.cured), options),
                          table_block("By bake", bakes_table(record, options.units), options)});
}

Json document_of(const ShopRecord& record) {
    Json rows = Json::array(), bakes = Json::array(), booths = Json::array();
    for (const cure::ReliabilityRow& row : record.cured.rows)
        rows.push_back({{"from", row.from},
                        {"to", row.to},
                        {"stated", row.stated},
                        {"came_true", row.came_true},
                        {"mean_chance", row.mean_chance},
                        {"low", row.low},
                        {"high", row.high}});
    for (const CheckedBake& bake : record.bakes) {
        Json chances = Json::array();
        for (const cure::CheckedChance& chance : bake.chances)
            chances.push_back({{"chance", chance.chance}, {"came_true", chance.came_true}});
        Json minutes = Json::array();
        for (const CheckedMinute& minute : bake.minutes)
            minutes.push_back({{"zone", minute.zone}, {"later_s", minute.later_s}, {"inside", minute.is_inside}});
        bakes.push_back({{"log", bake.log},
                         {"booth", bake.booth},
                         {"why_not", bake.why_not},
                         {"chances", chances},
                         {"left_open", bake.left_open},
                         {"zones", bake.zones},
                         {"inside", bake.inside},
                         {"most_off", bake.most_off},
                         {"most_off_k", bake.most_off_k},
                         {"minutes", minutes}});
    }
    for (const BoothRecord& of : record.booths)
        booths.push_back({{"booth", of.booth},
                          {"logs", of.record.logs},
                          {"counts", of.record.counts()},
                          {"booth_scale", of.record.booth_scale},
                          {"shell_scale", of.record.shell_scale}});
    return document("bakewright.trust", {{"booth", record.booth},
                                         {"bakes", bakes},
                                         {"cured", rows},
                                         {"count", record.cured.count},
                                         {"brier", record.cured.brier},
                                         {"booths", booths},
                                         {"sentences", Json(trust_sentences(record))}});
}

}  // namespace bakewright::report
