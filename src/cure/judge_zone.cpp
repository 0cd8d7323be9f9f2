// SPDX-License-Identifier: Apache-2.0
#include "bakewright/cure/judge_zone.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "bakewright/base/error.hpp"
#include "bakewright/cure/dose.hpp"
#include "bakewright/cure/kinetics.hpp"
#include "bakewright/cure/readings.hpp"
#include "bakewright/cure/reason.hpp"
#include "bakewright/cure/rule.hpp"

namespace bakewright::cure {
namespace {

Band over_bake_dose(const JoinedTrace& trace, const CoatingCurves& curves) {
    return curves.maximum ? dose_band(trace, *curves.maximum).dose : Band{};
}

/// Whether the samples lost of a trace might turn "no" into something else.
bool may_hide_cure(const LostSamples& lost, const CoatingCurves& curves) {
    if (lost.nothing()) return false;
    if (lost.without_bound()) return true;
    const JoinedTrace hottest(lost.hottest());
    return is_cured(read_window(hottest, curves.window).is_cured(), dose_band(hottest, curves.most).dose) != Answer::no;
}

bool may_hide_too_hot(const LostSamples& lost, const Coating& coating) {
    if (lost.nothing() || !coating.absolute_maximum_k) return false;
    return lost.without_bound() || is_too_much(peak(lost.hottest())->temperature_k, Band{}, coating) != Answer::no;
}

bool may_hide_too_long(const LostSamples& lost, const CoatingCurves& curves) {
    if (lost.nothing() || !curves.maximum) return false;
    return lost.without_bound() || is_too_much(0.0, over_bake_dose(lost.hottest(), curves), curves.coating) != Answer::no;
}

void put_reference(ZoneVerdict& verdict, const CoatingCurves& curves) {
    const ScheduleRow& reference = curves.window.reference();
    verdict.reference_temperature_k = reference.temperature_k;
    verdict.reference_minimum_s = reference.minimum_s;
    const double factor = reference.minimum_s;
    verdict.equivalent_time_s = {verdict.dose.at_low * factor, verdict.dose.at_value * factor, verdict.dose.at_high * factor};
    verdict.absolute_maximum_k = curves.coating.absolute_maximum_k;
    verdict.is_on_makers_word = curves.window.reaches_below_sheet();
}

void put_face_readings(ZoneVerdict& verdict, const JoinedTrace& face) {
    const PeakReading hottest = *peak(face);
    verdict.peak_temperature_k = hottest.temperature_k;
    verdict.peak_at_s = hottest.at_s;
    const std::optional<RiseReading> rise = steepest_rise(face, kHeatingRateSpanS);
    if (!rise || rise->rate_k_per_s <= 0.0) return;
    verdict.steepest_rate_k_per_s = rise->rate_k_per_s;
    verdict.steepest_from_s = rise->from_s;
}

void put_cure_readings(ZoneVerdict& verdict, const JoinedTrace& schedule, const CoatingCurves& curves) {
    const StayTrace stays(schedule);
    verdict.rows = read_rows(schedule, stays, curves.window);
    verdict.window = read_window(stays, curves.window);
    verdict.noise_k = stays.noise_k();
    const DoseBandReading chemistry = dose_band(schedule, curves.minimum);
    verdict.dose = chemistry.dose;
    verdict.over_bake_dose = over_bake_dose(schedule, curves);
    verdict.gaps = schedule.gaps();
    verdict.beyond_last_row_s = chemistry.beyond_last_point_s;
    verdict.cured_at_s = verdict.window.reached_s;
    if (curves.coating.kinetics) verdict.conversion = degree_of_cure(schedule, *curves.coating.kinetics, curves.coating.floor_k);
    if (curves.coating.kinetics) verdict.required_conversion = curves.coating.kinetics->required_conversion;
}

/// Both questions answered from the readings, as if nothing had been lost.
struct Answers {
    Answer cure = Answer::no;
    Answer over = Answer::no;
};

Answers answers_to(const ZoneVerdict& verdict, const Coating& coating) {
    return {is_cured(verdict.window.is_cured(), verdict.dose),
            is_too_much(verdict.peak_temperature_k, verdict.over_bake_dose, coating)};
}

Word word_with_gaps(const ZoneVerdict& verdict, Answers answers) {
    if (verdict.gap_may_hide_cure) answers.cure = Answer::maybe;
    if (verdict.gap_may_hide_heat) answers.over = Answer::maybe;
    return word_of(answers.cure, answers.over);
}

void put_word(ZoneVerdict& verdict, const LostSamples& schedule_lost, const LostSamples& face_lost, const CoatingCurves& curves) {
    const Coating& coating = curves.coating;
    const Answers answers = answers_to(verdict, coating);
    verdict.gap_may_hide_cure = answers.cure == Answer::no && may_hide_cure(schedule_lost, curves);
    verdict.gap_may_hide_heat =
        answers.over == Answer::no && (may_hide_too_hot(face_lost, coating) || may_hide_too_long(schedule_lost, curves));
    verdict.word = word_with_gaps(verdict, answers);
    verdict.is_beyond_sheet = is_beyond_sheet(verdict.peak_temperature_k, coating);
}

Gaps sum_of(const Gaps& one, const Gaps& other) {
    return {one.bridged_s + other.bridged_s, one.open_s + other.open_s, one.lost_before_s + other.lost_before_s,
            one.lost_after_s + other.lost_after_s};
}

Band sum_of(const Band& one, const Band& other) {
    return {one.at_low + other.at_low, one.at_value + other.at_value, one.at_high + other.at_high};
}

void add_rows(std::vector<RowReading>& total, const std::vector<RowReading>& bake) {
    for (std::size_t i = 0; i < total.size(); ++i) {
        total[i].longest_stay_s = std::max(total[i].longest_stay_s, bake[i].longest_stay_s);
        total[i].total_s += bake[i].total_s;
        total[i].missing_s = std::min(total[i].missing_s, bake[i].missing_s);
    }
}

}  // namespace

void add_bake(ZoneVerdict& total, const ZoneVerdict& bake, bool lost_while_warm, const CoatingCurves& curves) {
    add_rows(total.rows, bake.rows);
    if (bake.window.slack_s > total.window.slack_s) total.window = bake.window;
    total.noise_k = std::max(total.noise_k, bake.noise_k);
    total.dose = sum_of(total.dose, bake.dose);
    total.equivalent_time_s = sum_of(total.equivalent_time_s, bake.equivalent_time_s);
    total.over_bake_dose = sum_of(total.over_bake_dose, bake.over_bake_dose);
    total.beyond_last_row_s += bake.beyond_last_row_s;
    total.gaps = sum_of(total.gaps, bake.gaps);
    if (bake.peak_temperature_k > total.peak_temperature_k) {
        total.peak_temperature_k = bake.peak_temperature_k;
        total.peak_at_s = bake.peak_at_s;
    }
    if (bake.steepest_rate_k_per_s > total.steepest_rate_k_per_s) {
        total.steepest_rate_k_per_s = bake.steepest_rate_k_per_s;
        total.steepest_from_s = bake.steepest_from_s;
    }
    const Answers answers = answers_to(total, curves.coating);
    total.gap_may_hide_cure = answers.cure == Answer::no && (lost_while_warm || total.gap_may_hide_cure);
    total.gap_may_hide_heat = answers.over == Answer::no && (total.gap_may_hide_heat || bake.gap_may_hide_heat);
    total.word = word_with_gaps(total, answers);
    total.is_beyond_sheet = total.is_beyond_sheet || bake.is_beyond_sheet;
}

bool lost_while_warm(const Trace& trace, double warm_k) {
    const JoinedTrace joined(trace);
    return !LostSamples(trace, joined, warm_k).nothing();
}

ZoneVerdict no_bake_yet(std::string zone, TraceRole role, const CoatingCurves& curves) {
    ZoneVerdict verdict;
    verdict.zone = std::move(zone);
    verdict.role = role;
    for (const ScheduleRow& row : curves.coating.schedule) verdict.rows.push_back({row, 0.0, 0.0, row.minimum_s});
    put_reference(verdict, curves);
    verdict.window.slack_s = -HUGE_VAL;
    verdict.word = Word::under;
    return verdict;
}

ZoneVerdict zone_not_judged(std::string zone, TraceRole role, NotJudged why) {
    ZoneVerdict verdict;
    verdict.zone = std::move(zone);
    verdict.role = role;
    verdict.why_not = why;
    verdict.reason = reason_text(verdict, Units{});
    return verdict;
}

ZoneVerdict judge_zone(const Trace& schedule_trace, const Trace& face_trace, const CoatingCurves& curves) {
    const JoinedTrace schedule(schedule_trace);
    std::optional<JoinedTrace> own_face;  // most sheets mean the part: one trace, joined once
    if (&face_trace != &schedule_trace) own_face.emplace(face_trace);
    const JoinedTrace& face = own_face ? *own_face : schedule;
    if (schedule.size() < 2 || face.size() < 2) return zone_not_judged(face_trace.name, face_trace.role, NotJudged::too_little);
    ZoneVerdict verdict;
    verdict.zone = face_trace.name;
    verdict.role = face_trace.role;
    put_cure_readings(verdict, schedule, curves);
    put_face_readings(verdict, face);
    if (face.temperature_k().back() >= curves.coating.floor_k) verdict.ended_warm_at_k = face.temperature_k().back();
    put_reference(verdict, curves);
    const double floor_k = curves.coating.floor_k;
    put_word(verdict, LostSamples(schedule_trace, schedule, floor_k), LostSamples(face_trace, face, floor_k), curves);
    verdict.reason = reason_text(verdict, Units{});
    return verdict;
}

void settle(ZoneVerdict& verdict, Certainty certainty) {
    verdict.certainty = std::move(certainty);
    const WordProbabilities& chances = verdict.certainty->probabilities;
    Word word = word_of(chances);
    const bool is_doubted = is_cured(false, verdict.dose) != Answer::no || verdict.gap_may_hide_cure;
    if (word == Word::under && is_doubted) word = Word::check;
    if (word == Word::good && (verdict.gap_may_hide_heat || verdict.is_beyond_sheet)) word = Word::check;
    verdict.word = word;
    verdict.certainty->too_close = word_of(chances) == Word::check || verdict.gap_may_hide_cure || verdict.gap_may_hide_heat;
    verdict.reason = reason_text(verdict, Units{});
}

ZoneVerdict judge_zone(const Trace& trace, const Coating& coating) {
    ensure(!coating.schedule.empty(), "a coating that is judged by has a schedule");
    return judge_zone(trace, trace, CoatingCurves(coating));
}

}  // namespace bakewright::cure
