#include "judge_zone.hpp"

#include <algorithm>
#include <utility>

#include "answers.hpp"
#include "bakewright/base/error.hpp"
#include "bakewright/cure/conversion.hpp"
#include "bakewright/cure/dose.hpp"
#include "bakewright/cure/readings.hpp"
#include "bakewright/cure/reason.hpp"
#include "lost_samples.hpp"

namespace bakewright::cure {
namespace {

/// What a trace says about cure.
struct CureReading {
    std::vector<RowReading> rows;
    DoseBandReading dose;
};

RowReading row_reading(const JoinedTrace& trace, const ScheduleRow& row) {
    const StayReading stay = stay_at_or_above(trace, row.temperature_k);
    const double missing_s = row.minimum_s - stay.longest_s;
    return {row, stay.longest_s, stay.total_s, missing_s > kStayRoundingS ? missing_s : 0.0};
}

CureReading cure_reading(const JoinedTrace& trace, const CoatingCurves& curves, const CurveBand& band) {
    CureReading reading;
    for (const ScheduleRow& row : curves.coating.schedule) reading.rows.push_back(row_reading(trace, row));
    reading.dose = dose_band(trace, band);
    return reading;
}

Band over_bake_dose(const JoinedTrace& trace, const CoatingCurves& curves) {
    return curves.maximum ? dose_band(trace, *curves.maximum).dose : Band{};
}

/// A dose under a default band is chemistry in general, not this coating's: it can make the sheet's "no" doubtful, never a yes.
Answer cured(const std::vector<RowReading>& rows, const Band& dose, const Coating& coating) {
    const bool row_met = std::any_of(rows.begin(), rows.end(), [](const RowReading& row) { return row.missing_s == 0.0; });
    if (row_met) return Answer::yes;
    if (dose.least() >= 1.0 - kDoseRounding && tells_activation_energy(coating)) return Answer::yes;
    return dose.most() >= 1.0 - kDoseRounding ? Answer::maybe : Answer::no;
}

Answer too_much(double peak_k, std::optional<double> absolute_maximum_k, const Band& over_bake) {
    const bool too_hot = absolute_maximum_k && peak_k > *absolute_maximum_k + kTemperatureRoundingK;
    if (too_hot || over_bake.least() > 1.0 + kDoseRounding) return Answer::yes;
    return over_bake.most() > 1.0 + kDoseRounding ? Answer::maybe : Answer::no;
}

/// Whether the samples lost of a trace might turn "no" into something else.
bool may_hide_cure(const LostSamples& lost, const CoatingCurves& curves) {
    if (lost.nothing()) return false;
    if (lost.without_bound()) return true;
    const CureReading hottest = cure_reading(lost.hottest(), curves, curves.most);
    return cured(hottest.rows, hottest.dose.dose, curves.coating) != Answer::no;
}

bool may_hide_too_hot(const LostSamples& lost, const Coating& coating) {
    if (lost.nothing() || !coating.absolute_maximum_k) return false;
    return lost.without_bound() ||
           too_much(peak(lost.hottest())->temperature_k, coating.absolute_maximum_k, Band{}) != Answer::no;
}

bool may_hide_too_long(const LostSamples& lost, const CoatingCurves& curves) {
    if (lost.nothing() || !curves.maximum) return false;
    return lost.without_bound() || too_much(0.0, std::nullopt, over_bake_dose(lost.hottest(), curves)) != Answer::no;
}

void put_reference(ZoneVerdict& verdict, const Coating& coating) {
    const ScheduleRow& reference = reference_row(coating);
    verdict.reference_temperature_k = reference.temperature_k;
    verdict.reference_minimum_s = reference.minimum_s;
    const double factor = reference.minimum_s;
    verdict.equivalent_minutes_s = {verdict.dose.at_low * factor, verdict.dose.at_value * factor, verdict.dose.at_high * factor};
    verdict.absolute_maximum_k = coating.absolute_maximum_k;
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
    CureReading reading = cure_reading(schedule, curves, curves.minimum);
    verdict.rows = std::move(reading.rows);
    verdict.dose = reading.dose.dose;
    verdict.over_bake_dose = over_bake_dose(schedule, curves);
    verdict.gaps = schedule.gaps();
    verdict.beyond_last_row_s = reading.dose.beyond_last_point_s;
    verdict.cured_at_s = reading.dose.reached_s;
    if (curves.coating.kinetics) verdict.conversion = degree_of_cure(schedule, *curves.coating.kinetics, curves.coating.floor_k);
    if (curves.coating.kinetics) verdict.required_conversion = curves.coating.kinetics->required_conversion;
}

/// Both questions answered from the readings, as if nothing had been lost.
struct Answers {
    Answer cure = Answer::no;
    Answer over = Answer::no;
};

Answers answers_to(const ZoneVerdict& verdict, const Coating& coating) {
    return {cured(verdict.rows, verdict.dose, coating),
            too_much(verdict.peak_temperature_k, coating.absolute_maximum_k, verdict.over_bake_dose)};
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
    total.dose = sum_of(total.dose, bake.dose);
    total.equivalent_minutes_s = sum_of(total.equivalent_minutes_s, bake.equivalent_minutes_s);
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
}

bool lost_while_warm(const Trace& trace, double warm_k) {
    const JoinedTrace joined(trace);
    return !LostSamples(trace, joined, warm_k).nothing();
}

bool is_cured(const ZoneVerdict& verdict, const Coating& coating) { return answers_to(verdict, coating).cure == Answer::yes; }

ZoneVerdict no_bake_yet(std::string zone, TraceRole role, const CoatingCurves& curves) {
    ZoneVerdict verdict;
    verdict.zone = std::move(zone);
    verdict.role = role;
    for (const ScheduleRow& row : curves.coating.schedule) verdict.rows.push_back({row, 0.0, 0.0, row.minimum_s});
    put_reference(verdict, curves.coating);
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
    put_reference(verdict, curves.coating);
    const double floor_k = curves.coating.floor_k;
    put_word(verdict, LostSamples(schedule_trace, schedule, floor_k), LostSamples(face_trace, face, floor_k), curves);
    verdict.reason = reason_text(verdict, Units{});
    return verdict;
}

ZoneVerdict judge_zone(const Trace& trace, const Coating& coating) {
    ensure(!coating.schedule.empty(), "a coating that is judged by has a schedule");
    return judge_zone(trace, trace, CoatingCurves(coating));
}

}  // namespace bakewright::cure
