#include "bakewright/bake/learned.hpp"

#include <Eigen/Cholesky>
#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "range_check.hpp"

namespace bakewright::bake {
namespace {

struct KindRow {
    LearnedKind kind;
    std::string_view name;
    bool has_subject, is_of_booth;
};

constexpr std::array<KindRow, 15> kKinds{{{LearnedKind::group_film, "film of group", true, true},
                                          {LearnedKind::zone_film, "film of zone", true, false},
                                          {LearnedKind::mode_film, "film in fan mode", true, true},
                                          {LearnedKind::cavity_film, "film in cavity", true, false},
                                          {LearnedKind::thickness, "heat capacity", true, false},
                                          {LearnedKind::link, "link", true, false},
                                          {LearnedKind::leakage, "leakage", true, false},
                                          {LearnedKind::contact, "contact", true, false},
                                          {LearnedKind::emissivity, "emissivity", false, false},
                                          {LearnedKind::vertical_profile, "vertical profile", false, true},
                                          {LearnedKind::wall_offset, "wall offset", false, true},
                                          {LearnedKind::wall_loss, "wall loss", false, true},
                                          {LearnedKind::make_up, "fresh air", false, true},
                                          {LearnedKind::burner_power, "burner power", false, true},
                                          {LearnedKind::air_offset, "air offset", false, true}}};

const KindRow& row_of(LearnedKind kind) noexcept { return kKinds[static_cast<std::size_t>(kind)]; }

void check_number(RangeCheck& check, const LearnedNumber& number, std::size_t index) {
    const std::string key = fmt::format("learned[{}]", index);
    if (number.kind == LearnedKind::air_offset) {
        check.within(key + ".offset", number.value, -50.0, 50.0, kKelvin);
        check.within(key + ".standard_error", number.standard_error, 0.0, 50.0, kKelvin);
    } else {
        check.within(key + ".factor", number.value, 0.01, 100.0, kPlain);
        check.within(key + ".standard_error", number.standard_error, 0.0, 3.0, {"of the factor's natural logarithm"});
    }
    const bool fits = number.correlation.empty() || number.correlation.size() == index;
    if (!fits)
        check.add(key + ".correlation", fmt::format("has {} numbers; one with each of the {} before it is wanted, or none",
                                                    number.correlation.size(), index));
    for (const double correlation : number.correlation) check.within(key + ".correlation", correlation, -1.0, 1.0, kPlain);
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

std::string_view learned_kind_name(LearnedKind kind) noexcept { return row_of(kind).name; }

std::optional<LearnedKind> learned_kind_from_name(std::string_view name) noexcept {
    const auto found = std::find_if(kKinds.begin(), kKinds.end(), [&](const KindRow& row) { return row.name == name; });
    return found == kKinds.end() ? std::nullopt : std::optional(found->kind);
}

bool has_subject(LearnedKind kind) noexcept { return row_of(kind).has_subject; }
bool is_of_booth(LearnedKind kind) noexcept { return row_of(kind).is_of_booth; }

std::optional<LearnedKind> learned_kind_of(FactorKind kind) noexcept {
    switch (kind) {
        case FactorKind::film:
            return LearnedKind::zone_film;
        case FactorKind::through:
            return std::nullopt;
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
    return number != nullptr ? number->value : kind == LearnedKind::air_offset ? 0.0 : 1.0;
}

std::vector<Problem> problems_in(const Learned& learned, bool of_booth) {
    RangeCheck check;
    for (std::size_t i = 0; i < learned.numbers.size(); ++i) {
        const LearnedNumber& number = learned.numbers[i];
        check_number(check, number, i);
        const std::string key = fmt::format("learned[{}].what", i);
        if (of_booth && !is_of_booth(number.kind))
            check.add(key, fmt::format("'{}' is learned of a shell, not of a booth", learned_kind_name(number.kind)));
        if (learned.find(number.kind, number.subject) != &number)
            check.add(key, fmt::format("'{}' stands twice{}", learned_kind_name(number.kind),
                                       number.subject.empty() ? "" : fmt::format(" for '{}'", number.subject)));
    }
    if (learned.film_spread) check.within("learned_from.film_spread", *learned.film_spread, 0.0, 3.0, kPlain);
    for (const auto& [key, error_k] : {std::pair{"learned_from.error_used", learned.error_used_k},
                                       std::pair{"learned_from.error_held_out", learned.error_held_out_k},
                                       std::pair{"learned_from.residual", learned.residual_k}})
        if (error_k) check.within(key, *error_k, 0.0, 1000.0, kKelvin);
    if (learned.residual_time_s) check.within("learned_from.residual_time", *learned.residual_time_s, 0.0, 24.0, kHour);
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
