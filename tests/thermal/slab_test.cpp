// SPDX-License-Identifier: Apache-2.0
#include "bakewright/thermal/slab.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <initializer_list>
#include <numbers>
#include <numeric>
#include <vector>

#include "bakewright/base/error.hpp"
#include "reference/plane_wall.hpp"

using namespace bakewright;
using namespace bakewright::thermal;

namespace {

const StackLayer kGrp6{0.006, 0.25, 1800.0 * 1100.0, 0.0};
const StackLayer kGrp2{0.002, 0.25, 1800.0 * 1100.0, 0.0};
const StackLayer kSteel1{0.001, 47.0, 7850.0 * 470.0, 0.0};
const StackLayer kFoam25{0.025, 0.030, 40.0 * 1470.0, 0.0};
const SplitRequest kGentleRamp{.outer_w_per_m2_k = 12.0,
                               .inner_w_per_m2_k = 0.0,
                               .heating_rate_k_per_s = 1.5 / 60.0,
                               .air_rise_k = 45.0,
                               .error_bound_k = 0.1,
                               .most_nodes = 40};

/// Temperatures of a chain of nodes stepped by the implicit midpoint rule (order two, no damping of what is asked), tridiagonal
/// solve.
class Chain {
public:
    using Air = std::function<double(double)>;
    Chain(const SlabSplit& split, double outer, double inner)
        : split_(split), outer_(outer), inner_(inner), state_(split.node_count(), 0.0) {}

    void step(double time_s, double step_s, const Air& outer_air, const Air& inner_air) {
        const std::size_t n = state_.size();
        std::vector<double> low(n, 0.0), middle(n), high(n, 0.0), right(n);
        for (std::size_t i = 0; i < n; ++i) {
            const double before = i > 0 ? split_.conductance_w_per_m2_k[i - 1] : outer_;
            const double after = i + 1 < n ? split_.conductance_w_per_m2_k[i] : inner_;
            const double capacity = split_.heat_capacity_j_per_m2_k[i];
            middle[i] = capacity / (0.5 * step_s) + before + after;
            right[i] = capacity / (0.5 * step_s) * state_[i];
            if (i > 0) low[i] = -before;
            if (i + 1 < n) high[i] = -after;
        }
        right.front() += outer_ * outer_air(time_s + 0.5 * step_s);
        right.back() += inner_ * inner_air(time_s + 0.5 * step_s);
        for (std::size_t i = 1; i < n; ++i) {
            const double factor = low[i] / middle[i - 1];
            middle[i] -= factor * high[i - 1];
            right[i] -= factor * right[i - 1];
        }
        for (std::size_t i = n; i-- > 0;) {
            const double half_way = (right[i] - (i + 1 < n ? high[i] * right[i + 1] : 0.0)) / middle[i];
            right[i] = half_way;
        }
        for (std::size_t i = 0; i < n; ++i) state_[i] = 2.0 * right[i] - state_[i];
    }
    [[nodiscard]] double outer_face() const { return state_.front(); }
    [[nodiscard]] double inner_face() const { return state_.back(); }
    [[nodiscard]] double node(std::size_t index) const { return state_[index]; }

private:
    const SlabSplit& split_;
    double outer_, inner_;
    std::vector<double> state_;
};

struct FaceErrors {
    double outer = 0.0, inner = 0.0;
};

/// Largest distance of a chain from the exact slab through a ramp of both airs and the hold after it, in time.
FaceErrors errors_in_time(const StackLayer& layer, const SlabSplit& split, const SplitRequest& request, double rise_k) {
    const reference::WallSeries exact({layer.thickness_m, layer.conductivity_w_per_m_k, layer.heat_capacity_j_per_m3_k,
                                       request.outer_w_per_m2_k, request.inner_w_per_m2_k},
                                      40);
    const double stop_s = rise_k / request.heating_rate_k_per_s;
    const auto air = [&](double t) { return request.heating_rate_k_per_s * std::min(t, stop_s); };
    Chain chain(split, request.outer_w_per_m2_k, request.inner_w_per_m2_k);
    FaceErrors worst;
    const double step_s = 0.5;
    for (double t = 0.0; t < 2.0 * stop_s; t += step_s) {
        chain.step(t, step_s, air, air);
        const double now = t + step_s;
        if (static_cast<int>(t / step_s) % 20 != 0) continue;
        const auto rise = [&](double depth_m) {
            return exact.ramp_and_hold_rise_k(request.heating_rate_k_per_s, stop_s, depth_m, now);
        };
        worst.outer = std::max(worst.outer, std::abs(chain.outer_face() - rise(0.0)));
        worst.inner = std::max(worst.inner, std::abs(chain.inner_face() - rise(layer.thickness_m)));
    }
    return worst;
}

double sum(const std::vector<double>& values) { return std::accumulate(values.begin(), values.end(), 0.0); }

}  // namespace

TEST_CASE("the Biot number is the handbook's for one heated face and for two alike") {
    const std::vector<StackLayer> stack{kGrp6};
    CHECK(std::abs(stack_biot(stack, 12.0, 0.0) - 12.0 * 0.006 / 0.25) <= 1e-12);
    CHECK(std::abs(stack_biot(stack, 12.0, 12.0) - 12.0 * 0.003 / 0.25) <= 1e-12);
    // Incropera et al., 6th ed., example 5.4: 0.313 for 500 W/m2K, 40 mm, 63.9 W/mK, insulated behind.
    CHECK(std::abs(stack_biot(std::vector<StackLayer>{{0.040, 63.9, 3.4e6, 0.0}}, 500.0, 0.0) - 0.31299) <= 1e-5);
}

TEST_CASE("six millimetres of fiberglass as one lump miss the faces by what the exact slab says, four to six nodes hold 0.1 K") {
    // Source:    eigenfunction series of the slab (tests/reference); 1.5 K/min. Known from a separate calculation with k 0.25 to
    // 0.3:
    //            lumped about 0.6 K off at the face and 2.8 K at the back. Tolerance: the band 0.3 to 0.9 K and 1.8 to 3.3 K.
    SlabSplit lumped;
    lumped.position_m = {0.0};
    lumped.heat_capacity_j_per_m2_k = {0.006 * 1800.0 * 1100.0};
    const FaceErrors off = errors_in_time(kGrp6, lumped, kGentleRamp, 45.0);
    CHECK(off.outer > 0.3);
    CHECK(off.outer < 0.9);
    CHECK(off.inner > 1.8);
    CHECK(off.inner < 3.3);
    for (const std::size_t cells : {3U, 4U, 5U}) {
        const SlabSplit split = split_by_cells(std::vector<StackLayer>{kGrp6}, std::vector<std::size_t>{cells});
        const FaceErrors error = errors_in_time(kGrp6, split, kGentleRamp, 45.0);
        CHECK(split.node_count() == cells + 1);
        CHECK(error.outer < 0.1);
        CHECK(error.inner < 0.1);
    }
}

TEST_CASE("a split keeps its promise against the exact slab in time") {
    for (const double thickness_m : {0.002, 0.004, 0.006, 0.010, 0.020}) {
        for (const double inner : {0.0, 6.0, 12.0}) {
            for (const double rate_k_per_min : {1.5, 3.0}) {
                StackLayer layer = kGrp6;
                layer.thickness_m = thickness_m;
                SplitRequest request = kGentleRamp;
                request.inner_w_per_m2_k = inner;
                request.heating_rate_k_per_s = rate_k_per_min / 60.0;
                const SlabSplit split = split_stack(std::vector<StackLayer>{layer}, request);
                CAPTURE(split.reason);
                REQUIRE(split.bound_reached);
                const FaceErrors error = errors_in_time(layer, split, request, request.air_rise_k);
                CHECK(error.outer <= 0.1);
                CHECK(error.inner <= 0.1);
            }
        }
    }
}

TEST_CASE("the predicted error is the error in time") {
    // The prediction takes the worse of both loads at about thirty moments and any stop of the ramp; in time one load, one stop.
    // So it is not much below and, for this load, not far above: 5 % under to 60 % over.
    const std::vector<StackLayer> stack{kGrp6};
    for (const std::size_t cells : {1U, 2U, 3U, 5U}) {
        const SlabSplit split = split_by_cells(stack, std::vector<std::size_t>{cells});
        const SplitError predicted = predicted_split_error(stack, split, kGentleRamp);
        const FaceErrors seen = errors_in_time(kGrp6, split, kGentleRamp, 45.0);
        CAPTURE(cells);
        CHECK(predicted.outer_k >= 0.95 * seen.outer);
        CHECK(predicted.outer_k <= 1.6 * seen.outer);
        CHECK(predicted.inner_k >= 0.95 * seen.inner);
        CHECK(predicted.inner_k <= 1.6 * seen.inner);
    }
}

TEST_CASE("the face error falls with the square of the number of cells") {
    const std::vector<StackLayer> stack{kGrp6};
    const auto error = [&](std::size_t cells) {
        return predicted_split_error(stack, split_by_cells(stack, std::vector<std::size_t>{cells}), kGentleRamp).outer_k;
    };
    for (const std::size_t cells : {2U, 4U, 8U}) {
        const double order = std::log2(error(cells) / error(2 * cells));
        CHECK(order > 1.9);
        CHECK(order < 2.1);
    }
}

TEST_CASE("thin metal stays one node and says why") {
    for (const double thickness_m : {0.0008, 0.001, 0.003, 0.006}) {
        StackLayer sheet = kSteel1;
        sheet.thickness_m = thickness_m;
        SplitRequest request = kGentleRamp;
        request.heating_rate_k_per_s = 3.0 / 60.0;
        const SlabSplit split = split_stack(std::vector<StackLayer>{sheet}, request);
        CHECK(split.is_lumped());
        CHECK(split.biot < kLumpedBiotLimit);
        CHECK(split.outer_error_k < 0.1);
        CHECK(split.reason.find("kept as one node") != std::string::npos);
    }
}

TEST_CASE("two millimetres of fiberglass pass the Biot rule but not the error bound, and are split") {
    const SlabSplit split = split_stack(std::vector<StackLayer>{kGrp2}, SplitRequest{});
    CHECK(split.biot < 0.1 + 1e-9);
    CHECK(split.lumped_error_k > 0.1);
    CHECK(split.node_count() >= 2);
    CHECK(split.bound_reached);
    CHECK(split.reason.find("would allow one node") != std::string::npos);
}

TEST_CASE("a sandwich has nodes on its layer boundaries, most of them in the foam, and all of its mass") {
    const std::vector<StackLayer> stack{kGrp2, kFoam25, kGrp2};
    const SlabSplit split = split_stack(stack, SplitRequest{.inner_w_per_m2_k = 4.0});
    CAPTURE(split.reason);
    REQUIRE(split.bound_reached);
    CHECK(split.position_m.front() == 0.0);
    CHECK(std::abs(split.position_m.back() - 0.029) <= 1e-12);
    for (const double boundary_m : {0.002, 0.027})
        CHECK(std::any_of(split.position_m.begin(), split.position_m.end(),
                          [&](double p) { return std::abs(p - boundary_m) <= 1e-12; }));
    const auto in_foam =
        std::count_if(split.position_m.begin(), split.position_m.end(), [](double p) { return p > 0.0021 && p < 0.0269; });
    CHECK(in_foam >= 2);
    CHECK(std::abs(sum(split.heat_capacity_j_per_m2_k) - (0.004 * 1800.0 * 1100.0 + 0.025 * 40.0 * 1470.0)) <= 1e-6);
    const double resistance = std::accumulate(split.conductance_w_per_m2_k.begin(), split.conductance_w_per_m2_k.end(), 0.0,
                                              [](double total, double g) { return total + 1.0 / g; });
    CHECK(std::abs(resistance - (0.004 / 0.25 + 0.025 / 0.030)) <= 1e-12);
}

TEST_CASE("steel skins on foam are lumped into the nodes at its faces") {
    const std::vector<StackLayer> stack{kSteel1, kFoam25, kSteel1};
    const SlabSplit split = split_stack(stack, SplitRequest{.inner_w_per_m2_k = 4.0});
    REQUIRE(split.bound_reached);
    CHECK(split.node_count() <= 8);
    CHECK(split.heat_capacity_j_per_m2_k.front() > 0.001 * 7850.0 * 470.0);
    CHECK(split.heat_capacity_j_per_m2_k.back() > 0.001 * 7850.0 * 470.0);
    CHECK(std::abs(sum(split.heat_capacity_j_per_m2_k) - (0.002 * 7850.0 * 470.0 + 0.025 * 40.0 * 1470.0)) <= 1e-6);
    // No stiff link: the fastest node pair must not be the steel's own conduction.
    CHECK(*std::max_element(split.conductance_w_per_m2_k.begin(), split.conductance_w_per_m2_k.end()) < 1000.0);
}

TEST_CASE("a composite split agrees with one of two hundred cells in time") {
    // The exact solution of a composite has no simple series; a fine chain stands for it. Tolerance: the bound of 0.1 K.
    const std::vector<StackLayer> stack{kGrp2, kFoam25, kGrp2};
    const SplitRequest request{.inner_w_per_m2_k = 4.0};
    const SlabSplit split = split_stack(stack, request);
    const SlabSplit fine = split_by_cells(stack, std::vector<std::size_t>{40, 120, 40});
    const double stop_s = request.air_rise_k / request.heating_rate_k_per_s;
    const auto outer_air = [&](double t) { return request.heating_rate_k_per_s * std::min(t, stop_s); };
    for (const bool both : {false, true}) {
        const auto inner_air = [&](double t) { return both ? outer_air(t) : 0.0; };
        Chain coarse(split, request.outer_w_per_m2_k, request.inner_w_per_m2_k);
        Chain exact(fine, request.outer_w_per_m2_k, request.inner_w_per_m2_k);
        double outer = 0.0;
        double inner = 0.0;
        for (double t = 0.0; t < 3.0 * stop_s; t += 1.0) {
            coarse.step(t, 1.0, outer_air, inner_air);
            exact.step(t, 1.0, outer_air, inner_air);
            outer = std::max(outer, std::abs(coarse.outer_face() - exact.outer_face()));
            inner = std::max(inner, std::abs(coarse.inner_face() - exact.inner_face()));
        }
        CHECK(outer <= 0.1);
        CHECK(inner <= 0.1);
    }
}

TEST_CASE("a contact resistance stands between two nodes at one place") {
    StackLayer glued = kSteel1;
    glued.contact_resistance_m2_k_per_w = 0.01;
    const SlabSplit split = split_stack(std::vector<StackLayer>{glued, kSteel1}, SplitRequest{});
    REQUIRE(split.node_count() == 2);
    CHECK(std::abs(split.conductance_w_per_m2_k[0] - 100.0) <= 1e-9);
    CHECK(std::abs(split.heat_capacity_j_per_m2_k[0] - split.heat_capacity_j_per_m2_k[1]) <= 1e-9);
    CHECK(split.position_m[0] <= split.position_m[1]);
}

TEST_CASE("a tighter bound and a faster ramp never take fewer nodes; too few allowed is said") {
    StackLayer board = kGrp6;
    board.thickness_m = 0.02;
    const std::vector<StackLayer> stack{board};
    std::size_t before = 0;
    for (const double bound_k : {1.0, 0.3, 0.1, 0.03}) {
        SplitRequest request;
        request.error_bound_k = bound_k;
        const SlabSplit split = split_stack(stack, request);
        CHECK(split.bound_reached);
        CHECK(std::max(split.outer_error_k, split.inner_error_k) <= bound_k);
        CHECK(split.node_count() >= before);
        before = split.node_count();
    }
    SplitRequest tight;
    tight.error_bound_k = 0.001;
    tight.most_nodes = 4;
    const SlabSplit split = split_stack(stack, tight);
    CHECK_FALSE(split.bound_reached);
    CHECK(split.node_count() == 4);
    CHECK(split.reason.find("more than the 0.001 K asked for") != std::string::npos);
}

TEST_CASE("a bar of forty slices follows the sine at its end") {
    // Source:    NAFEMS P18 test T3: 36.60 degC at 0.08 m after 32 s. Tolerance: 0.1 K, what forty equal slices are to give.
    const SlabSplit slices =
        split_by_cells(std::vector<StackLayer>{{0.1, 35.0, 440.5 * 7200.0, 0.0}}, std::vector<std::size_t>{40});
    // Ends held by a film far stronger than any conductance in the bar: outer end driven, inner end at 0.
    Chain bar(slices, 1e9, 1e9);
    const auto driven = [](double t) { return 100.0 * std::sin(std::numbers::pi * t / 40.0); };
    const auto still = [](double) { return 0.0; };
    for (int i = 0; i < 3200; ++i) bar.step(i * 0.01, 0.01, driven, still);
    CHECK(std::abs(bar.node(8) - 36.60) <= 0.1);  // 0.02 m from the driven end
    CHECK(std::abs(slices.position_m[8] - 0.02) <= 1e-12);
}

TEST_CASE("a stack that cannot be is refused") {
    CHECK_THROWS_AS(static_cast<void>(split_stack(std::vector<StackLayer>{}, SplitRequest{})), PromiseError);
    CHECK_THROWS_AS(static_cast<void>(split_stack(std::vector<StackLayer>{{0.0, 1.0, 1.0, 0.0}}, SplitRequest{})), PromiseError);
    SplitRequest still;
    still.outer_w_per_m2_k = 0.0;
    CHECK_THROWS_AS(static_cast<void>(split_stack(std::vector<StackLayer>{kGrp6}, still)), PromiseError);
}
