// SPDX-License-Identifier: Apache-2.0
#include "bakewright/bake/learned.hpp"

#include <fmt/format.h>

#include <Eigen/Cholesky>
#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "bakewright/base/fields.hpp"
#include "learned_rules.hpp"

namespace bakewright::bake {
namespace {

void check_number(FieldCheck& check, const LearnedNumber& number, std::size_t index) {
    const std::string key = fmt::format("learned[{}]", index);
    const bool fits = number.correlation.empty() || number.correlation.size() == index;
    if (!fits)
        check.add(key + ".correlation", fmt::format("has {} numbers; one with each of the {} before it is wanted, or none",
                                                    number.correlation.size(), index));
    if (has_subject(number.kind) == number.subject.empty())
        check.add(key + ".of", number.subject.empty() ? "is missing: say whose this number is"
                                                      : "does not go with this number: there is but one");
}

using Matrix = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;

/// Cholesky's factor of a correlation matrix; nothing where it has none.
std::optional<Matrix> cholesky(const Matrix& matrix) {
    const Eigen::LLT<Matrix> factor(matrix);
    if (factor.info() != Eigen::Success) return std::nullopt;
    return Matrix(factor.matrixL());
}

Matrix correlations_of(const std::vector<LearnedNumber>& numbers) {
    const auto count = static_cast<Eigen::Index>(numbers.size());
    Matrix matrix = Matrix::Identity(count, count);
    for (Eigen::Index row = 0; row < count; ++row) {
        const std::vector<double>& with = numbers[static_cast<std::size_t>(row)].correlation;
        for (Eigen::Index column = 0; column < std::min(row, static_cast<Eigen::Index>(with.size())); ++column)
            matrix(row, column) = matrix(column, row) = with[static_cast<std::size_t>(column)];
    }
    return matrix;
}

bool holds_all_of(const Learned& of_shell, const Learned& of_booth) {
    return std::all_of(of_booth.numbers.begin(), of_booth.numbers.end(), [&](const LearnedNumber& number) {
        const LearnedNumber* same = of_shell.find(number.kind, number.subject);
        return same != nullptr && same->value == number.value && same->standard_error == number.standard_error;
    });
}

}  // namespace

bool has_subject(LearnedKind kind) noexcept { return kind <= LearnedKind::contact; }

bool is_offset(LearnedKind kind) noexcept {
    return kind == LearnedKind::air_offset || kind == LearnedKind::own_air || kind == LearnedKind::surroundings;
}

bool is_of_booth(LearnedKind kind) noexcept {
    return kind == LearnedKind::group_film || kind == LearnedKind::mode_film || kind >= LearnedKind::vertical_profile;
}

std::optional<LearnedKind> learned_kind_of(FactorKind kind) noexcept {
    switch (kind) {
        case FactorKind::film:
            return LearnedKind::zone_film;
        case FactorKind::through:
        case FactorKind::doorway:
            return std::nullopt;
        case FactorKind::own_air:
            return LearnedKind::own_air;
        case FactorKind::surroundings:
            return LearnedKind::surroundings;
        case FactorKind::cavity_film:
            return LearnedKind::cavity_film;
        case FactorKind::thickness:
            return LearnedKind::thickness;
        case FactorKind::link:
            return LearnedKind::link;
        case FactorKind::leakage:
            return LearnedKind::leakage;
        case FactorKind::contact:
            return LearnedKind::contact;
        case FactorKind::emissivity:
            return LearnedKind::emissivity;
        case FactorKind::vertical_profile:
            return LearnedKind::vertical_profile;
        case FactorKind::wall_offset:
            return LearnedKind::wall_offset;
        case FactorKind::wall_loss:
            return LearnedKind::wall_loss;
        case FactorKind::make_up:
            return LearnedKind::make_up;
        case FactorKind::burner_power:
            return LearnedKind::burner_power;
        case FactorKind::mode_film:
            return LearnedKind::mode_film;
        case FactorKind::floor:
            return LearnedKind::floor;
        case FactorKind::wall_capacity:
            return LearnedKind::wall_capacity;
    }
    return std::nullopt;
}

const LearnedNumber* Learned::find(LearnedKind kind, std::string_view subject) const noexcept {
    const auto found = std::find_if(numbers.begin(), numbers.end(), [&](const LearnedNumber& number) {
        return number.kind == kind && number.subject == subject;
    });
    return found == numbers.end() ? nullptr : &*found;
}

double Learned::value(LearnedKind kind, std::string_view subject) const noexcept {
    const LearnedNumber* number = find(kind, subject);
    return number != nullptr ? number->value : is_offset(kind) ? 0.0 : 1.0;
}

void visit_fields(LearnedNumber& number, Fields& see) {
    see({.key = "what",
         .need = Need::required,
         .what = "of a booth: group, fan mode, vertical profile, wall, floor, surroundings, fresh air, burner, air offset; of a "
                 "shell: the "
                 "others, "
                 "and the "
                 "booth's for their correlations"},
        number.kind);
    see({.key = "of",
         .what =
             "whose: film group (`upright`, `facing up`, `facing down` where zones name none), zone, fan mode, cavity, item, or "
             "the two zones of a link",
         .needed = "where there are several"},
        number.subject);
    if (is_offset(number.kind)) {
        see({.key = "offset",
             .unit = unit::k,
             .range = {-50.0, 50.0},
             .need = Need::required,
             .what = "of `air offset`, `air along` a zone and `surroundings`: how much hotter that is than what is set, than the "
                     "booth's air at that height, and than the balances of walls, ceiling and floor say, at the reference rise"},
            number.value);
        see({.key = "standard_error", .unit = unit::k, .range = {0.0, 50.0}, .need = Need::required, .what = "of the offset"},
            number.standard_error);
    } else {
        see({.key = "factor",
             .range = {0.01, 100.0},
             .need = Need::required,
             .what = "times what the profile says; of all others"},
            number.value);
        see({.key = "standard_error",
             .unit = {.name = "of the factor's natural logarithm"},
             .range = {0.0, 3.0},
             .need = Need::required,
             .what = "number"},
            number.standard_error);
    }
    see({.key = "correlation", .range = {-1.0, 1.0}, .what = "with each number before it"}, number.correlation);
}

void visit_fields(Learned& learned, Fields& see) {
    see.list({.key = "learned", .what = "what was learned from logged bakes", .is_section = true}, learned.numbers);
    see.table({.key = "learned_from", .what = "from which bakes, and how well they are met", .is_section = true}, [&] {
        see({.key = "bakes", .what = "the bakes, for people"}, learned.from);
        see({.key = "tuned_from",
             .what =
                 "names of the shells or booths it was tuned from, the nearest first: a tuned shell has the history of the first "
                 "that has one"},
            learned.tuned_from);
        see({.key = "film_spread", .range = {0.0, 3.0}, .what = "standard deviation of zones' log films about their group's"},
            learned.film_spread);
        see({.key = "error_used", .unit = unit::k, .range = {0.0, 1000.0}, .what = "difference on the bakes that were used"},
            learned.error_used_k);
        see({.key = "error_held_out", .unit = unit::k, .range = {0.0, 1000.0}, .what = "difference on what was not"},
            learned.error_held_out_k);
        see({.key = "residual", .unit = unit::k, .range = {0.0, 1000.0}, .what = "difference: what the fit left of a sample"},
            learned.residual_k);
        see({.key = "residual_time", .unit = unit::h, .range = {0.0, 24.0}, .what = "how long that stays alike"},
            learned.residual_time_s);
    });
}

void check_learned(FieldCheck& check, const Learned& learned, bool of_booth) {
    for (std::size_t i = 0; i < learned.numbers.size(); ++i) {
        const LearnedNumber& number = learned.numbers[i];
        check_number(check, number, i);
        const std::string key = fmt::format("learned[{}].what", i);
        if (of_booth && !is_of_booth(number.kind))
            check.add(key, fmt::format("'{}' is learned of a shell, not of a booth", word_of(number.kind)));
        if (learned.find(number.kind, number.subject) != &number)
            check.add(key, fmt::format("'{}' stands twice{}", word_of(number.kind),
                                       number.subject.empty() ? "" : fmt::format(" for '{}'", number.subject)));
    }
}

std::vector<Problem> problems_in(const Learned& learned, bool of_booth) {
    FieldCheck check;
    check.check(learned);
    check_learned(check, learned, of_booth);
    return check.take();
}

LearnedTogether learned_together(const Learned& of_shell, const Learned& of_booth) {
    LearnedTogether together;
    const bool is_joint = holds_all_of(of_shell, of_booth);
    std::vector<std::size_t> kept;  // of the shell's numbers
    for (std::size_t i = 0; i < of_shell.numbers.size(); ++i)
        if (!is_of_booth(of_shell.numbers[i].kind) ||
            (is_joint && of_booth.find(of_shell.numbers[i].kind, of_shell.numbers[i].subject)))
            kept.push_back(i);
    for (const std::size_t i : kept) {
        LearnedNumber number = of_shell.numbers[i];
        std::vector<double> correlation;
        for (const std::size_t before : kept)
            if (before < i) correlation.push_back(number.correlation.empty() ? 0.0 : number.correlation[before]);
        number.correlation = std::move(correlation);
        together.numbers.push_back(std::move(number));
    }
    if (!is_joint) {
        const std::size_t before = together.numbers.size();
        for (LearnedNumber number : of_booth.numbers) {
            if (!number.correlation.empty()) number.correlation.insert(number.correlation.begin(), before, 0.0);
            together.numbers.push_back(std::move(number));
        }
    }
    Matrix matrix = correlations_of(together.numbers);
    std::optional<Matrix> root = cholesky(matrix);
    while (!root) {  // correlations as written are rounded: a hundredth less each time until they go together
        matrix = 0.99 * matrix + 0.01 * Matrix::Identity(matrix.rows(), matrix.cols());
        root = cholesky(matrix);
    }
    for (Eigen::Index i = 0; i < root->rows(); ++i) root->row(i) *= together.numbers[static_cast<std::size_t>(i)].standard_error;
    together.root.assign(root->data(), root->data() + root->size());
    return together;
}

}  // namespace bakewright::bake
