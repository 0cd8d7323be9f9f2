// SPDX-License-Identifier: Apache-2.0
#include "bakewright/cure/judge_item.hpp"

#include <algorithm>
#include <limits>
#include <utility>

#include "bakewright/base/error.hpp"
#include "bakewright/cure/readings.hpp"
#include "bakewright/cure/reason.hpp"
#include "bakewright/cure/rule.hpp"

namespace bakewright::cure {
namespace {

LimitReading limit_reading(const JoinedTrace& trace, const ExposureLimit& limit, double margin_k) {
    const StayReading stay = stay_at_or_above(trace, limit.temperature_k);
    const StayReading at_margin = stay_at_or_above(trace, limit.temperature_k - margin_k);
    // A touch has no length: it is told by stays having begun.
    const bool passed = passes(limit, stay.total_s, stay.first_up_s.has_value());
    const bool near = !passed && passes(limit, at_margin.total_s, at_margin.first_up_s.has_value());
    return {limit, stay.total_s, at_margin.total_s, passed, near};
}

double coolest_forbidden_k(const HeatSensitiveItem& item) {
    double coolest_k = std::numeric_limits<double>::infinity();
    for (const ExposureLimit& limit : item.limits)
        if (changes_word(limit)) coolest_k = std::min(coolest_k, limit.temperature_k);
    return coolest_k;
}

bool may_hide_heat(const LostSamples& lost, const HeatSensitiveItem& item, double margin_k) {
    if (lost.nothing() || std::ranges::none_of(item.limits, changes_word)) return false;
    if (lost.without_bound()) return true;
    const JoinedTrace hottest(lost.hottest());
    return std::any_of(item.limits.begin(), item.limits.end(), [&](const ExposureLimit& limit) {
        const LimitReading reading = limit_reading(hottest, limit, margin_k);
        return changes_word(limit) && (reading.passed || reading.near);
    });
}

}  // namespace

Word item_word(const ItemVerdict& verdict) {
    const auto any = [&](LimitKind kind, bool LimitReading::*flag) {
        return std::any_of(verdict.limits.begin(), verdict.limits.end(),
                           [&](const LimitReading& reading) { return reading.limit.kind == kind && reading.*flag; });
    };
    if (any(LimitKind::never, &LimitReading::passed)) return Word::over;
    const bool may_be_too_hot = any(LimitKind::never, &LimitReading::near) || any(LimitKind::never_inside, &LimitReading::passed);
    return may_be_too_hot || verdict.gap_may_hide_heat || !verdict.no_limit_known_of.empty() ? Word::check : Word::good;
}

void add_bake(ItemVerdict& total, const ItemVerdict& bake) {
    for (std::size_t i = 0; i < total.limits.size(); ++i) {
        LimitReading& sum = total.limits[i];
        const LimitReading& here = bake.limits[i];
        if (sum.limit.scope == ExposureScope::lifetime) {
            sum.exposed_s += here.exposed_s;
            sum.exposed_at_margin_s += here.exposed_at_margin_s;
        } else {
            sum.exposed_s = std::max(sum.exposed_s, here.exposed_s);
            sum.exposed_at_margin_s = std::max(sum.exposed_at_margin_s, here.exposed_at_margin_s);
        }
        // Once passed stays passed.
        sum.passed = sum.passed || here.passed || passes(sum.limit, sum.exposed_s, false);
        sum.near = !sum.passed && (sum.near || here.near || passes(sum.limit, sum.exposed_at_margin_s, false));
    }
    if (bake.peak_temperature_k > total.peak_temperature_k) {
        total.peak_temperature_k = bake.peak_temperature_k;
        total.peak_at_s = bake.peak_at_s;
    }
    total.gap_may_hide_heat = total.gap_may_hide_heat || bake.gap_may_hide_heat;
    total.gaps = {total.gaps.bridged_s + bake.gaps.bridged_s, total.gaps.open_s + bake.gaps.open_s,
                  total.gaps.lost_before_s + bake.gaps.lost_before_s, total.gaps.lost_after_s + bake.gaps.lost_after_s};
    total.word = item_word(total);
}

ItemVerdict item_not_judged(std::string item, NotJudged why) {
    ItemVerdict verdict;
    verdict.item = std::move(item);
    verdict.why_not = why;
    verdict.reason = reason_text(verdict, Units{});
    return verdict;
}

ItemVerdict judge_item(const Trace& trace, const HeatSensitiveItem& item, double near_k) {
    ensure(std::ranges::any_of(item.limits, changes_word) || !item.no_limit_known_of.empty(),
           "an item that is judged has a limit that must not be passed, or says that none is known");
    ensure(near_k >= 0.0, "the margin of a limit is 0 or more");
    const JoinedTrace joined(trace);
    if (joined.size() < 2) return item_not_judged(item.name, NotJudged::too_little);
    ItemVerdict verdict;
    verdict.item = item.name;
    verdict.margin_k = near_k;
    verdict.no_limit_known_of = item.no_limit_known_of;
    if (const auto source = item.sources.find("limits"); source != item.sources.end()) verdict.limit_source = source->second;
    for (const ExposureLimit& limit : item.limits) verdict.limits.push_back(limit_reading(joined, limit, near_k));
    const PeakReading hottest = *peak(joined);
    verdict.peak_temperature_k = hottest.temperature_k;
    verdict.peak_at_s = hottest.at_s;
    verdict.gaps = joined.gaps();
    verdict.gap_may_hide_heat = may_hide_heat(LostSamples(trace, joined, coolest_forbidden_k(item) - near_k), item, near_k);
    verdict.word = item_word(verdict);
    verdict.reason = reason_text(verdict, Units{});
    return verdict;
}

void settle(ItemVerdict& verdict, Certainty certainty) {
    verdict.certainty = std::move(certainty);
    verdict.word = word_of(verdict.certainty->probabilities);
    const bool is_doubted = verdict.gap_may_hide_heat || !verdict.no_limit_known_of.empty() ||
                            std::ranges::any_of(verdict.limits, [](const LimitReading& reading) {
                                return reading.passed && changes_word(reading.limit) && !makes_over(reading.limit);
                            });
    if (verdict.word == Word::good && is_doubted) verdict.word = Word::check;
    verdict.certainty->too_close = verdict.word == Word::check;
    verdict.reason = reason_text(verdict, Units{});
}

}  // namespace bakewright::cure
