// SPDX-License-Identifier: Apache-2.0
#include "rate_layout.hpp"

namespace bakewright::thermal {
namespace {

std::vector<std::pair<std::uint32_t, std::uint32_t>> entries_of(std::span<const FlowEdge> edges) {
    std::vector<std::pair<std::uint32_t, std::uint32_t>> entries;
    entries.reserve(6 * edges.size());
    for (const FlowEdge& edge : edges)
        for (const std::uint32_t row : {edge.from, edge.to, edge.account})
            for (const std::uint32_t column : {edge.first, edge.second})
                if (row != FlowEdge::kNone && column != FlowEdge::kNone) entries.emplace_back(row, column);
    return entries;
}

}  // namespace

FlowMap::FlowMap() = default;
FlowMap::FlowMap(const FlowMap&) = default;
FlowMap::FlowMap(FlowMap&&) noexcept = default;
FlowMap& FlowMap::operator=(const FlowMap&) = default;
FlowMap& FlowMap::operator=(FlowMap&&) noexcept = default;
FlowMap::~FlowMap() = default;

FlowMap::FlowMap(std::size_t size, std::span<const FlowEdge> edges)
    : edge_count_(edges.size()), pattern_(size, entries_of(edges)) {
    std::vector<Term> rows, entries;
    rows.reserve(3 * edges.size());
    entries.reserve(6 * edges.size());
    for (std::uint32_t e = 0; e < edges.size(); ++e) {
        const FlowEdge& edge = edges[e];
        for (const auto& [row, is_minus] :
             {std::pair{edge.from, true}, std::pair{edge.to, false}, std::pair{edge.account, false}}) {
            if (row == FlowEdge::kNone) continue;
            rows.push_back({row, e, is_minus});
            if (edge.first != FlowEdge::kNone) entries.push_back({pattern_.position(row, edge.first), 2 * e, is_minus});
            if (edge.second != FlowEdge::kNone) entries.push_back({pattern_.position(row, edge.second), 2 * e + 1, is_minus});
        }
    }
    rows_ = sums_of(size, rows);
    entries_ = sums_of(pattern_.entry_count(), entries);
}

/// Terms come with rising places, and so they stay within a sum.
FlowMap::Sums FlowMap::sums_of(std::size_t count, const std::vector<Term>& terms) {
    const auto key = [](const Term& term) { return 2 * std::size_t{term.sum} + (term.is_minus ? 1 : 0); };
    std::vector<std::uint32_t> next(2 * count + 1, 0);
    for (const Term& term : terms) ++next[key(term) + 1];
    for (std::size_t i = 0; i < 2 * count; ++i) next[i + 1] += next[i];
    Sums sums;
    sums.begin.resize(count + 1);
    sums.minus_begin.resize(count);
    for (std::size_t index = 0; index < count; ++index) {
        sums.begin[index] = next[2 * index];
        sums.minus_begin[index] = next[2 * index + 1];
    }
    sums.begin[count] = next.back();
    sums.place.resize(terms.size());
    for (const Term& term : terms) sums.place[next[key(term)]++] = term.place;
    return sums;
}

NodeList::NodeList(const Network& network) : nodes_(network.nodes().begin(), network.nodes().end()) {}
NodeList::NodeList(const NodeList&) = default;
NodeList::NodeList(NodeList&&) noexcept = default;
NodeList& NodeList::operator=(const NodeList&) = default;
NodeList& NodeList::operator=(NodeList&&) noexcept = default;
NodeList::~NodeList() = default;

}  // namespace bakewright::thermal
