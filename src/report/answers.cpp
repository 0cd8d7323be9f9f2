// SPDX-License-Identifier: Apache-2.0
#include "bakewright/report/answers.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "bakewright/cure/reason.hpp"
#include "bakewright/report/booth_text.hpp"
#include "bakewright/report/estimate_text.hpp"
#include "bakewright/report/plain_text.hpp"
#include "bakewright/report/shell_text.hpp"
#include "bakewright/report/tables.hpp"
#include "bakewright/report/tune_text.hpp"

namespace bakewright::report {

namespace {

/// Rows of the one table of a short answer.
constexpr std::size_t kBriefRows = 14;

template <typename Judged>
std::string counts_of(const std::vector<Judged>& judged, const char* one, const char* many) {
    if (judged.empty()) return {};
    constexpr std::array kWorstFirst = {cure::Word::over, cure::Word::under, cure::Word::check, cure::Word::not_judged,
                                        cure::Word::good};
    std::string text;
    for (const cure::Word word : kWorstFirst) {
        const auto count = std::ranges::count(judged, word, &Judged::word);
        if (count > 0) text += fmt::format("{}{} {}", text.empty() ? "" : ", ", count, cure::word_text(word));
    }
    return fmt::format("{} {}: {}.", judged.size(), judged.size() == 1 ? one : many, text);
}

/// How far an item is from a limit that must not be reached; nothing where that is not what its limits say.
struct NearestLimit {
    const cure::ItemVerdict* item = nullptr;
    double limit_k = 0.0, gap_k = std::numeric_limits<double>::infinity();
};

NearestLimit nearest_limit(const cure::BakeVerdict& verdict) {
    NearestLimit nearest;
    for (const cure::ItemVerdict& item : verdict.items) {
        if (item.word == cure::Word::not_judged) continue;
        for (const cure::LimitReading& reading : item.limits) {
            const double gap_k = reading.limit.temperature_k - item.peak_temperature_k;
            if (reading.limit.kind == cure::LimitKind::warn || gap_k >= nearest.gap_k) continue;
            nearest = {&item, reading.limit.temperature_k, gap_k};
        }
    }
    return nearest;
}

std::vector<std::string> not_judged_zones(const cure::BakeVerdict& verdict) {
    std::vector<std::string> names;
    for (const cure::ZoneVerdict& zone : verdict.zones)
        if (zone.word == cure::Word::not_judged) names.push_back(one_line(zone.zone));
    return names;
}

bool has_word(const cure::BakeVerdict& verdict, cure::Word word) {
    return std::ranges::find(verdict.zones, word, &cure::ZoneVerdict::word) != verdict.zones.end() ||
           std::ranges::find(verdict.items, word, &cure::ItemVerdict::word) != verdict.items.end();
}

/// One thing to do, for the worst that was found.
std::string next_after(const cure::BakeVerdict& verdict) {
    if (!verdict.questions.empty()) return "Next: answer the question above before you trust a word of this.";
    if (has_word(verdict, cure::Word::over)) return "Next: look at what was too hot before you go on; ask its maker.";
    if (has_word(verdict, cure::Word::under)) return "Next: bake it again, a full new hold; the reason stands with each zone.";
    if (has_word(verdict, cure::Word::check)) return "Next: settle what says CHECK; --details zones says how.";
    const std::vector<std::string> open = not_judged_zones(verdict);
    if (!open.empty())
        return fmt::format(
            "Next: no word on {} without a probe or an estimate. Put a probe there next time, and look at the film.",
            fmt::join(open, ", "));
    if (has_word(verdict, cure::Word::not_judged)) return "Next: nothing was measured on the items above; probe them next time.";
    return "Next: `bakewright report` keeps it on paper.";
}

std::string zones_part(const cure::BakeVerdict& verdict, const TextOptions& options) {
    std::string text =
        table_block("Cure by zone, worst first: " + verdict.coating_title, verdict_table(verdict, options.units), options);
    for (const std::string& more :
         {list_text("Heating rate", warning_sentences(verdict, options.units), options),
          list_text("Degree of cure by a rate law; it changes no word", conversion_sentences(verdict, options.units), options)})
        if (!more.empty()) text += "\n" + more;
    return text;
}

/// How sure the words are, in one line: the chance of all together, or how many zones are sure.
std::string sure_sentence(const cure::BakeVerdict& verdict) {
    const auto percent = [](double share) { return std::min(99.0, std::floor(100.0 * share)); };
    if (verdict.chance)
        return fmt::format("{:.0f} % sure every coated zone cures and nothing gets too hot.", percent(*verdict.chance));
    std::size_t sure = 0, asked = 0;
    double least = 1.0;
    for (const cure::ZoneVerdict& zone : verdict.zones) {
        if (!zone.certainty) continue;
        ++asked;
        if (zone.certainty->too_close) continue;
        ++sure;
        least = std::min(least, zone.certainty->probability);
    }
    if (asked == 0) return {};
    if (sure == 0) return fmt::format("How sure: none of {} judged zones is clear of the line.", asked);
    return fmt::format("How sure: {} of {} judged zones are clear of the line, the least sure {:.0f} %.", sure, asked,
                       percent(least));
}

}  // namespace

void add_verdict_parts(Answer& answer, const cure::BakeVerdict& verdict, const TextOptions& options) {
    answer.part("zones", zones_part(verdict, options))
        .part("items", table_block("Heat-sensitive items, worst first", item_table(verdict, options.units), options))
        .part("sure", list_text("How sure", certainty_sentences(verdict, options.units), options))
        .part("assumed", list_text("Assumed", verdict_sentences(verdict), options));
}

std::string counts_sentence(const cure::BakeVerdict& verdict) {
    const std::string zones = counts_of(verdict.zones, "zone", "zones"), items = counts_of(verdict.items, "item", "items");
    return zones + (zones.empty() || items.empty() ? "" : " ") + items;
}

std::string slowest_sentence(const cure::BakeVerdict& verdict, std::string_view started_at) {
    const cure::ZoneVerdict* slowest = nullptr;
    for (const cure::ZoneVerdict& zone : verdict.zones) {
        if (!zone.cured_at_s) continue;
        if (slowest == nullptr || *zone.cured_at_s > *slowest->cured_at_s) slowest = &zone;
    }
    if (slowest == nullptr) return {};
    const std::string clock = clock_text(started_at, *slowest->cured_at_s);
    const std::string least = minutes_number(slowest->equivalent_time_s.least(), 0);
    const std::string most = minutes_number(slowest->equivalent_time_s.most(), 0);
    return fmt::format("Slowest: {}, cured at {}; {} of {} equivalent minutes.", one_line(slowest->zone),
                       clock.empty() ? elapsed_text(*slowest->cured_at_s) : clock, least == most ? least : least + " to " + most,
                       minutes_number(slowest->reference_minimum_s, 0));
}

std::string nearest_limit_sentence(const cure::BakeVerdict& verdict, const Units& units) {
    const NearestLimit nearest = nearest_limit(verdict);
    if (nearest.item == nullptr) return {};
    const std::string limit = format_temperature(nearest.limit_k, units, 0);
    const std::string peak = format_temperature(nearest.item->peak_temperature_k, units);
    if (nearest.gap_k <= 0.0)
        return fmt::format("{} over its limit: {}, {} peaks at {}.", format_temperature_difference(-nearest.gap_k, units), limit,
                           one_line(nearest.item->item), peak);
    return fmt::format("Nearest its limit: {} peaks at {}, {} under {}.", one_line(nearest.item->item), peak,
                       format_temperature_difference(nearest.gap_k, units), limit);
}

Answer prediction_answer(const bake::Prediction& prediction, const std::vector<std::string>& coated, const std::string& checked,
                         const std::string& next, const TextOptions& options) {
    Answer answer(options);
    const std::string_view start = prediction.traces.started_at;
    const std::optional<double> arrival_k = arrival_temperature_k(prediction.stages);
    const std::vector<ZoneSummary> zones = summarize(prediction.traces, arrival_k);
    const auto is_coated = [&](const ZoneSummary& zone) { return std::ranges::find(coated, zone.name) != coated.end(); };
    const auto slowest = std::ranges::find_if(zones, is_coated);  // the last to arrive stands first
    const ZoneSummary* hottest = nullptr;
    for (const ZoneSummary& zone : zones)
        if (is_coated(zone) && (hottest == nullptr || zone.peak_temperature_k > hottest->peak_temperature_k)) hottest = &zone;
    if (const std::optional<double> off_s = heat_off_s(prediction.stages))
        answer.say(fmt::format("Heat off {}.", moment_text(start, *off_s)));
    answer.put(cycle_lines(prediction.stages, options, start));
    if (slowest != zones.end() && arrival_k) {
        const std::string level = format_temperature(*arrival_k, options.units, 0);
        answer.say(slowest->reached_at_s
                       ? fmt::format("Slowest coated zone: {}, at {} {}.", one_line(slowest->name), level,
                                     moment_text(start, *slowest->reached_at_s))
                       : fmt::format("Slowest coated zone: {} never reaches {}; it peaks at {}.", one_line(slowest->name), level,
                                     format_temperature(slowest->peak_temperature_k, options.units)));
    }
    if (hottest != nullptr)
        answer.say(fmt::format("Hottest coated zone: {}, {} {}.", one_line(hottest->name),
                               format_temperature(hottest->peak_temperature_k, options.units),
                               moment_text(start, hottest->peak_at_s)));
    answer.say("A prediction, not a verdict: it carries an error, and says nothing of cure.");
    if (!checked.empty()) answer.say(checked);
    answer.say(next);
    TraceSet painted = prediction.traces;
    std::erase_if(painted.traces, [&](const Trace& trace) {
        return trace.role != TraceRole::booth_air && trace.role != TraceRole::item &&
               std::ranges::find(coated, trace.name) == coated.end();
    });
    const Table table = zone_table(painted, prediction.stages, options.units);
    return answer.brief("Coated zones and items, last to arrive first\n\n" + brief_table(table, options, kBriefRows + 3, "zones"))
        .part("cycle", cycle_text(prediction.stages, options, start))
        .part("zones", table_block("Predicted temperatures, last to arrive first",
                                   zone_table(prediction.traces, prediction.stages, options.units), options))
        .part("booth", list_text("Burner and air", booth_run_sentences(prediction, options.units), options))
        .part("layers", list_text("Zones split through their thickness", split_sentences(prediction.summary.splits), options));
}

Answer verdict_answer(const cure::BakeVerdict& verdict, std::string_view started_at, const TextOptions& options,
                      const tune::Estimate* estimate) {
    Answer answer(options);
    answer.say_all(question_sentences(verdict))
        .say(worst_place_sentence(verdict, options.units))
        .say(counts_sentence(verdict))
        .say(known_from_sentence(verdict))
        .say(slowest_sentence(verdict, started_at))
        .say(nearest_limit_sentence(verdict, options.units))
        .say(sure_sentence(verdict))
        .say(next_after(verdict))
        .brief(brief_table(verdict_table(verdict, options.units), options, kBriefRows, "zones"));
    add_verdict_parts(answer, verdict, options);
    if (estimate != nullptr) answer.part("probes", list_text("Probes", probe_sentences(*estimate, options.units), options));
    return answer.cautions(nullptr);
}

Answer shell_answer(const cure::ShellVerdict& verdict, const TextOptions& options, bool every_zone) {
    Answer answer(options);
    if (verdict.coats.empty() && verdict.items.empty())
        return answer.say("Nothing is known of this shell: its history holds no coat and no bake.")
            .say("Next: enter them with `bakewright coat add` and `bakewright history add`.");
    answer.say_all(question_sentences(verdict));
    const std::vector<std::string> removals = removal_sentences(verdict, options.units);
    for (const std::string& removal : removals) answer.say("Before the next bake: " + removal);
    const std::string coats = table_block("Coats, in the order they were sprayed", coat_table(verdict, options.units), options);
    const std::string items =
        table_block("Heat-sensitive items over all bakes, worst first", item_history_table(verdict, options.units), options);
    const std::string zones = table_block("Every coat on every zone", coat_zone_table(verdict, options.units), options);
    answer
        .say(verdict.worst() == cure::Word::good
                 ? fmt::format("GOOD: every coat is cured and every item is within its limits, over {} {}.",
                               verdict.bake_names.size(), verdict.bake_names.size() == 1 ? "bake" : "bakes")
                 : fmt::format("{}: see the worst coat or item below.", cure::word_text(verdict.worst())))
        .say_all(window_sentences(verdict))
        .say(removals.empty() ? "Next: --details items tells what each item has left."
                              : "Next: take out what stands above before the bake.")
        .brief(brief_table(coat_table(verdict, options.units), options, kBriefRows - 4, "coats"))
        .brief(brief_table(item_history_table(verdict, options.units), options, kBriefRows - 4, "items"))
        .part("coats", coats)
        .part("items", items);
    if (every_zone) answer.brief(zones);
    return answer.part("every-zone", zones)
        .part("sure", list_text("How sure", certainty_sentences(verdict, options.units, every_zone), options))
        .part("assumed", list_text("Assumed", remark_sentences(verdict), options))
        .cautions(nullptr);
}

namespace {

std::string largest_sentence(const tune::Comparison& comparison, const Units& units) {
    const auto largest = std::ranges::max_element(
        comparison.channels, {}, [](const tune::ChannelComparison& channel) { return std::abs(channel.largest_k); });
    if (largest == comparison.channels.end()) return {};
    return fmt::format("Largest difference: {}, predicted {} {} than logged, {} after the start.", one_line(largest->logged),
                       format_temperature_difference(std::abs(largest->largest_k), units),
                       largest->largest_k >= 0.0 ? "hotter" : "colder", format_duration(largest->largest_at_s));
}

bool all_agree(const tune::Agreement& agreement) {
    return std::ranges::all_of(agreement.channels, [](const tune::ChannelAgreement& channel) { return channel.agrees(); });
}

}  // namespace

Answer comparison_answer(const ComparedBakes& compared, const TextOptions& options) {
    const Units& units = options.units;
    Answer answer(options);
    const std::vector<std::string> agreed = agreement_sentences(compared.agreement, units);
    if (!agreed.empty()) answer.say(agreed.front());
    answer.say(largest_sentence(compared.comparison, units));
    for (const JudgedBake& judged : compared.verdicts)
        answer.say(fmt::format("By the {} bake: {}", judged.label, counts_sentence(judged.verdict)));
    const bool agrees = all_agree(compared.agreement);
    if (!compared.causes.empty())
        answer.say("Best explanation by itself (a hint, not a finding): " + cause_sentence(compared.causes.front(), units) + ".");
    answer.say(agrees ? "Next: `bakewright tune` with the log's number makes the next prediction better."
                      : "Next: look at the probes of the channels that do not agree, then `bakewright tune`.");
    const Table table = comparison_table(compared.comparison, units);
    answer.brief("Predicted minus logged; lag: the log runs behind\n\n" + brief_table(table, options, kBriefRows, "channels"))
        .part("channels", comparison_text(compared.comparison, options))
        .part("agreement", agreement_text(compared.agreement, options))
        .part("stages", stage_difference_text(compared.by_stage, options))
        .part("causes", cause_text(compared.causes, options));
    if (compared.verdicts.size() == 2)
        answer.part("verdicts", verdict_pair_text(compared.verdicts[1].verdict, compared.verdicts[0].verdict, options));
    for (const JudgedBake& judged : compared.verdicts)
        answer.part(judged.label, fmt::format("Verdict on the {} bake\n{}", judged.label, verdict_text(judged.verdict, options)));
    return compared.verdicts.empty() ? answer : answer.cautions(nullptr);
}

Answer tuning_answer(const tune::TuneResult& result, const std::string& next, const TextOptions& options) {
    Answer answer(options);
    answer.say_all(suspect_sentences(result.suspects, options.units)).say(tuning_sentence(result, options.units));
    if (!result.converged) answer.say("CHECK: the fit did not settle; the numbers below are where it stopped.");
    for (const std::string& warning : texts_of(result.warnings)) answer.say(as_sentence(warning));
    const std::string errors = table_block("How far predictions are off (root mean square over the logged samples)",
                                           tuning_error_table(result, options.units), options);
    return answer.say(next)
        .brief(std::string(kTunedNumbersTitle) + "\n\n" +
               brief_table(tuned_number_table(result, options.units), options, kBriefRows, "numbers"))
        .part("numbers", table_block(kTunedNumbersTitle, tuned_number_table(result, options.units), options))
        .part("errors", errors)
        .part("probes", table_block("Probes", tuned_probe_table(result, options.units), options))
        .part("doubts", list_text("What the logs could not separate", untold_sentences(result), options));
}

}  // namespace bakewright::report
