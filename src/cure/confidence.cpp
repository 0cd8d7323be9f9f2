// SPDX-License-Identifier: Apache-2.0
#include "bakewright/cure/confidence.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>

#include "bakewright/base/error.hpp"
#include "bakewright/cure/history.hpp"
#include "bakewright/cure/judge.hpp"
#include "bakewright/cure/judge_zone.hpp"
#include "bakewright/cure/readings.hpp"
#include "bakewright/cure/reason.hpp"
#include "bakewright/cure/rule.hpp"
#include "offset_scenarios.hpp"

namespace bakewright::cure {
namespace {

/// "97 %", and never "100 %": nothing is that sure.
std::string percent_text(double probability) {
    return probability > 0.995 ? "over 99 %" : fmt::format("{:.0f} %", 100.0 * probability);
}

}  // namespace

WordProbabilities ensemble_probabilities(std::span<const MemberChance> members) {
    double weight = 0.0, square = 0.0;
    for (const MemberChance& member : members) {
        ensure(member.weight > 0.0 && std::isfinite(member.weight), "a member of an ensemble has a weight");
        ensure(member.cured >= 0.0 && member.too_much >= 0.0 && member.cured + member.too_much <= 1.0 + 1e-9,
               "the chances of a member are none");
        weight += member.weight;
        square += member.weight * member.weight;
    }
    // Members of unequal weight count as fewer equal ones: Kish's effective size.
    const double size = members.empty() ? 0.0 : weight * weight / square;
    WordProbabilities found{1.0, 1.0, 1.0};
    for (const MemberChance& member : members) {
        const double share = member.weight / weight * size;
        found.over += share * member.too_much;
        found.good += share * member.cured;
        found.under += share * std::max(1.0 - member.cured - member.too_much, 0.0);
    }
    return {found.under / (size + 3.0), found.good / (size + 3.0), found.over / (size + 3.0)};
}

namespace {

std::string guess_text(const Certainty& certainty) {
    return fmt::format("{}, {} sure", word_text(certainty.best), percent_text(certainty.probability));
}

std::string time_text(const Certainty& certainty, const Units& units) {
    if (!(certainty.more_time_at_k > 0.0)) return fmt::format("{} more hold", format_minutes(*certainty.more_time_s));
    return fmt::format("{} more at or above {} by this reading", format_minutes(*certainty.more_time_s),
                       format_temperature(certainty.more_time_at_k, units));
}

/// What would settle a coat or an item, joined by "or".
class Remedies {
public:
    void add(const std::string& remedy) { text_ += (text_.empty() ? "" : ", or ") + remedy; }
    [[nodiscard]] std::string text(const Certainty& certainty) const {
        return fmt::format("too close to call: best guess {}; what would settle it: {}", guess_text(certainty), text_);
    }
    [[nodiscard]] bool empty() const noexcept { return text_.empty(); }

private:
    std::string text_;
};

void add_sharper(Remedies& remedies, const Certainty& certainty, const char* predicted, const Units& units) {
    if (certainty.is_predicted)
        remedies.add(predicted);
    else if (certainty.sharper_k)
        remedies.add("a probe of standard uncertainty " + format_temperature_difference(*certainty.sharper_k, units));
}

}  // namespace

std::string certainty_text(const ZoneVerdict& verdict, const Units& units) {
    if (!verdict.certainty) return {};
    const Certainty& certainty = *verdict.certainty;
    if (!certainty.too_close) return guess_text(certainty);
    Remedies remedies;
    if (verdict.gap_may_hide_cure || verdict.gap_may_hide_heat) remedies.add("readings without the gap");
    if (certainty.more_time_s) remedies.add(time_text(certainty, units));
    add_sharper(remedies, certainty, "a probe on this zone", units);
    if (remedies.empty()) remedies.add("the maker's word on this coating");
    return remedies.text(certainty);
}

std::string certainty_text(const ItemVerdict& verdict, const Units& units) {
    if (!verdict.certainty) return {};
    const Certainty& certainty = *verdict.certainty;
    if (!certainty.too_close) return guess_text(certainty);
    Remedies remedies;
    if (verdict.gap_may_hide_heat) remedies.add("readings without the gap");
    add_sharper(remedies, certainty, "a probe on it", units);
    remedies.add("taking it out or shielding it");
    return remedies.text(certainty);
}

namespace {

/// The uncertainty that every trace has; 0 where they differ.
class OneForAll {
public:
    double seen(double standard_k) {
        ensure(standard_k > 0.0, "a standard uncertainty is above 0");
        is_same_ = is_same_ && (!first_k_ || *first_k_ == standard_k);
        first_k_ = first_k_.value_or(standard_k);
        return standard_k;
    }
    [[nodiscard]] double value_k() const noexcept { return is_same_ ? first_k_.value_or(0.0) : 0.0; }

private:
    std::optional<double> first_k_;
    bool is_same_ = true;
};

}  // namespace

Certainty zone_certainty(const Trace& schedule, const Trace& face, const Coating& coating,
                         const TemperatureUncertainty& uncertainty) {
    const CoatingCurves curves(coating);
    CoatOffsets offsets(curves);
    offsets.add(schedule, peak(JoinedTrace(face)).value_or(PeakReading{}).temperature_k, uncertainty.standard_k);
    return offsets.certainty();
}

void add_certainty(BakeVerdict& verdict, const TraceSet& traces, const Coating& coating,
                   const TemperatureUncertainty& uncertainty) {
    add_certainty(
        verdict, traces, coating, [&](const std::string&) { return uncertainty.standard_k; }, uncertainty.origin);
}

void add_certainty(BakeVerdict& verdict, const TraceSet& traces, const Coating& coating, const NamedUncertainty& standard_k,
                   std::string origin) {
    const CoatingCurves curves(coating);
    verdict.uncertainty_origin = std::move(origin);
    OneForAll one_for_all;
    const Trace* air = traces.first(TraceRole::booth_air);
    for (ZoneVerdict& zone : verdict.zones) {
        if (zone.word == Word::not_judged) continue;
        const Trace& schedule = coating.basis == ScheduleBasis::booth_air ? *air : *traces.find(zone.zone);
        CoatOffsets offsets(curves);
        offsets.add(schedule, zone.peak_temperature_k, one_for_all.seen(standard_k(schedule.name)));
        settle(zone, offsets.certainty());
    }
    for (ItemVerdict& item : verdict.items) {
        // Of a limit that nobody knows there is no chance to tell.
        if (item.word == Word::not_judged || !item.no_limit_known_of.empty()) continue;
        std::vector<ExposureLimit> limits;
        for (const LimitReading& reading : item.limits) limits.push_back(reading.limit);
        const double own_k = one_for_all.seen(standard_k(item.item));
        settle(item, item_certainty(*traces.find(item.item), limits, {own_k, {}}));
    }
    verdict.standard_uncertainty_k = one_for_all.value_k();
    sort_worst_first(verdict);
}

Certainty item_certainty(const Trace& trace, const std::vector<ExposureLimit>& limits,
                         const TemperatureUncertainty& uncertainty) {
    ItemOffsets offsets(limits);
    offsets.add(trace, uncertainty.standard_k);
    return offsets.certainty();
}

namespace {

class HistoryCertainty {
public:
    HistoryCertainty(const ShellHistory& history, const TraceUncertainty& standard_k)
        : history_(history), standard_k_(standard_k) {}

    [[nodiscard]] std::optional<Certainty> of(const CoatVerdict& coat, const CoatingCurves& curves) const {
        CoatOffsets offsets(curves);
        Sources sources;
        for (const BakeShare& share : coat.shares) {
            sources.note(share.source);
            if (share.source == TraceSource::nothing) continue;
            const HistoryBake& bake = history_.bakes[share.bake];
            const bool by_air = curves.coating.basis == ScheduleBasis::booth_air;
            const Trace* schedule = by_air ? find_booth_air(bake) : find_trace(bake, coat.total.zone).trace;
            offsets.add(*schedule, share.peak_temperature_k, standard_k_(share.bake, share.source, schedule->name));
        }
        if (offsets.empty()) return std::nullopt;
        return sources.marked(offsets.certainty(), coat.total.gap_may_hide_cure || coat.total.gap_may_hide_heat);
    }

    [[nodiscard]] std::optional<Certainty> of(const ItemHistoryVerdict& item) const {
        std::vector<ExposureLimit> limits;
        for (const LimitReading& reading : item.total.limits) limits.push_back(reading.limit);
        ItemOffsets offsets(std::move(limits));
        Sources sources;
        for (std::size_t i = 0; i < item.aboard.size(); ++i) {
            sources.note(item.sources[i]);
            if (item.sources[i] == TraceSource::nothing) continue;
            const Trace& trace = *find_trace(history_.bakes[item.aboard[i]], item.total.item).trace;
            offsets.add(trace, standard_k_(item.aboard[i], item.sources[i], trace.name));
        }
        if (offsets.empty()) return std::nullopt;
        return sources.marked(offsets.certainty(), item.total.gap_may_hide_heat);
    }

private:
    struct Sources {
        bool any_predicted = false, any_unknown = false;

        void note(TraceSource source) {
            any_predicted = any_predicted || source == TraceSource::prediction;
            any_unknown = any_unknown || source == TraceSource::nothing;
        }
        [[nodiscard]] Certainty marked(Certainty certainty, bool gap_may_hide) const {
            certainty.is_predicted = any_predicted;
            certainty.too_close = certainty.too_close || any_unknown || gap_may_hide;
            return certainty;
        }
    };

    const ShellHistory& history_;
    const TraceUncertainty& standard_k_;
};

/// A bake that nothing is known of leaves the coat in doubt, however sure the others are.
void settle_coat(CoatVerdict& coat, std::optional<Certainty> certainty) {
    if (!certainty) return;
    settle(coat.total, std::move(*certainty));
    const bool any_unknown = std::any_of(coat.shares.begin(), coat.shares.end(),
                                         [](const BakeShare& share) { return share.source == TraceSource::nothing; });
    if (any_unknown && coat.total.word == Word::under) coat.total.word = Word::check;
    coat.total.certainty->too_close = coat.total.certainty->too_close || any_unknown;
    doubt_covered(coat);
}

}  // namespace

void add_certainty(ShellVerdict& verdict, const ShellHistory& history, const TraceUncertainty& standard_k,
                   std::vector<std::string> origins) {
    const HistoryCertainty certainty(history, standard_k);
    for (std::size_t i = 0; i < history.coats.size(); ++i) {
        const CoatingCurves curves(history.coats[i].coating);
        for (CoatVerdict& coat : verdict.coats)
            if (coat.coat_index == i && coat.total.word != Word::not_judged) settle_coat(coat, certainty.of(coat, curves));
    }
    for (ItemHistoryVerdict& item : verdict.items)
        if (item.total.word != Word::not_judged && item.total.no_limit_known_of.empty())
            if (auto sure = certainty.of(item)) settle(item.total, std::move(*sure));
    verdict.uncertainty_origins = std::move(origins);
    put_in_order(verdict);
    for (CoatVerdict& coat : verdict.coats) coat.reason = reason_text(coat, verdict.bake_names, Units{});
    for (ItemHistoryVerdict& item : verdict.items) item.reason = reason_text(item, verdict.bake_names, Units{});
}

}  // namespace bakewright::cure
