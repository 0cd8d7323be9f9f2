// SPDX-License-Identifier: Apache-2.0
#include "bakewright/cure/history.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>
#include <tuple>

#include "bakewright/base/format.hpp"
#include "bakewright/cure/reason.hpp"

namespace bakewright::cure {
namespace {

void sort_worst_first(std::vector<CoatVerdict>& coats) {
    const auto key = [](const CoatVerdict& coat) {
        const ZoneVerdict& zone = coat.total;
        const double margin = zone.word == Word::over ? -zone.peak_temperature_k : zone.window.slack_s;
        return std::tuple(word_rank(zone.word), margin, coat.coat_index, std::string_view(zone.zone));
    };
    std::sort(coats.begin(), coats.end(),
              [&](const CoatVerdict& left, const CoatVerdict& right) { return key(left) < key(right); });
}

void sort_worst_first(std::vector<ItemHistoryVerdict>& items) {
    const auto key = [](const ItemHistoryVerdict& item) {
        return std::tuple(word_rank(item.total.word), -item.total.peak_temperature_k, std::string_view(item.total.item));
    };
    std::sort(items.begin(), items.end(), [&](const auto& left, const auto& right) { return key(left) < key(right); });
}

}  // namespace

/// Solvent of a film that was covered before it was cured has not left: what it got later does not make it GOOD.
void doubt_covered(CoatVerdict& coat) {
    if (!coat.covered_by.empty() && coat.total.word == Word::good) coat.total.word = Word::check;
}

void put_in_order(ShellVerdict& verdict) {
    sort_worst_first(verdict.coats);
    sort_worst_first(verdict.items);
}

bool can_be_judged(const Trace* trace) {
    if (trace == nullptr) return false;
    std::size_t count = 0;
    for (std::size_t i = 0; i < trace->size() && count < 2; ++i) count += trace->usable(i) ? 1 : 0;
    return count == 2;
}

FoundTrace find_trace(const HistoryBake& bake, const std::string& name) {
    const auto in = [&](const TraceSet* set) { return set == nullptr ? nullptr : set->find(name); };
    if (const Trace* logged = in(bake.log); can_be_judged(logged)) return {logged, TraceSource::log};
    if (const Trace* predicted = in(bake.prediction); can_be_judged(predicted)) return {predicted, TraceSource::prediction};
    return {};
}

const Trace* find_booth_air(const HistoryBake& bake) {
    for (const TraceSet* set : {bake.log, bake.prediction})
        if (set != nullptr && can_be_judged(set->first(TraceRole::booth_air))) return set->first(TraceRole::booth_air);
    return nullptr;
}

const Coat* next_coat_on(const ShellHistory& history, const Coat& coat, const std::string& zone) {
    const auto comes_after = [](const Coat& one, const Coat& other) {
        return one.applied_at_s != other.applied_at_s ? one.applied_at_s > other.applied_at_s : &one > &other;
    };
    const Coat* next = nullptr;
    for (const Coat& other : history.coats)
        if (named(other.zones, zone) && comes_after(other, coat) && (next == nullptr || comes_after(*next, other))) next = &other;
    return next;
}

Word ShellVerdict::worst() const noexcept {
    if (coats.empty() && items.empty()) return Word::not_judged;
    Word worst_word = Word::good;
    const auto take = [&](Word word) {
        if (word_rank(word) < word_rank(worst_word)) worst_word = word;
    };
    for (const CoatVerdict& coat : coats) take(coat.total.word);
    for (const ItemHistoryVerdict& item : items) take(item.total.word);
    return worst_word;
}

namespace {

class HistoryProblems {
public:
    explicit HistoryProblems(const ShellHistory& history) : history_(history) {}

    void check_coat(std::size_t index) {
        const Coat& coat = history_.coats[index];
        const std::string key = fmt::format("coat[{}]", index);
        for (Problem problem : cure::problems_in(coat.coating)) add(key + ".coating." + problem.key, std::move(problem.message));
        if (!std::isfinite(coat.applied_at_s)) add(key + ".applied_at", "is not a time");
        if (coat.zones.empty())
            add(key + ".zones", fmt::format("is empty: '{}' lies on no zone; accepted is one zone or more", coat.name));
        if (coat.sanded_at_s && !(*coat.sanded_at_s >= coat.applied_at_s))
            add(key + ".sanded_at", fmt::format("is before '{}' was sprayed", coat.name));
        for (const std::string& zone : coat.zones) {
            if (!seen_.insert({coat.name, zone}).second)
                add(key + ".zones",
                    fmt::format("'{}' is on zone '{}' already; give the second one a name of its own", coat.name, zone));
            check_not_in_a_bake(coat, zone, key);
        }
    }

    void check_bake(std::size_t index) {
        const HistoryBake& bake = history_.bakes[index];
        const std::string key = fmt::format("bake[{}]", index);
        if (!std::isfinite(bake.began_at_s)) add(key + ".began_at", "is not a time");
        if (bake.log == nullptr && bake.prediction == nullptr)
            add(key, fmt::format("'{}' has neither a log nor a prediction; accepted is one of them or both", bake.name));
        for (const std::string& item : bake.items)
            if (std::none_of(history_.items.begin(), history_.items.end(), [&](const auto& known) { return known.name == item; }))
                add(key + ".items", fmt::format("'{}' is no heat-sensitive item of the shell", item));
        if (index == 0) return;
        if (bake.began_at_s < history_.bakes[index - 1].began_at_s)
            add(key + ".began_at",
                fmt::format("'{}' began before '{}', which stands before it; accepted are bakes in the order of time", bake.name,
                            history_.bakes[index - 1].name));
        for (std::size_t before = 0; before < index; ++before) check_overlap(history_.bakes[before], bake, key);
    }

    [[nodiscard]] std::vector<Problem> take() { return std::move(problems_); }

private:
    void add(std::string key, std::string message) { problems_.push_back({{}, 0, std::move(key), std::move(message)}); }

    void check_overlap(const HistoryBake& before, const HistoryBake& bake, const std::string& key) {
        const bool apart = bake.began_at_s >= ended_at_s(before) || before.began_at_s >= ended_at_s(bake);
        if (apart || !share_a_zone(before, bake)) return;
        add(key + ".began_at",
            fmt::format("'{}' began {} before '{}' ended, and both held the same zones; one of the two times is wrong", bake.name,
                        format_duration(ended_at_s(before) - bake.began_at_s), before.name));
    }

    void check_not_in_a_bake(const Coat& coat, const std::string& zone, const std::string& key) {
        for (const HistoryBake& bake : history_.bakes)
            if (takes_part(bake, zone) && coat.applied_at_s > bake.began_at_s && coat.applied_at_s < ended_at_s(bake))
                add(key + ".applied_at",
                    fmt::format("'{}' was sprayed on '{}' during '{}', which lasted {}; one of the two times is wrong", coat.name,
                                zone, bake.name, format_duration(ended_at_s(bake) - bake.began_at_s)));
    }

    const ShellHistory& history_;
    std::set<std::pair<std::string, std::string>> seen_;
    std::vector<Problem> problems_;
};

}  // namespace

std::vector<Problem> problems_in(const ShellHistory& history) {
    HistoryProblems problems(history);
    for (std::size_t i = 0; i < history.coats.size(); ++i) problems.check_coat(i);
    for (std::size_t i = 0; i < history.bakes.size(); ++i) problems.check_bake(i);
    return problems.take();
}

namespace {

std::string moment_text(const CoatVerdict& verdict, const std::vector<std::string>& bake_names) {
    if (verdict.shares.empty()) return "has been in no bake yet";
    if (verdict.over_since)
        return verdict.cured_in && *verdict.cured_in != *verdict.over_since
                   ? fmt::format("cured in {}, past its maximum since {}", bake_names[*verdict.cured_in],
                                 bake_names[*verdict.over_since])
                   : fmt::format("past its maximum since {}", bake_names[*verdict.over_since]);
    return verdict.cured_in ? fmt::format("cured in {}", bake_names[*verdict.cured_in]) : "";
}

std::string sources_text(const CoatVerdict& verdict, const std::vector<std::string>& bake_names) {
    std::string text;
    for (const BakeShare& share : verdict.shares)
        if (share.source != TraceSource::log)
            text += fmt::format("{}{} ({})", text.empty() ? "" : ", ", bake_names[share.bake],
                                share.source == TraceSource::prediction ? "predicted" : "not known");
    return text;
}

/// Names in a row: "roof, sill and 3 more".
std::string some_of(const std::vector<std::string>& names) {
    constexpr std::size_t kMost = 3;
    const std::size_t count = std::min(names.size(), kMost);
    const std::string some =
        fmt::format("{}", fmt::join(names.begin(), names.begin() + static_cast<std::ptrdiff_t>(count), ", "));
    return names.size() > kMost ? fmt::format("{} and {} more", some, names.size() - kMost) : some;
}

}  // namespace

std::string reason_text(const CoatVerdict& verdict, const std::vector<std::string>& bake_names, const Units& units) {
    std::string text = moment_text(verdict, bake_names);
    if (!verdict.shares.empty()) {
        const std::string readings = reason_text(verdict.total, units);
        text = text.empty() ? readings : text + ": " + readings;
    }
    if (!verdict.covered_by.empty()) text += fmt::format("; it was not cured when '{}' went over it", verdict.covered_by);
    const std::string sources = sources_text(verdict, bake_names);
    if (!sources.empty()) text += "; not measured in " + sources;
    return text;
}

std::string reason_text(const ItemHistoryVerdict& verdict, const std::vector<std::string>& bake_names, const Units& units) {
    if (verdict.aboard.empty()) return "has been in no bake";
    std::string text;
    if (verdict.remove_before) text = fmt::format("take it out before {}, or bake cooler: ", bake_names[*verdict.remove_before]);
    bool unseen = false;
    for (const TraceSource source : verdict.sources) unseen = unseen || source == TraceSource::nothing;
    if (unseen && verdict.total.peak_temperature_k == 0.0) return text + "nothing was measured or predicted for it";
    text += reason_text(verdict.total, units);
    if (verdict.passed_in && verdict.passed_in != verdict.remove_before)
        text += fmt::format(", since {}", bake_names[*verdict.passed_in]);
    if (unseen) text += "; in some bakes nothing was measured or predicted for it";
    return text;
}

std::string reason_text(const RecoatWarning& warning) {
    const bool soon = warning.kind == RecoatWarningKind::recoated_too_soon;
    return fmt::format("'{}' went over '{}' after {}, its sheet {} {}{} ({})", warning.next_coat, warning.coat,
                       format_duration(warning.found_s), soon ? "asks for" : "allows", format_duration(warning.accepted_s),
                       soon ? " at least and it was not baked between" : " at most without sanding", some_of(warning.zones));
}

std::string reason_text(const CoatHeatWarning& warning) {
    const bool soon = warning.warning.kind == HeatWarningKind::heated_too_soon;
    return fmt::format("in {} the heat came on {} after '{}' was sprayed, its sheet {} a flash-off of {} {}", warning.bake,
                       format_duration(warning.warning.found), warning.coat, soon ? "asks for" : "allows",
                       format_duration(warning.warning.accepted), soon ? "at least" : "at most: the skin may have closed");
}

}  // namespace bakewright::cure
