// SPDX-License-Identifier: Apache-2.0
#include "collector.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace bakewright::profile {
namespace {

/// More would be scrolled past.
constexpr std::size_t kMostProblems = 100;

bool is_below(std::string_view key, std::string_view ancestor) {
    if (key == ancestor) return true;
    return key.size() > ancestor.size() && key.starts_with(ancestor) &&
           (key[ancestor.size()] == '.' || key[ancestor.size()] == '[');
}

/// "schedule.minimum" for "schedule[1].minimum".
std::string without_indices(std::string_view key) {
    std::string result;
    bool inside = false;
    for (const char letter : key) {
        inside = inside || letter == '[';
        if (!inside) result += letter;
        if (letter == ']') inside = false;
    }
    return result;
}

bool covered(const std::string& key, const std::map<std::string, std::string>& sources) {
    return std::any_of(sources.begin(), sources.end(), [&](const auto& entry) {
        return is_below(key, entry.first) || is_below(without_indices(key), entry.first);
    });
}

std::string listed(const std::vector<std::string>& keys) {
    constexpr std::size_t kMost = 12;
    const std::size_t count = std::min(keys.size(), kMost);
    const std::string some = fmt::format("{}", fmt::join(keys.begin(), keys.begin() + static_cast<std::ptrdiff_t>(count), ", "));
    return keys.size() > kMost ? fmt::format("{} and {} more", some, keys.size() - kMost) : some;
}

}  // namespace

void Collector::push(Problem problem) {
    if (problems_.size() < kMostProblems) return problems_.push_back(std::move(problem));
    if (problems_.size() > kMostProblems) return;
    problems_.push_back({.file = file_, .line = 0, .key = {}, .message = "has more problems, not listed"});
}

void Collector::add(const std::string& key, std::string message) {
    add_at_line(lines_.line_of(key), key, std::move(message));
    if (!key.empty()) mark_unread(key);
}

void Collector::add_at_line(int line, const std::string& key, std::string message) {
    push({.file = file_, .line = line, .key = key, .message = std::move(message)});
}

void Collector::add_foreign(const std::vector<Problem>& problems) {
    for (const Problem& problem : problems) push(problem);
}

bool Collector::is_unread(std::string_view key) const {
    return std::any_of(unread_.begin(), unread_.end(), [&](const std::string& unread) {
        return is_below(key, unread) || (!key.empty() && is_below(unread, key));
    });
}

void Collector::add_of_record(std::vector<Problem> problems) {
    for (Problem& problem : locate(std::move(problems), file_, lines_))
        if (!is_unread(problem.key)) push(std::move(problem));
}

void Collector::add_number(const std::string& key, LineIndex::Written written) {
    numbers_.push_back(key);
    lines_.add_written(key, std::move(written));
}

void Collector::note_numbers_without_source(const std::string& prefix, const std::map<std::string, std::string>& sources) {
    const std::size_t skipped = prefix.empty() ? 0 : prefix.size() + 1;
    std::vector<std::string> bare;
    for (const std::string& key : numbers_)
        if ((prefix.empty() || is_below(key, prefix)) && !covered(key.substr(skipped), sources)) bare.push_back(key);
    if (bare.empty()) return;
    note(fmt::format("no source is given for {}; say where {} from in the table `{}`", listed(bare),
                     bare.size() == 1 ? "the number comes" : "the numbers come",
                     prefix.empty() ? "sources" : prefix + ".sources"));
}

void Collector::sort_problems() {
    std::stable_sort(problems_.begin(), problems_.end(), [this](const Problem& left, const Problem& right) {
        const bool left_foreign = left.file != file_;
        const bool right_foreign = right.file != file_;
        return left_foreign != right_foreign ? right_foreign : !left_foreign && left.line < right.line;
    });
}

}  // namespace bakewright::profile
