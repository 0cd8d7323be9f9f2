// SPDX-License-Identifier: Apache-2.0
#include "bakewright/services/evidence.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <nlohmann/json.hpp>
#include <optional>
#include <set>

#include "bakewright/bake/members.hpp"
#include "bakewright/book/document_repository.hpp"
#include "bakewright/services/tune_records.hpp"

namespace bakewright::services {
namespace {

using nlohmann::ordered_json;

/// Names the files of a log, or the bake of one that was recorded, and how often it was read.
std::string reading_of(const book::Bake& bake) {
    std::string reading = std::to_string(bake.earlier_readings.size());
    if (bake.logs.empty()) reading += " " + bake.uid;
    for (const book::BakeLog& log : bake.logs) reading += " " + log.sha256;
    return reading;
}

ordered_json sizes_json() {
    ordered_json sizes = ordered_json::array();
    for (const bake::DiscrepancySize& size : bake::discrepancy_sizes({}))
        sizes.push_back({{"own_air_k", size.own_air_k}, {"surroundings_k", size.surroundings_k}});
    return sizes;
}

std::string text_of(const book::Bake& bake, const std::vector<double>& log_evidence) {
    const ordered_json text{
        {"bake", bake.uid}, {"reading", reading_of(bake)}, {"sizes", sizes_json()}, {"log_evidence", log_evidence}};
    return text.dump(1) + "\n";
}

/// Nothing where it is of other sizes, or of a reading that was replaced since.
std::optional<std::vector<double>> evidence_in(const std::string& text, const book::Bake& bake) {
    const ordered_json read = ordered_json::parse(text, nullptr, false);
    if (!read.is_object() || read.value("reading", "") != reading_of(bake) || !read.contains("log_evidence") ||
        read.value("sizes", ordered_json()) != sizes_json())
        return std::nullopt;
    std::vector<double> evidence;
    for (const ordered_json& one : read["log_evidence"])
        if (one.is_number()) evidence.push_back(one.get<double>());
    if (evidence.size() != sizes_json().size()) return std::nullopt;
    return evidence;
}

}  // namespace

void keep_evidence(book::Book& book, const book::Bake& bake, const std::vector<double>& log_evidence) {
    book::DocumentRepository documents(book);
    static_cast<void>(documents.store(
        {std::string(book::document_kind::evidence), bake.uid, "evidence of " + bake_label(bake), text_of(bake, log_evidence)}));
}

namespace {

/// @param is_heard  which bakes are
std::vector<double> summed_evidence(book::Book& book, const std::function<bool(const book::Bake&)>& is_heard) {
    const book::BakeRepository bakes(book);
    const book::DocumentRepository documents(book);
    std::set<std::string> readings;
    std::vector<double> sum;
    for (const book::DocumentSummary& summary : documents.list(book::document_kind::evidence)) {
        if (readings.size() == kMostLogs) break;
        const std::optional<book::BakeId> id = bakes.find_by_uid(summary.name);
        if (!id) continue;
        const book::Bake bake = bakes.get(*id);
        if (!is_heard(bake)) continue;
        const auto evidence = evidence_in(documents.get(summary.id).text, bake);
        if (!evidence || !readings.insert(reading_of(bake)).second) continue;
        sum.resize(evidence->size(), 0.0);
        for (std::size_t h = 0; h < sum.size(); ++h) sum[h] += (*evidence)[h];
    }
    const auto most = std::max_element(sum.begin(), sum.end());
    const double largest = most == sum.end() ? 0.0 : *most;
    for (double& one : sum) one -= largest;
    return sum;
}

}  // namespace

std::vector<double> earlier_evidence(book::Book& book, const std::vector<std::string>& but) {
    return summed_evidence(
        book, [&](const book::Bake& bake) { return std::find(but.begin(), but.end(), bake_label(bake)) == but.end(); });
}

std::vector<double> evidence_before(book::Book& book, book::BakeId log) {
    // Numbers rise as bakes are stored. The same log under an earlier number is its own evidence all the same.
    const std::string own = reading_of(book::BakeRepository(book).get(log));
    return summed_evidence(book, [&](const book::Bake& bake) { return bake.id < log && reading_of(bake) != own; });
}

}  // namespace bakewright::services
