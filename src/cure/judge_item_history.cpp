#include <algorithm>
#include <tuple>

#include "bakewright/cure/reason.hpp"
#include "history_parts.hpp"
#include "history_times.hpp"
#include "judge_item.hpp"
#include "word_rank.hpp"

namespace bakewright::cure {
namespace {

/// No bake yet: every limit unused.
ItemVerdict unheated(const HeatSensitiveItem& item, double near_k) {
    ItemVerdict verdict;
    verdict.item = item.name;
    verdict.margin_k = near_k;
    verdict.no_limit_known_of = item.no_limit_known_of;
    verdict.word = item.no_limit_known_of.empty() ? Word::good : Word::check;
    for (const ExposureLimit& limit : item.limits) verdict.limits.push_back({limit, 0.0, 0.0, false, false});
    return verdict;
}

void add(ItemHistoryVerdict& verdict, const HistoryBake& bake, std::size_t index, const HeatSensitiveItem& item, double near_k) {
    const FoundTrace found = find_trace(bake, item.name);
    const Word before = verdict.total.word;
    verdict.aboard.push_back(index);
    verdict.sources.push_back(found.source);
    if (found.trace != nullptr)
        add_bake(verdict.total, judge_item(*found.trace, item, near_k));
    else
        verdict.total.gap_may_hide_heat = true;
    verdict.total.word = item_word(verdict.total);
    verdict.word_after.push_back(verdict.total.word);
    if (!verdict.passed_in && verdict.total.word == Word::over) verdict.passed_in = index;
    const bool worse = word_rank(verdict.total.word) < word_rank(before);
    if (bake.planned && !verdict.remove_before && (worse || found.trace == nullptr || before == Word::over))
        verdict.remove_before = index;
}

}  // namespace

ItemHistoryVerdict judge_item_history(const ShellHistory& history, const HeatSensitiveItem& item, double near_k) {
    ItemHistoryVerdict verdict;
    verdict.total = unheated(item, near_k);
    for (std::size_t i = 0; i < history.bakes.size(); ++i)
        if (named(history.bakes[i].items, item.name)) add(verdict, history.bakes[i], i, item, near_k);
    verdict.total.reason = reason_text(verdict.total, Units{});
    return verdict;
}

void sort_worst_first(std::vector<ItemHistoryVerdict>& items) {
    const auto key = [](const ItemHistoryVerdict& item) {
        return std::tuple(word_rank(item.total.word), -item.total.peak_temperature_k, std::string_view(item.total.item));
    };
    std::sort(items.begin(), items.end(), [&](const auto& left, const auto& right) { return key(left) < key(right); });
}

}  // namespace bakewright::cure
