// SPDX-License-Identifier: Apache-2.0
#include "bakewright/profile/located.hpp"

#include <fmt/format.h>

namespace bakewright::profile {
namespace {

/// "zone[2].layers[0]" for "zone[2].layers[0].thickness", "zone[2].layers" for "zone[2].layers[0]"; empty at the top.
std::string_view parent_of(std::string_view key) {
    const std::size_t cut = key.find_last_of(".[");
    return cut == std::string_view::npos ? std::string_view{} : key.substr(0, cut);
}

/// Says a number and what is accepted as the user wrote it.
std::string as_written(const Problem& problem, const LineIndex::Written& written) {
    const OutOfRange& range = *problem.range;
    if (written.dimension) return out_of_range_text(range, *written.dimension, written.text);
    return range.accepted.empty() ? problem.message : fmt::format("is {}, accepted is {}", written.text, range.accepted);
}

}  // namespace

void LineIndex::add(std::string key, int line) { lines_.try_emplace(std::move(key), line); }

bool LineIndex::contains(std::string_view key) const { return lines_.find(key) != lines_.end(); }

int LineIndex::line_of(std::string_view key) const {
    for (; !key.empty(); key = parent_of(key))
        if (const auto found = lines_.find(key); found != lines_.end()) return found->second;
    return lines_.empty() ? 0 : 1;
}

void LineIndex::add_written(std::string key, Written number) { written_.insert_or_assign(std::move(key), std::move(number)); }

const LineIndex::Written* LineIndex::written(std::string_view key) const {
    const auto found = written_.find(key);
    return found == written_.end() ? nullptr : &found->second;
}

std::vector<Problem> locate(std::vector<Problem> problems, const std::string& file, const LineIndex& lines) {
    for (Problem& problem : problems) {
        if (!problem.file.empty()) continue;
        problem.file = file;
        problem.line = lines.line_of(problem.key);
        if (const LineIndex::Written* written = lines.written(problem.key); written != nullptr && problem.range)
            problem.message = as_written(problem, *written);
    }
    return problems;
}

}  // namespace bakewright::profile
