// SPDX-License-Identifier: Apache-2.0
#include "bakewright/bake/learned.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "bakewright/bake/predict.hpp"
#include "example_records.hpp"

using namespace bakewright;
using bake::LearnedKind;

namespace {

bake::Shell two_squares() {
    bake::Shell shell;
    shell.zones = {example::square("thin", example::steel(), 0.001, 1.5), example::square("thick", example::steel(), 0.006, 0.5)};
    shell.links = {{"thin", "thick", 2.0}};
    return shell;
}

/// Largest difference of a zone between two predictions.
double apart_k(const bake::Prediction& a, const bake::Prediction& b, const std::string& zone) {
    const Trace& first = *a.traces.find(zone);
    const Trace& second = *b.traces.find(zone);
    double largest = 0.0;
    for (std::size_t i = 0; i < first.size(); ++i)
        largest = std::max(largest, std::abs(first.temperature_k[i] - second.temperature_k[i]));
    return largest;
}

}  // namespace

TEST_CASE("a learned number stands for the record with that number written in") {
    // Closed: the same network, so the same temperatures but for the last digits of the steps: 0.002 K.
    const bake::Cycle cycle = example::hour_at_65();
    bake::Shell learned = two_squares(), written = two_squares();
    bake::Booth booth = example::layered_booth(), written_booth = example::layered_booth();
    learned.learned.numbers = {{LearnedKind::link, "thin thick", 1.5, 0.1, {}},
                               {LearnedKind::thickness, "thick", 1.2, 0.1, {}},
                               {LearnedKind::zone_film, "thin", 0.8, 0.1, {}}};
    booth.learned.numbers = {{LearnedKind::group_film, "upright", 1.25, 0.1, {}}, {LearnedKind::wall_offset, {}, 1.0, 0.1, {}}};
    written.links[0].conductance_w_per_k *= 1.5;
    written.zones[1].layers[0].material.density_kg_per_m3 *= 1.2;
    written_booth.film_w_per_m2_k = bake::Spread{6.25, 6.25, 6.25};
    written.zones[0].outer.film_w_per_m2_k = 5.0;
    const bake::Prediction is = bake::predict(learned, booth, cycle), should = bake::predict(written, written_booth, cycle);
    CHECK(apart_k(is, should, "thin") <= 0.002);
    CHECK(apart_k(is, should, "thick") <= 0.002);
    CHECK(apart_k(is, bake::predict(two_squares(), example::layered_booth(), cycle), "thin") > 0.5);
    CHECK(std::abs(is.summary.heat.closure_j) <= 1e-3 * is.summary.heat.stored_j + 1e3);
}

TEST_CASE("a learned offset of the air is the air's, with an ideal controller and with one that is solved for") {
    bake::Booth booth = example::layered_booth();
    booth.learned.numbers = {{LearnedKind::air_offset, {}, -3.0, 0.5, {}}};
    for (const auto kind : {bake::Controller::Kind::ideal, bake::Controller::Kind::proportional_integral}) {
        booth.controller.kind = kind;
        const bake::Prediction made = bake::predict(two_squares(), booth, example::hour_at_65());
        // Set point 65 degC at minute 55: 62 degC, within what a controller's plateau wavers.
        CHECK(std::abs(temperature_at_k(*made.traces.find("booth air"), 3300.0) - celsius_to_kelvin(62.0)) <= 0.3);
    }
}

TEST_CASE("hotter air along a zone and hotter walls warm it by no more than that, where and while the air has risen") {
    // A zone settles between its air and the walls, so that kelvins of either warm it by a part of them; without a rise, by none.
    const bake::Cycle cycle = example::hour_at_65();
    const bake::Prediction plain = bake::predict(two_squares(), example::layered_booth(), cycle);
    bake::Shell shell = two_squares();
    shell.learned.numbers = {{LearnedKind::own_air, "thin", 2.0, 0.5, {}}};
    bake::Booth booth = example::layered_booth();
    booth.learned.numbers = {{LearnedKind::surroundings, {}, 2.0, 0.5, {}}};
    const auto warmer_k = [&](const bake::Prediction& made, const char* zone, double time_s) {
        return temperature_at_k(*made.traces.find(zone), time_s) - temperature_at_k(*plain.traces.find(zone), time_s);
    };
    for (const bake::Prediction& made :
         {bake::predict(shell, example::layered_booth(), cycle), bake::predict(two_squares(), booth, cycle)}) {
        CHECK(std::abs(warmer_k(made, "thin", 1.0)) <= 0.01);
        CHECK(warmer_k(made, "thin", 3300.0) > 0.3);
        CHECK(warmer_k(made, "thin", 3300.0) < 2.5);  // in full at the reference rise, somewhat more at 65 degC
    }
    const bake::Prediction along = bake::predict(shell, example::layered_booth(), cycle);
    CHECK(std::abs(warmer_k(along, "thick", 3300.0)) < 0.3 * warmer_k(along, "thin", 3300.0));  // by their link alone
}

TEST_CASE("numbers learned together are drawn together, as far as the records still belong to each other") {
    bake::Learned booth, shell;
    booth.numbers = {{LearnedKind::group_film, "upright", 1.2, 0.2, {}}};
    shell.numbers = {{LearnedKind::group_film, "upright", 1.2, 0.2, {}}, {LearnedKind::zone_film, "door", 0.9, 0.1, {-0.6}}};
    const bake::LearnedTogether joint = bake::learned_together(shell, booth);
    REQUIRE(joint.numbers.size() == 2);
    // L L^T: variances 0.04 and 0.01, covariance -0.6 * 0.2 * 0.1.
    CHECK(std::abs(joint.root[0] - 0.2) <= 1e-12);
    CHECK(std::abs(joint.root[2] * joint.root[0] + 0.012) <= 1e-12);
    CHECK(std::abs(joint.root[2] * joint.root[2] + joint.root[3] * joint.root[3] - 0.01) <= 1e-12);
    booth.numbers[0].value = 1.4;  // another booth, or the same one tuned anew
    const bake::LearnedTogether apart = bake::learned_together(shell, booth);
    REQUIRE(apart.numbers.size() == 2);
    CHECK(apart.numbers[0].subject == "door");
    CHECK(apart.numbers[1].value == 1.4);
    CHECK(apart.root[2] == 0.0);
}

TEST_CASE("correlations that cannot be are shrunk until they can") {
    bake::Learned shell;
    shell.numbers = {{LearnedKind::link, "a b", 1.0, 0.1, {}},
                     {LearnedKind::link, "b c", 1.0, 0.1, {0.99}},
                     {LearnedKind::link, "c d", 1.0, 0.1, {0.99, -0.99}}};
    const bake::LearnedTogether drawn = bake::learned_together(shell, {});
    for (const double entry : drawn.root) CHECK(std::isfinite(entry));
    for (std::size_t row = 0; row < 3; ++row) {
        double variance = 0.0;
        for (std::size_t column = 0; column <= row; ++column)
            variance += drawn.root[3 * row + column] * drawn.root[3 * row + column];
        CHECK(std::abs(variance - 0.01) <= 1e-12);
    }
}

TEST_CASE("what is wrong with a learned number is told with its key") {
    bake::Learned learned;
    learned.numbers = {{LearnedKind::group_film, {}, 1.0, 0.1, {}},
                       {LearnedKind::wall_loss, "north", 200.0, 0.1, {}},
                       {LearnedKind::link, "a b", 1.0, -0.1, {0.5}}};
    const std::vector<Problem> found = bake::problems_in(learned, true);
    const auto tells = [&](const char* key) {
        return std::any_of(found.begin(), found.end(), [&](const Problem& problem) { return problem.key == key; });
    };
    CHECK(tells("learned[0].of"));
    CHECK(tells("learned[1].of"));
    CHECK(tells("learned[1].factor"));
    CHECK(tells("learned[2].standard_error"));
    CHECK(tells("learned[2].correlation"));
    CHECK(tells("learned[2].what"));  // a link is no booth's
    learned.numbers = {{LearnedKind::group_film, "upright", 1.0, 0.1, {}}, {LearnedKind::group_film, "upright", 1.1, 0.1, {}}};
    CHECK(bake::problems_in(learned, true).size() == 1);
}
