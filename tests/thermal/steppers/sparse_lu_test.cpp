// SPDX-License-Identifier: Apache-2.0
#include "steppers/sparse_lu.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <random>

#include "bakewright/base/error.hpp"
#include "thermal/steppers/test_systems.hpp"

namespace bakewright::thermal {
namespace {

using Entries = std::vector<std::pair<std::uint32_t, std::uint32_t>>;

/// A tree of bodies, a few cross links, and one body (the booth's air) that touches all. Invented.
SparsityPattern random_network(std::uint32_t size, std::mt19937& random) {
    Entries entries;
    for (std::uint32_t i = 1; i < size; ++i) {
        entries.emplace_back(i, static_cast<std::uint32_t>(random() % i));
        entries.emplace_back(i, 0);
        if (random() % 3 == 0) entries.emplace_back(i, static_cast<std::uint32_t>(random() % size));
    }
    return {size, entries};
}

/// Rates >= 0 off the diagonal; rows that sum to less than zero.
std::vector<double> random_jacobian(const SparsityPattern& pattern, std::mt19937& random) {
    std::uniform_real_distribution<double> exponent(-4.0, 1.0);
    std::vector<double> values(pattern.entry_count());
    for (std::size_t i = 0; i < pattern.size(); ++i) {
        double sum = 0.0;
        for (std::uint32_t p = pattern.row_begin()[i]; p < pattern.row_begin()[i + 1]; ++p)
            if (pattern.columns()[p] != i) sum += values[p] = std::pow(10.0, exponent(random));
        values[pattern.position(i, i)] = -1.01 * sum;
    }
    return values;
}

/// Largest of |(shift I - J) x - b| over the row's own size.
double residual(const SparsityPattern& pattern, std::span<const double> jacobian, double shift, std::span<const double> x,
                std::span<const double> b) {
    double largest = 0.0;
    for (std::size_t i = 0; i < pattern.size(); ++i) {
        double sum = shift * x[i] - b[i], size = std::abs(b[i]) + std::abs(shift * x[i]);
        for (std::uint32_t p = pattern.row_begin()[i]; p < pattern.row_begin()[i + 1]; ++p) {
            sum -= jacobian[p] * x[pattern.columns()[p]];
            size += std::abs(jacobian[p] * x[pattern.columns()[p]]);
        }
        largest = std::max(largest, std::abs(sum) / size);
    }
    return largest;
}

}  // namespace

TEST_CASE("a sparsity pattern holds the mirror image and the diagonal of what it is given, once each and in order") {
    const Entries entries{{2, 0}, {2, 0}, {0, 1}};
    const SparsityPattern pattern(3, entries);
    CHECK(std::vector<std::uint32_t>(pattern.row_begin().begin(), pattern.row_begin().end()) ==
          std::vector<std::uint32_t>{0, 3, 5, 7});
    CHECK(std::vector<std::uint32_t>(pattern.columns().begin(), pattern.columns().end()) ==
          std::vector<std::uint32_t>{0, 1, 2, 0, 1, 0, 2});
    CHECK(pattern.position(2, 0) == 5);
    CHECK_THROWS_AS(static_cast<void>(pattern.position(1, 2)), PromiseError);
    CHECK_THROWS_AS(SparsityPattern(2, entries), PromiseError);
}

TEST_CASE("solutions of random networks satisfy their equations to rounding") {
    // Tolerance: 1e-13. Rounding of a stable elimination is at worst a few times size * 1.1e-16. Seen: 2e-15.
    std::mt19937 random(1);
    for (const std::uint32_t size : {1U, 2U, 3U, 10U, 34U, 306U}) {
        for (int repeat = 0; repeat < 20; ++repeat) {
            const SparsityPattern pattern = random_network(size, random);
            const std::vector<double> jacobian = random_jacobian(pattern, random);
            std::vector<double> b(size), x(size);
            for (double& value : b) value = static_cast<double>(random() % 1000) - 500.0;
            SparseLu<double> lu;
            lu.analyse(pattern);
            for (const double shift : {1e-6, 1e-2, 1e2}) {
                lu.factorise(shift, jacobian);
                lu.solve(b, x);
                CAPTURE(size);
                CAPTURE(shift);
                CHECK(residual(pattern, jacobian, shift, x, b) <= 1e-13);
            }
        }
    }
}

TEST_CASE("a solution may take the place of its right-hand side") {
    std::mt19937 random(2);
    const SparsityPattern pattern = random_network(20, random);
    const std::vector<double> jacobian = random_jacobian(pattern, random);
    std::vector<double> b(20, 1.0), x(20);
    SparseLu<double> lu;
    lu.analyse(pattern);
    lu.factorise(0.1, jacobian);
    lu.solve(b, x);
    lu.solve(b, b);
    CHECK(b == x);
}

TEST_CASE("the booth's air, which touches everything, is eliminated near the end and fills nothing in") {
    Entries star;
    for (std::uint32_t i = 1; i < 200; ++i) star.emplace_back(0, i);
    const SparseLuProgram program(SparsityPattern(200, star));
    CHECK(program.place_count() == 200 + 2 * 199);
    CHECK(program.operation_count() == 199);
}

TEST_CASE("each lane of a pack is solved like a matrix of its own, to the last bit where nothing is fused") {
    // Tolerance: 1e-14 of the value, in case the compiler fuses multiplication and addition in one of the two and not the other.
    std::mt19937 random(3);
    const SparsityPattern pattern = random_network(40, random);
    using Pack = Lanes<double, 4>;
    std::vector<Pack> jacobian(pattern.entry_count()), b(40), x(40);
    std::vector<std::vector<double>> single;
    for (std::size_t l = 0; l < 4; ++l) {
        single.push_back(random_jacobian(pattern, random));
        for (std::size_t e = 0; e < jacobian.size(); ++e) jacobian[e].set(l, single[l][e]);
        for (std::size_t i = 0; i < 40; ++i) b[i].set(l, static_cast<double>(i + l));
    }
    SparseLu<Pack> lu;
    lu.analyse(pattern);
    lu.factorise(0.05, jacobian);
    lu.solve(b, x);
    for (std::size_t l = 0; l < 4; ++l) {
        SparseLu<double> one;
        one.analyse(pattern);
        one.factorise(0.05, single[l]);
        std::vector<double> b1(40), x1(40);
        for (std::size_t i = 0; i < 40; ++i) b1[i] = b[i][l];
        one.solve(b1, x1);
        for (std::size_t i = 0; i < 40; ++i) CHECK(std::abs(x[i][l] - x1[i]) <= 1e-14 * std::abs(x1[i]));
    }
}

TEST_CASE("a singular matrix gives a solution that is not finite, so that the step is rejected") {
    const SparsityPattern pattern = test::dense_pattern(2);
    SparseLu<double> lu;
    lu.analyse(pattern);
    lu.factorise(1.0, std::vector<double>{0.0, 1.0, 1.0, 0.0});
    std::vector<double> x(2);
    lu.solve(std::vector<double>{1.0, 2.0}, x);
    CHECK_FALSE(std::isfinite(x[0] + x[1]));
}

}  // namespace bakewright::thermal
