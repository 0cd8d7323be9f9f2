// SPDX-License-Identifier: Apache-2.0
#include "bakewright/services/saved_readings.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "bakewright/base/error.hpp"
#include "bakewright/book/document_repository.hpp"
#include "bakewright/profile/text_rules.hpp"
#include "bakewright/services/entered.hpp"

namespace bakewright::services {
namespace {

constexpr std::string_view kKind = "log_reading";

}  // namespace

std::vector<profile::SavedReading> saved_readings(book::Book& book) {
    book::DocumentRepository documents(book);
    std::vector<profile::SavedReading> readings;
    std::set<std::string> seen;
    for (const book::DocumentSummary& summary : documents.list(kKind))
        if (seen.insert(summary.name).second)
            readings.push_back(profile::saved_reading_from_toml(documents.get(summary.id).text,
                                                                fmt::format("reading '{}' of the book", summary.name)));
    return readings;
}

profile::SavedReading saved_reading(book::Book& book, const std::string& name) {
    std::vector<std::string> known;
    for (profile::SavedReading& reading : saved_readings(book)) {
        if (reading.name == name) return std::move(reading);
        known.push_back(reading.name);
    }
    throw InputError(Problem{{},
                             0,
                             "--reading",
                             known.empty()
                                 ? fmt::format("the book keeps no reading '{}', nor any other", name)
                                 : fmt::format("the book keeps no reading '{}'; it has {}", name, fmt::join(known, ", "))});
}

GivenOptions with_saved(const GivenOptions& given, const profile::SavedReading& saved) {
    std::vector<std::pair<std::string, std::string>> all = given.all();
    for (const auto& [name, value] : saved.options)
        if (!given.has(name)) all.emplace_back(name, value);
    return GivenOptions(std::move(all));
}

void save_reading(book::Book& book, const std::string& name, const GivenOptions& reading) {
    profile::SavedReading saved{entered_text("--save-reading", name, profile::kLongestName), 1, reading.all()};
    // Of this one file: where it begins and ends, and what of it is not believed.
    std::erase_if(saved.options,
                  [](const auto& one) { return one.first == "from-line" || one.first == "to-line" || one.first == "leave-out"; });
    const std::vector<profile::SavedReading> all = saved_readings(book);
    const auto before = std::find_if(all.begin(), all.end(), [&](const auto& one) { return one.name == name; });
    if (before != all.end()) {
        if (before->options == saved.options) return;
        saved.number = before->number + 1;
    }
    book::DocumentRepository(book).store({std::string(kKind), name, name, profile::to_toml(saved)});
}

}  // namespace bakewright::services
