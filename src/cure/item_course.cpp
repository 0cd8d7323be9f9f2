#include <algorithm>
#include <cmath>

#include "bakewright/base/error.hpp"
#include "bakewright/cure/course.hpp"
#include "bakewright/cure/judge.hpp"
#include "bakewright/cure/readings.hpp"
#include "bakewright/cure/rule.hpp"

namespace bakewright::cure {
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
