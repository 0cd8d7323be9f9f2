#include "bakewright/thermal/flow_map.hpp"

#include <algorithm>
#include <tuple>

namespace bakewright::thermal {
namespace {

std::vector<std::pair<std::uint32_t, std::uint32_t>> entries_of(std::span<const FlowEdge> edges) {
    std::vector<std::pair<std::uint32_t, std::uint32_t>> entries;
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
    rows_ = sums_of(size, std::move(rows));
    entries_ = sums_of(pattern_.entry_count(), std::move(entries));
}

FlowMap::Sums FlowMap::sums_of(std::size_t count, std::vector<Term> terms) {
    std::sort(terms.begin(), terms.end(), [](const Term& a, const Term& b) {
        return std::tie(a.sum, a.is_minus, a.place) < std::tie(b.sum, b.is_minus, b.place);
    });
    Sums sums;
    std::size_t t = 0;
    for (std::uint32_t index = 0; index < count; ++index) {
        sums.begin.push_back(static_cast<std::uint32_t>(sums.place.size()));
        for (; t < terms.size() && terms[t].sum == index && !terms[t].is_minus; ++t) sums.place.push_back(terms[t].place);
        sums.minus_begin.push_back(static_cast<std::uint32_t>(sums.place.size()));
        for (; t < terms.size() && terms[t].sum == index; ++t) sums.place.push_back(terms[t].place);
    }
    sums.begin.push_back(static_cast<std::uint32_t>(sums.place.size()));
    return sums;
}

}  // namespace bakewright::thermal
