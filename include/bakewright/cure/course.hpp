// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "bakewright/base/trace.hpp"
#include "bakewright/cure/coating.hpp"
#include "bakewright/cure/verdict.hpp"

/// How a bake's verdict came about: the word that judge_bake() would give had the bake stopped at a moment, over the whole of it.
namespace bakewright::cure {

/// The word of a zone from one moment to another. until_s > from_s.
struct WordSpan {
    double from_s = 0.0;
    double until_s = 0.0;
    Word word = Word::under;
};

struct ZoneCourse {
    std::string zone;
    TraceRole role = TraceRole::zone;
    Word word = Word::not_judged;                 ///< at the end: the verdict's
    std::vector<WordSpan> spans;                  ///< joined end to end from the bake's start to its end; empty where not judged
    std::optional<double> cured_from_s{};         ///< since when it is cured by the window; it stays so
    std::optional<double> past_maximum_from_s{};  ///< since when it is past a maximum beyond doubt; it stays so
    double dose = 0.0;                            ///< at the end, middle of its band
};

/// How much of what an item may see has been used up.
struct UsedShare {
    double time_s = 0.0;
    double share = 0.0;  ///< 1: the limit
};

struct ItemCourse {
    std::string item;
    Word word = Word::not_judged;
    /// Straight lines between these, never falling: the largest share over the item's limits. Of a limit with a time, the time at
    /// or above it over the time allowed. Of one never to be reached, how much of the way from where the item started to the
    /// limit's temperature its hottest moment so far has gone. Empty where there is no trace.
    std::vector<UsedShare> used;
    std::optional<double> passed_at_s{};     ///< when the first limit was passed
    std::optional<ExposureLimit> nearest{};  ///< the limit of the largest share at the end
};

struct BakeCourse {
    double from_s = 0.0;  ///< first and last sample of any trace
    double until_s = 0.0;
    std::vector<ZoneCourse> zones;  ///< last to cure first, before it those that never did, the smaller dose first
    std::vector<ItemCourse> items;  ///< nearest to its limit first
};

/// The course of one zone; see judge_zone(). Where a log lacks samples that might change the word, it is CHECK from the first
/// lack on instead of UNDER or GOOD.
[[nodiscard]] ZoneCourse zone_course(const Trace& trace, const Coating& coating);

/// @param exposed_before_s  what each limit of the item has seen before this bake, in their order; counted for limits of its
///                          lifetime alone; empty: nothing
[[nodiscard]] ItemCourse item_course(const Trace& trace, const HeatSensitiveItem& item,
                                     const std::vector<double>& exposed_before_s = {});

/// Zones, items and coating as judge_bake() takes them.
/// @param exposed_before_s  by the name of the item
/// @param verdict  on the same bake: each course ends with its word, which may rest on chances; null: with that of judge_bake()
/// @throws PromiseError where a trace is not well formed or the coating has no schedule
[[nodiscard]] BakeCourse bake_course(const TraceSet& traces, const Coating& coating, const std::vector<HeatSensitiveItem>& items,
                                     const std::vector<std::string>& coated_zones = {},
                                     const std::map<std::string, std::vector<double>>& exposed_before_s = {},
                                     const BakeVerdict* verdict = nullptr);

}  // namespace bakewright::cure
