// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstdint>
#include <random>

#include "bakewright/bake/booth.hpp"
#include "bakewright/bake/cycle.hpp"
#include "bakewright/bake/shell.hpp"

/// Shells, booths and cycles drawn from everything that problems_in() accepts, and from a little beyond its ranges: numbers
/// evenly over their logarithm, words and choices evenly. Fixed by their seed.
namespace bakewright::example {

/// How far numbers are drawn: the whole of what is accepted, or what a shop may have.
enum class Drawn { to_the_limits, plausibly };

struct RandomBake {
    bake::Shell shell;
    bake::Booth booth;
    bake::Cycle cycle;
    double start_temperature_k = 0.0;  ///< of the shell
};

[[nodiscard]] RandomBake random_bake(std::uint64_t seed, Drawn drawn, std::size_t most_zones);

/// Parts of it, for tests that need their own rest.
class RandomRecords {
public:
    RandomRecords(std::uint64_t seed, Drawn drawn) : random_(seed), is_wide_(drawn == Drawn::to_the_limits) {}

    [[nodiscard]] bake::Shell shell(std::size_t most_zones);
    [[nodiscard]] bake::Booth booth();
    [[nodiscard]] bake::Cycle cycle(const bake::Booth& booth, const bake::Shell& shell);
    [[nodiscard]] double between(double low, double high) { return std::uniform_real_distribution<double>(low, high)(random_); }
    /// Evenly over the logarithm; between the plausible ends, or now and then over the whole range.
    [[nodiscard]] double number(double least, double low, double high, double most);
    [[nodiscard]] int up_to(int most) { return std::uniform_int_distribution<int>(0, most)(random_); }
    [[nodiscard]] bool one_in(int count) { return up_to(count - 1) == 0; }
    [[nodiscard]] double temperature_k(double low_c, double high_c) { return between(low_c, high_c) + 273.15; }

private:
    [[nodiscard]] bake::Layer layer(bool may_be_gap);
    [[nodiscard]] bake::Face face(const bake::Shell& shell, bool must_see);
    [[nodiscard]] bake::Zone zone(const bake::Shell& shell, std::size_t index);
    [[nodiscard]] bake::Stage stage(const bake::Booth& booth, double& now_k);

    std::mt19937_64 random_;
    bool is_wide_;
};

}  // namespace bakewright::example
