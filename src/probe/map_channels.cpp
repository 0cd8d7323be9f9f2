// SPDX-License-Identifier: Apache-2.0
#include "bakewright/probe/map_channels.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <set>

#include "bakewright/base/error.hpp"
#include "cell.hpp"
#include "unit_text.hpp"

namespace bakewright::probe {
namespace {

constexpr std::array<std::string_view, 4> kAirWords = {"air", "oven", "booth", "chamber"};
constexpr std::array<std::string_view, 14> kElsewhereWords = {"ambient",  "room",   "outside", "outdoor", "interior",
                                                              "inside",   "cavity", "cab",     "wall",    "set",
                                                              "setpoint", "sp",     "target",  "exhaust"};

template <std::size_t N>
bool has_word(const std::vector<std::string>& words, const std::array<std::string_view, N>& list) {
    return std::any_of(words.begin(), words.end(),
                       [&](const std::string& word) { return std::find(list.begin(), list.end(), word) != list.end(); });
}

/// Letters and digits in small letters, nothing else: "Left Sill (low)" and "left_sill-low" are the same.
std::string plain_name(std::string_view name) {
    std::string out;
    for (const std::string& word : words_of(name)) out += word;
    return out;
}

/// How surely a name is the booth's air: 3 for nothing but such words ("Booth air"), 2 with a further word, 0 for no.
int air_rank(std::string_view name) {
    const std::vector<std::string> words = words_of(name);
    if (!has_word(words, kAirWords) || has_word(words, kElsewhereWords)) return 0;
    const bool only_air = std::all_of(words.begin(), words.end(), [](const std::string& word) {
        return word == "temp" || word == "temperature" || std::find(kAirWords.begin(), kAirWords.end(), word) != kAirWords.end();
    });
    return only_air ? 3 : 2;
}

/// A plan of the new names, made before anything is changed.
struct Plan {
    std::vector<const ChannelMapping*> given;  // one a trace, null where none
    std::vector<ChannelMatch> match;           // one a trace, role unmapped where none
};

std::string names_of(const TraceSet& traces) {
    std::string out;
    for (const Trace& trace : traces.traces) out += fmt::format("{}'{}'", out.empty() ? "" : ", ", trace.name);
    return out;
}

std::size_t index_of(const TraceSet& traces, const std::string& channel) {
    for (std::size_t i = 0; i < traces.traces.size(); ++i)
        if (traces.traces[i].name == channel) return i;
    for (std::size_t i = 0; i < traces.traces.size(); ++i)
        if (equals_ignoring_case(traces.traces[i].name, channel)) return i;
    return traces.traces.size();
}

void match_given(const TraceSet& traces, const std::vector<ChannelMapping>& given, Plan& plan, std::vector<Problem>& problems) {
    for (const ChannelMapping& entry : given) {
        const std::size_t index = index_of(traces, entry.channel);
        if (index == traces.traces.size()) {
            problems.push_back(
                {"", 0, "map", fmt::format("the log has no channel '{}'; it has {}", entry.channel, names_of(traces))});
            continue;
        }
        if (plan.given[index] != nullptr) {
            problems.push_back({"", 0, "map", fmt::format("channel '{}' is mapped twice", entry.channel)});
            continue;
        }
        plan.given[index] = &entry;
        const std::string& name = entry.name.empty() ? traces.traces[index].name : entry.name;
        plan.match[index] = {traces.traces[index].name, name, entry.role, "given"};
    }
}

bool name_is_taken(const Plan& plan, const std::string& name) {
    return std::any_of(plan.match.begin(), plan.match.end(),
                       [&](const ChannelMatch& match) { return match.role != TraceRole::unmapped && match.name == name; });
}

void match_names(const TraceSet& traces, const std::vector<MappingTarget>& targets, Plan& plan, MappingResult& result) {
    for (const MappingTarget& target : targets) {
        if (name_is_taken(plan, target.name)) continue;
        std::vector<std::size_t> found;
        for (std::size_t i = 0; i < traces.traces.size(); ++i)
            if (plan.given[i] == nullptr && plan.match[i].role == TraceRole::unmapped &&
                plain_name(traces.traces[i].name) == plain_name(target.name))
                found.push_back(i);
        if (found.size() == 1)
            plan.match[found[0]] = {traces.traces[found[0]].name, target.name, target.role, "same name"};
        else if (found.size() > 1)
            result.remarks.push_back(fmt::format("{} channels have the name '{}': none was taken", found.size(), target.name));
    }
}

void match_air(const TraceSet& traces, Plan& plan, MappingResult& result) {
    const auto is_air = [](const ChannelMatch& match) { return match.role == TraceRole::booth_air; };
    if (std::any_of(plan.match.begin(), plan.match.end(), is_air)) return;
    std::vector<std::size_t> best;
    int best_rank = 1;
    for (std::size_t i = 0; i < traces.traces.size(); ++i) {
        const bool is_free = plan.given[i] == nullptr && plan.match[i].role == TraceRole::unmapped;
        const int rank = is_free ? air_rank(traces.traces[i].name) : 0;
        if (rank < best_rank || rank == 0) continue;
        if (rank > best_rank) best.clear();
        best_rank = rank;
        best.push_back(i);
    }
    if (best.size() == 1) {
        const std::string& name = traces.traces[best[0]].name;
        plan.match[best[0]] = {name, name, TraceRole::booth_air, "air word"};
    } else if (best.size() > 1) {
        result.remarks.push_back(fmt::format("{} channels may be the booth air ('{}', '{}'{}): say which", best.size(),
                                             traces.traces[best[0]].name, traces.traces[best[1]].name,
                                             best.size() > 2 ? ", ..." : ""));
    }
}

void check_unique(const TraceSet& traces, const Plan& plan, std::vector<Problem>& problems) {
    std::set<std::string> names;
    for (std::size_t i = 0; i < traces.traces.size(); ++i) {
        const bool renamed = !plan.match[i].name.empty();
        const std::string& name = renamed ? plan.match[i].name : traces.traces[i].name;
        if (!names.insert(name).second)
            problems.push_back(
                {"", 0, "map", fmt::format("two channels would have the name '{}'; each name can stand once", name)});
    }
}

}  // namespace

bool names_air(std::string_view name) { return has_word(words_of(name), kAirWords); }

MappingResult map_channels(TraceSet& traces, const std::vector<ChannelMapping>& given,
                           const std::vector<MappingTarget>& targets) {
    MappingResult result;
    Plan plan{std::vector<const ChannelMapping*>(traces.traces.size(), nullptr), std::vector<ChannelMatch>(traces.traces.size())};
    std::vector<Problem> problems;
    match_given(traces, given, plan, problems);
    match_names(traces, targets, plan, result);
    match_air(traces, plan, result);
    check_unique(traces, plan, problems);
    if (!problems.empty()) throw InputError(std::move(problems));
    for (std::size_t i = 0; i < traces.traces.size(); ++i) {
        Trace& trace = traces.traces[i];
        if (plan.match[i].name.empty()) {
            if (trace.role == TraceRole::unmapped) result.unmatched.push_back(trace.name);
            continue;
        }
        trace.name = plan.match[i].name;
        trace.role = plan.match[i].role;
        result.matched.push_back(std::move(plan.match[i]));
    }
    return result;
}

}  // namespace bakewright::probe
