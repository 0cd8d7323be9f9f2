// SPDX-License-Identifier: Apache-2.0
#include "bakewright/base/error.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "plain_text.hpp"

namespace bakewright {
namespace {

std::string joined(const std::vector<Problem>& problems) {
    std::string text;
    for (const Problem& problem : problems) {
        if (!text.empty()) text += '\n';
        text += problem.text();
    }
    return text;
}

bool same_letter(char left, char right) { return lower(left) == lower(right); }

/// Restricted Damerau-Levenshtein distance: insertions, deletions, substitutions and swaps of neighbours each cost 1.
/// Capital and small letters count as the same.
std::size_t edit_distance(std::string_view left, std::string_view right) {
    std::vector<std::size_t> two_above(right.size() + 1), above(right.size() + 1), row(right.size() + 1);
    for (std::size_t j = 0; j <= right.size(); ++j) row[j] = j;
    for (std::size_t i = 1; i <= left.size(); ++i) {
        std::swap(two_above, above);
        std::swap(above, row);
        row[0] = i;
        for (std::size_t j = 1; j <= right.size(); ++j) {
            const std::size_t substituted = above[j - 1] + (same_letter(left[i - 1], right[j - 1]) ? 0U : 1U);
            row[j] = std::min({above[j] + 1, row[j - 1] + 1, substituted});
            const bool swapped =
                i > 1 && j > 1 && same_letter(left[i - 1], right[j - 2]) && same_letter(left[i - 2], right[j - 1]);
            if (swapped) row[j] = std::min(row[j], two_above[j - 2] + 1);
        }
    }
    return row[right.size()];
}

std::string_view file_name(std::string_view path) {
    const std::size_t slash = path.find_last_of("/\\");
    return slash == std::string_view::npos ? path : path.substr(slash + 1);
}

}  // namespace

std::string Problem::text() const {
    std::string place = file;
    if (line > 0) place += fmt::format("{}{}", place.empty() ? "line " : ":", line);
    if (!key.empty()) place += (place.empty() ? "" : ": ") + key;
    return place.empty() ? message : place + ": " + message;
}

InputError::InputError(std::vector<Problem> problems) : std::runtime_error(joined(problems)), problems_(std::move(problems)) {
    ensure(!problems_.empty(), "an input error holds at least one problem");
}

void refuse_option(std::string option, std::string message) {
    throw InputError(Problem{.file = {}, .line = 0, .key = std::move(option), .message = std::move(message)});
}

InputError::InputError(Problem problem) : InputError(std::vector<Problem>{std::move(problem)}) {}

void ensure(bool condition, std::string_view promise, std::source_location where) {
    if (condition) return;
    throw PromiseError(fmt::format("broken promise: {} (in {}, {}:{})", promise, where.function_name(),
                                   file_name(where.file_name()), where.line()));
}

std::string nearest_name(std::string_view typed, const std::vector<std::string>& known) {
    std::string nearest;
    std::size_t nearest_distance = std::string::npos;
    for (const std::string& name : known) {
        const std::size_t allowed = name.size() / 3;
        const std::size_t longer = std::max(name.size(), typed.size());
        const std::size_t shorter = std::min(name.size(), typed.size());
        if (longer - shorter > allowed) continue;
        const std::size_t distance = edit_distance(typed, name);
        if (distance > allowed || distance >= nearest_distance) continue;
        nearest = name;
        nearest_distance = distance;
    }
    return nearest;
}

std::string did_you_mean(std::string_view typed, const std::vector<std::string>& known, std::string_view otherwise) {
    const std::string near = nearest_name(typed, known);
    return near.empty() ? std::string(otherwise) : fmt::format(". Did you mean '{}'?", near);
}

}  // namespace bakewright
