#include "bakewright/profile/located.hpp"

namespace bakewright::profile {
namespace {

/// "zone[2].layers[0]" for "zone[2].layers[0].thickness", "zone[2].layers" for "zone[2].layers[0]"; empty at the top.
std::string_view parent_of(std::string_view key) {
    const std::size_t cut = key.find_last_of(".[");
    return cut == std::string_view::npos ? std::string_view{} : key.substr(0, cut);
}

}  // namespace

void LineIndex::add(std::string key, int line) { lines_.try_emplace(std::move(key), line); }

bool LineIndex::contains(std::string_view key) const { return lines_.find(key) != lines_.end(); }

int LineIndex::line_of(std::string_view key) const {
    for (; !key.empty(); key = parent_of(key))
        if (const auto found = lines_.find(key); found != lines_.end()) return found->second;
    return lines_.empty() ? 0 : 1;
}

std::vector<Problem> locate(std::vector<Problem> problems, const std::string& file, const LineIndex& lines) {
    for (Problem& problem : problems) {
        if (!problem.file.empty()) continue;
        problem.file = file;
        problem.line = lines.line_of(problem.key);
    }
    return problems;
}

}  // namespace bakewright::profile
