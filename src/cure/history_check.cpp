#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "bakewright/base/format.hpp"
#include "history_times.hpp"

namespace bakewright::cure {
namespace {

class HistoryProblems {
public:
    explicit HistoryProblems(const ShellHistory& history) : history_(history) {}

    void check_coat(std::size_t index) {
        const Coat& coat = history_.coats[index];
        const std::string key = fmt::format("coat[{}]", index);
        for (Problem problem : cure::problems_in(coat.coating)) add(key + ".coating." + problem.key, std::move(problem.message));
        if (!std::isfinite(coat.applied_at_s)) add(key + ".applied_at", "is no time");
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
        if (!std::isfinite(bake.began_at_s)) add(key + ".began_at", "is no time");
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

}  // namespace bakewright::cure
