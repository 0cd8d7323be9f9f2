// SPDX-License-Identifier: Apache-2.0
#include "bakewright/cure/course.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <tuple>

#include "bakewright/base/error.hpp"
#include "bakewright/cure/dose.hpp"
#include "bakewright/cure/judge.hpp"
#include "bakewright/cure/judge_zone.hpp"
#include "bakewright/cure/readings.hpp"
#include "bakewright/cure/rule.hpp"

namespace bakewright::cure {
namespace {

constexpr double kNever = std::numeric_limits<double>::infinity();

/// When the answers to a question rise; neither ever falls again.
struct Since {
    double maybe_s = kNever;
    double yes_s = kNever;

    [[nodiscard]] Answer at(double time_s) const {
        if (time_s >= yes_s) return Answer::yes;
        return time_s >= maybe_s ? Answer::maybe : Answer::no;
    }
    void may_be_from(double time_s) { maybe_s = std::min(maybe_s, time_s); }
    void is_from(double time_s) { yes_s = std::min(yes_s, time_s); }
};

/// When the first of the curves reached a dose, and when the last did.
Since dose_reached(const JoinedTrace& trace, const CurveBand& curves, double target) {
    Since since{.maybe_s = kNever, .yes_s = 0.0};
    for (const RequiredTime& curve : curves) {
        const double reached_s = dose(trace, curve, target).reached_s.value_or(kNever);
        since.maybe_s = std::min(since.maybe_s, reached_s);
        since.yes_s = std::max(since.yes_s, reached_s);
    }
    return since;
}

Since cured_since(const StayTrace& stays, const JoinedTrace& schedule, const CoatingCurves& curves) {
    Since since = dose_reached(schedule, curves.minimum, 1.0 - kDoseRounding);
    since.yes_s = kNever;  // chemistry alone never says yes
    if (const auto reached_s = read_window(stays, curves.window).reached_s) since.is_from(*reached_s);
    return since;
}

/// The first moment hotter than a temperature.
double passed_s(const JoinedTrace& face, double temperature_k) {
    for (const Stay& stay : stays_at_or_above(face, temperature_k + 2.0 * kTemperatureRoundingK)) return stay.from_s;
    return kNever;
}

Since over_since(const JoinedTrace& schedule, const JoinedTrace& face, const CoatingCurves& curves) {
    Since since;
    if (curves.maximum) since = dose_reached(schedule, *curves.maximum, 1.0 + kDoseRounding);
    if (curves.coating.absolute_maximum_k)
        since.is_from(passed_s(face, *curves.coating.absolute_maximum_k));
    else
        since.may_be_from(passed_s(face, curves.coating.schedule.back().temperature_k + kUnprintedHeatCheckK));
    return since;
}

/// Where samples are first missing that are not bridged.
double first_lack_s(const JoinedTrace& trace) {
    if (trace.gaps().lost_before_s > 0.0) return trace.time_s().front();
    return trace.time_s()[trace.runs().front().end - 1];
}

std::vector<WordSpan> spans_of(const Since& cure, const Since& over, double from_s, double until_s) {
    std::vector<double> changes = {from_s, until_s};
    for (const double time_s : {cure.maybe_s, cure.yes_s, over.maybe_s, over.yes_s})
        if (time_s > from_s && time_s < until_s) changes.push_back(time_s);
    std::sort(changes.begin(), changes.end());
    std::vector<WordSpan> spans;
    for (std::size_t i = 0; i + 1 < changes.size(); ++i) {
        const Word word = word_of(cure.at(changes[i]), over.at(changes[i]));
        if (!spans.empty() && spans.back().word == word)
            spans.back().until_s = changes[i + 1];
        else if (changes[i + 1] > changes[i])
            spans.push_back({changes[i], changes[i + 1], word});
    }
    return spans;
}

void join_alike(std::vector<WordSpan>& spans) {
    while (spans.size() > 1 && spans[spans.size() - 2].word == spans.back().word) {
        spans[spans.size() - 2].until_s = spans.back().until_s;
        spans.pop_back();
    }
}

std::optional<double> moment(double time_s) { return time_s < kNever ? std::optional(time_s) : std::nullopt; }

ZoneCourse course_of(const Trace& schedule_trace, const Trace& face_trace, const CoatingCurves& curves, double from_s,
                     double until_s) {
    const ZoneVerdict verdict = judge_zone(schedule_trace, face_trace, curves);
    ZoneCourse course{.zone = face_trace.name, .role = face_trace.role, .word = verdict.word, .spans = {}};
    if (verdict.word == Word::not_judged) return course;
    const JoinedTrace schedule(schedule_trace), face(face_trace);
    Since cure = cured_since(schedule, schedule, curves);
    Since over = over_since(schedule, face, curves);
    if (verdict.gap_may_hide_cure) cure.may_be_from(first_lack_s(schedule));
    if (verdict.gap_may_hide_heat) over.may_be_from(std::min(first_lack_s(schedule), first_lack_s(face)));
    course.spans = spans_of(cure, over, from_s, until_s);
    course.cured_from_s = moment(cure.yes_s);
    course.past_maximum_from_s = moment(over.yes_s);
    course.dose = verdict.dose.at_value;
    return course;
}

ZoneCourse not_judged(const std::string& zone, TraceRole role) { return {.zone = zone, .role = role, .spans = {}}; }

ZoneCourse course_of(const CoatedZone& zone, const Trace* booth_air, const CoatingCurves& curves, const BakeCourse& bake) {
    if (zone.trace == nullptr) return not_judged(zone.name, TraceRole::zone);
    if (curves.coating.basis != ScheduleBasis::booth_air)
        return course_of(*zone.trace, *zone.trace, curves, bake.from_s, bake.until_s);
    if (booth_air == nullptr) return not_judged(zone.name, zone.trace->role);
    return course_of(*booth_air, *zone.trace, curves, bake.from_s, bake.until_s);
}

/// The end of a course is the verdict, which may rest on chances: what came before can be no surer.
void agree(ZoneCourse& course, const BakeVerdict& verdict) {
    const auto zone =
        std::find_if(verdict.zones.begin(), verdict.zones.end(), [&](const ZoneVerdict& one) { return one.zone == course.zone; });
    if (zone == verdict.zones.end() || course.spans.empty() || course.word == zone->word) return;
    course.word = course.spans.back().word = zone->word;
    if (zone->word != Word::good) course.cured_from_s.reset();
    if (zone->word != Word::over) course.past_maximum_from_s.reset();
    join_alike(course.spans);
}
void agree(ItemCourse& course, const BakeVerdict& verdict) {
    for (const ItemVerdict& item : verdict.items)
        if (item.item == course.item) course.word = item.word;
}

void sort_courses(BakeCourse& bake) {
    const auto slowness = [](const ZoneCourse& zone) {
        return std::tuple(zone.spans.empty(), -zone.cured_from_s.value_or(kNever), zone.dose, std::string_view(zone.zone));
    };
    std::sort(bake.zones.begin(), bake.zones.end(),
              [&](const ZoneCourse& left, const ZoneCourse& right) { return slowness(left) < slowness(right); });
    const auto fullness = [](const ItemCourse& item) {
        return std::tuple(item.used.empty() ? 0.0 : -item.used.back().share, std::string_view(item.item));
    };
    std::sort(bake.items.begin(), bake.items.end(),
              [&](const ItemCourse& left, const ItemCourse& right) { return fullness(left) < fullness(right); });
}

/// From the first sample of any trace to the last.
void put_extent(BakeCourse& bake, const TraceSet& traces) {
    bake.from_s = kNever;
    bake.until_s = -kNever;
    for (const Trace& trace : traces.traces) {
        if (trace.size() == 0) continue;
        bake.from_s = std::min(bake.from_s, trace.time_s.front());
        bake.until_s = std::max(bake.until_s, trace.time_s.back());
    }
    if (bake.until_s < bake.from_s) bake.from_s = bake.until_s = 0.0;
}

}  // namespace

ZoneCourse zone_course(const Trace& trace, const Coating& coating) {
    ensure(!coating.schedule.empty(), "a coating that is judged by has a schedule");
    if (trace.size() == 0) return not_judged(trace.name, trace.role);
    return course_of(trace, trace, CoatingCurves(coating), trace.time_s.front(), trace.time_s.back());
}

BakeCourse bake_course(const TraceSet& traces, const Coating& coating, const std::vector<HeatSensitiveItem>& items,
                       const std::vector<std::string>& coated_zones,
                       const std::map<std::string, std::vector<double>>& exposed_before_s, const BakeVerdict* verdict) {
    ensure(!coating.schedule.empty(), "a coating that is judged by has a schedule");
    const CoatingCurves curves(coating);
    const Trace* booth_air = traces.first(TraceRole::booth_air);
    BakeCourse bake;
    put_extent(bake, traces);
    for (const CoatedZone& zone : coated_traces(traces, coated_zones))
        bake.zones.push_back(course_of(zone, booth_air, curves, bake));
    for (const HeatSensitiveItem& item : items) {
        const auto before = exposed_before_s.find(item.name);
        const Trace* trace = traces.find(item.name);
        bake.items.push_back(
            trace == nullptr
                ? ItemCourse{.item = item.name, .used = {}}
                : item_course(*trace, item, before == exposed_before_s.end() ? std::vector<double>{} : before->second));
    }
    if (verdict != nullptr) {
        for (ZoneCourse& zone : bake.zones) agree(zone, *verdict);
        for (ItemCourse& item : bake.items) agree(item, *verdict);
    }
    sort_courses(bake);
    return bake;
}

namespace {

/// A share that rises by less is not worth a point of its own.
constexpr double kShareStep = 0.01;

/// How one limit was used up: corners of straight lines, never falling.
struct LimitCourse {
    std::vector<UsedShare> used;
    std::optional<double> passed_at_s;
};

LimitCourse by_time(const JoinedTrace& trace, const ExposureLimit& limit, double before_s) {
    LimitCourse course;
    double exposed_s = before_s;
    course.used.push_back({trace.time_s().front(), exposed_s / limit.allowed_s});
    if (passes(limit, exposed_s, false)) course.passed_at_s = trace.time_s().front();
    for (const Stay& stay : stays_at_or_above(trace, limit.temperature_k)) {
        const double left_s = limit.allowed_s - exposed_s;
        course.used.push_back({stay.from_s, exposed_s / limit.allowed_s});
        exposed_s += stay.until_s - stay.from_s;
        course.used.push_back({stay.until_s, exposed_s / limit.allowed_s});
        if (!course.passed_at_s && passes(limit, exposed_s, false)) course.passed_at_s = stay.from_s + left_s;
    }
    course.used.push_back({trace.time_s().back(), exposed_s / limit.allowed_s});
    return course;
}

/// Of the way from where it started to the temperature it must never reach.
LimitCourse by_temperature(const JoinedTrace& trace, const ExposureLimit& limit) {
    LimitCourse course;
    const double start_k = trace.temperature_k().front();
    const double way_k = limit.temperature_k - start_k;
    const auto share = [&](double temperature_k) { return way_k > 0.0 ? (temperature_k - start_k) / way_k : 1.0; };
    double hottest_k = start_k;
    course.used.push_back({trace.time_s().front(), share(start_k)});
    for (std::size_t i = 1; i < trace.size(); ++i) {
        if (trace.temperature_k()[i] <= hottest_k) continue;
        if (share(hottest_k) - course.used.back().share >= kShareStep)
            course.used.push_back({trace.time_s()[i - 1], share(hottest_k)});
        hottest_k = trace.temperature_k()[i];
    }
    const double at_s = peak(trace)->at_s;
    if (at_s > course.used.back().time_s) course.used.push_back({at_s, share(hottest_k)});
    course.used.push_back({trace.time_s().back(), share(hottest_k)});
    course.passed_at_s = stay_at_or_above(trace, limit.temperature_k).first_up_s;
    return course;
}

LimitCourse limit_course(const JoinedTrace& trace, const ExposureLimit& limit, double before_s) {
    if (limit.allowed_s == 0.0) return by_temperature(trace, limit);
    return by_time(trace, limit, limit.scope == ExposureScope::lifetime ? before_s : 0.0);
}

double share_at(const std::vector<UsedShare>& used, double time_s) {
    const auto after = std::upper_bound(used.begin(), used.end(), time_s,
                                        [](double time, const UsedShare& point) { return time < point.time_s; });
    if (after == used.begin()) return used.front().share;
    if (after == used.end()) return used.back().share;
    const UsedShare& before = *(after - 1);
    return before.share + (after->share - before.share) * (time_s - before.time_s) / (after->time_s - before.time_s);
}

/// The larger of all, at every corner of any.
std::vector<UsedShare> largest_of(const std::vector<LimitCourse>& limits) {
    std::vector<double> times_s;
    for (const LimitCourse& limit : limits)
        for (const UsedShare& point : limit.used) times_s.push_back(point.time_s);
    std::sort(times_s.begin(), times_s.end());
    times_s.erase(std::unique(times_s.begin(), times_s.end()), times_s.end());
    std::vector<UsedShare> largest;
    for (const double time_s : times_s) {
        double share = 0.0;
        for (const LimitCourse& limit : limits) share = std::max(share, share_at(limit.used, time_s));
        largest.push_back({time_s, share});
    }
    return largest;
}

}  // namespace

ItemCourse item_course(const Trace& trace, const HeatSensitiveItem& item, const std::vector<double>& exposed_before_s) {
    ensure(!item.limits.empty() || !item.no_limit_known_of.empty(),
           "an item that is judged has a limit, or says that none is known");
    ensure(exposed_before_s.empty() || exposed_before_s.size() == item.limits.size(),
           "every limit has what it saw before, or none");
    ItemCourse course{.item = item.name, .used = {}};
    const JoinedTrace joined(trace);
    if (joined.size() < 2) return course;
    course.word = judge_item(trace, item).word;
    std::vector<LimitCourse> limits;
    double largest = -1.0;
    for (std::size_t i = 0; i < item.limits.size(); ++i) {
        if (!changes_word(item.limits[i])) continue;
        limits.push_back(limit_course(joined, item.limits[i], exposed_before_s.empty() ? 0.0 : exposed_before_s[i]));
        const LimitCourse& here = limits.back();
        const bool is_over = makes_over(item.limits[i]);
        if (is_over && here.passed_at_s && (!course.passed_at_s || *here.passed_at_s < *course.passed_at_s))
            course.passed_at_s = here.passed_at_s;
        if (here.used.back().share <= largest) continue;
        largest = here.used.back().share;
        course.nearest = item.limits[i];
    }
    course.used = largest_of(limits);
    if (course.passed_at_s) course.word = Word::over;
    return course;
}

}  // namespace bakewright::cure
