#include "bakewright/thermal/slab.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

#include "bakewright/base/error.hpp"
#include "slab_response.hpp"

namespace bakewright::thermal {
namespace {

/// A layer whose own Biot number is below this keeps no cell: its resistance moves no temperature by a thousandth of the film's
/// drop.
constexpr double kThinBiot = 1e-3;

using Cells = std::vector<std::size_t>;

double larger_error(const SlabSplit& split) { return std::max(split.outer_error_k, split.inner_error_k); }

void check(std::span<const StackLayer> layers, const SplitRequest& request) {
    const auto positive = [](double value) { return std::isfinite(value) && value > 0.0; };
    ensure(!layers.empty(), "a stack has at least one layer");
    for (const StackLayer& layer : layers) {
        ensure(positive(layer.thickness_m) && positive(layer.conductivity_w_per_m_k) && positive(layer.heat_capacity_j_per_m3_k),
               "a layer's thickness, conductivity and heat capacity are above 0");
        ensure(std::isfinite(layer.contact_resistance_m2_k_per_w) && layer.contact_resistance_m2_k_per_w >= 0.0,
               "a contact resistance is 0 or more");
    }
    ensure(positive(request.outer_w_per_m2_k), "the outer coefficient of a stack is above 0");
    ensure(std::isfinite(request.inner_w_per_m2_k) && request.inner_w_per_m2_k >= 0.0,
           "the inner coefficient of a stack is 0 or more");
    ensure(positive(request.heating_rate_k_per_s) && positive(request.air_rise_k) && positive(request.error_bound_k),
           "heating rate, rise and error bound of a stack are above 0");
    ensure(request.most_nodes >= 2, "a stack may be split into two nodes at least");
}

double crossing_time_s(const StackLayer& layer) {
    return layer.thickness_m * layer.thickness_m * layer.heat_capacity_j_per_m3_k / layer.conductivity_w_per_m_k;
}

bool is_thin(const StackLayer& layer, const SplitRequest& request) {
    const double strongest = std::max(request.outer_w_per_m2_k, request.inner_w_per_m2_k);
    return strongest * layer.thickness_m / layer.conductivity_w_per_m_k < kThinBiot;
}

/// Cells by a level of fineness: in proportion to the root of the time heat takes to cross each layer, `level` in the slowest
/// one.
Cells cells_at_level(std::span<const StackLayer> layers, const SplitRequest& request, std::size_t level) {
    double slowest_s = 0.0;
    for (const StackLayer& layer : layers) slowest_s = std::max(slowest_s, crossing_time_s(layer));
    Cells cells;
    for (const StackLayer& layer : layers) {
        const double share = std::sqrt(crossing_time_s(layer) / slowest_s);
        const double wanted = std::ceil(static_cast<double>(level) * share - 1e-9);
        cells.push_back(is_thin(layer, request) ? 0 : static_cast<std::size_t>(std::max(wanted, 1.0)));
    }
    return cells;
}

std::size_t node_count_of(std::span<const StackLayer> layers, const Cells& cells) {
    std::size_t count = 1;
    for (std::size_t i = 0; i < cells.size(); ++i) {
        count += cells[i];
        if (i + 1 < cells.size() && layers[i].contact_resistance_m2_k_per_w > 0.0) ++count;
    }
    return count;
}

/// Tries sets of cells against one exact stack.
class Search {
public:
    Search(std::span<const StackLayer> layers, const SplitRequest& request)
        : layers_(layers), request_(request), response_(layers, request) {}

    [[nodiscard]] SlabSplit measured(SlabSplit split) const {
        const SplitError error = response_.error_of(split);
        split.outer_error_k = error.outer_k;
        split.inner_error_k = error.inner_k;
        split.bound_reached = larger_error(split) <= request_.error_bound_k;
        return split;
    }

    [[nodiscard]] SlabSplit lumped() const {
        SlabSplit split;
        split.position_m = {0.0};
        split.heat_capacity_j_per_m2_k = {0.0};
        for (const StackLayer& layer : layers_)
            split.heat_capacity_j_per_m2_k[0] += layer.thickness_m * layer.heat_capacity_j_per_m3_k;
        return measured(std::move(split));
    }

    /// The first level within the bound, then fewer cells layer by layer while it holds; the finest allowed where none does.
    [[nodiscard]] SlabSplit fewest() const {
        Cells best = cells_at_level(layers_, request_, 1);
        for (std::size_t level = 1;; ++level) {
            const Cells cells = cells_at_level(layers_, request_, level);
            if (level > 1 && (cells == best || node_count_of(layers_, cells) > request_.most_nodes)) break;
            best = cells;
            if (const auto split = within_bound(cells)) return trimmed(cells, *split);
        }
        return measured(split_by_cells(layers_, best));
    }

private:
    [[nodiscard]] std::optional<SlabSplit> within_bound(const Cells& cells) const {
        SlabSplit split = measured(split_by_cells(layers_, cells));
        if (!split.bound_reached) return std::nullopt;
        return split;
    }
    [[nodiscard]] SlabSplit trimmed(Cells cells, SlabSplit split) const {
        for (std::size_t i = 0; i < cells.size();) {
            Cells fewer = cells;
            if (fewer[i] > 1) --fewer[i];
            const auto shorter = fewer != cells ? within_bound(fewer) : std::nullopt;
            if (!shorter) {
                ++i;
                continue;
            }
            cells = fewer;
            split = *shorter;
        }
        return split;
    }

    std::span<const StackLayer> layers_;
    SplitRequest request_;
    SlabResponse response_;
};

double thickness_mm(std::span<const StackLayer> layers) {
    double sum_m = 0.0;
    for (const StackLayer& layer : layers) sum_m += layer.thickness_m;
    return sum_m * 1e3;
}

std::string reason_for(const SlabSplit& split, std::span<const StackLayer> layers, const SplitRequest& request) {
    const double rate_k_per_min = request.heating_rate_k_per_s * 60.0;
    const std::string stack = fmt::format("{:.1f} mm", thickness_mm(layers));
    if (split.is_lumped())
        return fmt::format(
            "{} kept as one node: Biot number {:.2g} is below {:g}, and at {:.1f} K/min its faces stay within {:.2g} K.", stack,
            split.biot, kLumpedBiotLimit, rate_k_per_min, split.lumped_error_k);
    const std::string why = split.biot >= kLumpedBiotLimit
                                ? fmt::format("Biot number {:.2g} is not below {:g}", split.biot, kLumpedBiotLimit)
                                : fmt::format("Biot number {:.2g} would allow one node, the error would not", split.biot);
    return fmt::format("{} split into {} nodes: {}; at {:.1f} K/min one node would miss a face by {:.2g} K, these by {:.2g} K{}.",
                       stack, split.node_count(), why, rate_k_per_min, split.lumped_error_k, larger_error(split),
                       split.bound_reached ? "" : fmt::format(", more than the {:.2g} K asked for", request.error_bound_k));
}

}  // namespace

double stack_biot(std::span<const StackLayer> layers, double outer_w_per_m2_k, double inner_w_per_m2_k) {
    double resistance = 0.0;
    for (std::size_t i = 0; i < layers.size(); ++i) {
        resistance += layers[i].thickness_m / layers[i].conductivity_w_per_m_k;
        if (i + 1 < layers.size()) resistance += layers[i].contact_resistance_m2_k_per_w;
    }
    const double strongest = std::max(outer_w_per_m2_k, inner_w_per_m2_k);
    return strongest * strongest * resistance / (outer_w_per_m2_k + inner_w_per_m2_k);
}

SlabSplit split_by_cells(std::span<const StackLayer> layers, std::span<const std::size_t> cells) {
    ensure(layers.size() == cells.size(), "one number of cells a layer");
    SlabSplit split;
    double depth_m = 0.0;
    const auto add_node = [&](double capacity) {
        split.position_m.push_back(depth_m);
        split.heat_capacity_j_per_m2_k.push_back(capacity);
    };
    add_node(0.0);
    for (std::size_t i = 0; i < layers.size(); ++i) {
        const StackLayer& layer = layers[i];
        const double capacity = layer.thickness_m * layer.heat_capacity_j_per_m3_k;
        if (cells[i] == 0) split.heat_capacity_j_per_m2_k.back() += capacity;
        const double count = static_cast<double>(std::max<std::size_t>(cells[i], 1));
        const double top_m = depth_m;
        for (std::size_t cell = 0; cell < cells[i]; ++cell) {
            depth_m = top_m + layer.thickness_m * static_cast<double>(cell + 1) / count;
            split.heat_capacity_j_per_m2_k.back() += 0.5 * capacity / count;
            split.conductance_w_per_m2_k.push_back(layer.conductivity_w_per_m_k * count / layer.thickness_m);
            add_node(0.5 * capacity / count);
        }
        depth_m = top_m + layer.thickness_m;
        if (i + 1 == layers.size() || layer.contact_resistance_m2_k_per_w == 0.0) continue;
        split.conductance_w_per_m2_k.push_back(1.0 / layer.contact_resistance_m2_k_per_w);
        add_node(0.0);
    }
    return split;
}

SplitError predicted_split_error(std::span<const StackLayer> layers, const SlabSplit& split, const SplitRequest& request) {
    check(layers, request);
    return SlabResponse(layers, request).error_of(split);
}

SlabSplit split_stack(std::span<const StackLayer> layers, const SplitRequest& request) {
    check(layers, request);
    const Search search(layers, request);
    const double biot = stack_biot(layers, request.outer_w_per_m2_k, request.inner_w_per_m2_k);
    SlabSplit split = search.lumped();
    const double lumped_error_k = larger_error(split);
    if (biot >= kLumpedBiotLimit || !split.bound_reached) split = search.fewest();
    split.biot = biot;
    split.lumped_error_k = lumped_error_k;
    split.reason = reason_for(split, layers, request);
    return split;
}

}  // namespace bakewright::thermal
