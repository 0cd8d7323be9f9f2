// SPDX-License-Identifier: Apache-2.0
#include "bakewright/cure/rule.hpp"

#include <algorithm>
#include <array>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <limits>

#include "bakewright/base/error.hpp"
#include "bakewright/cure/dose.hpp"
#include "bakewright/cure/required_time.hpp"

namespace bakewright::cure {
namespace {

constexpr double kInfinity = std::numeric_limits<double>::infinity();
/// A stay this little short is long enough: crossings round.
constexpr double kStayRoundingS = 1e-6;
/// What a kelvin counts for beside seconds.
constexpr double kSecondsPerKelvin = 60.0;
constexpr double kSlackErrorK = 0.01;
/// Below it the middle of a line stands for the line: its curvature is worth less than 1e-10.
constexpr double kShortLineK = 1e-3;
/// Gauss's rule with three points is within 1e-12 of itself over so much of an Arrhenius curve at any bake.
constexpr double kGaussReachK = 1.0;

/// Points and weights on -1 to 1. Source: Abramowitz & Stegun (1964), table 25.4 (from memory).
constexpr std::array<std::array<double, 2>, 3> kGauss{
    {{-0.7745966692414834, 5.0 / 18.0}, {0.0, 8.0 / 18.0}, {0.7745966692414834, 5.0 / 18.0}}};

}  // namespace

double CureWindow::Piece::rate_per_s(double temperature_k) const noexcept { return std::exp(log_rate - slope_k / temperature_k); }

double CureWindow::Piece::mean_rate_per_s(double low_k, double high_k) const noexcept {
    if (slope_k == 0.0) return std::exp(log_rate);
    if (high_k - low_k < kShortLineK) return rate_per_s(0.5 * (low_k + high_k));
    const auto parts = static_cast<int>(std::ceil((high_k - low_k) / kGaussReachK));
    const double half_k = 0.5 * (high_k - low_k) / parts;
    double sum = 0.0;
    for (int part = 0; part < parts; ++part)
        for (const auto& [at, weight] : kGauss) sum += weight * rate_per_s(low_k + half_k * (2 * part + 1 + at));
    return sum / parts;
}

CureWindow::CureWindow(const Coating& coating) : rows_(coating.schedule), hottest_k_(kInfinity) {
    ensure(!rows_.empty(), "a coating that is judged by has a schedule");
    reference_ = static_cast<std::size_t>(&reference_row(coating) - coating.schedule.data());
    const ScheduleRow& coolest = rows_[reference_];
    reaches_below_ = coating.cured_below_the_sheet_from_k && *coating.cured_below_the_sheet_from_k < coolest.temperature_k;
    if (reaches_below_) {
        const double slope_k = choose_activation_energy(coating).energy.high_j_per_mol / kGasConstant;
        pieces_.push_back({*coating.cured_below_the_sheet_from_k, coolest.temperature_k,
                           slope_k / coolest.temperature_k - std::log(coolest.minimum_s), slope_k});
    }
    for (std::size_t i = reference_; i + 1 < rows_.size(); ++i) add_between(rows_[i], rows_[i + 1]);
    const ScheduleRow& last = rows_.back();
    if (coating.beyond_last_row == BeyondLastRow::counts_as_nothing) hottest_k_ = last.temperature_k + kTemperatureRoundingK;
    pieces_.push_back({last.temperature_k, hottest_k_, -std::log(last.minimum_s), 0.0});
}

void CureWindow::add_between(const ScheduleRow& row, const ScheduleRow& next) {
    double slope_k = 0.0;
    if (next.temperature_k - row.temperature_k <= kWidestRowGapK + kTemperatureRoundingK)
        slope_k = std::log(row.minimum_s / next.minimum_s) / (1.0 / row.temperature_k - 1.0 / next.temperature_k);
    pieces_.push_back({row.temperature_k, next.temperature_k, slope_k / row.temperature_k - std::log(row.minimum_s), slope_k});
}

double CureWindow::required_s(double temperature_k) const noexcept {
    for (const Piece& piece : pieces_)
        if (temperature_k >= piece.from_k - kTemperatureRoundingK && temperature_k < piece.until_k)
            return 1.0 / piece.rate_per_s(temperature_k);
    return kInfinity;
}

double CureWindow::credit(double from_k, double until_k, double duration_s) const noexcept {
    const double low_k = std::min(from_k, until_k), high_k = std::max(from_k, until_k);
    const double span_k = high_k - low_k;
    double sum = 0.0;
    for (const Piece& piece : pieces_) {
        // What rounds under the coolest row is at it.
        const double begin_rounded_k = &piece == &pieces_.front() ? piece.from_k - kTemperatureRoundingK : piece.from_k;
        const double begin_k = std::max(low_k, begin_rounded_k), end_k = std::min(high_k, piece.until_k);
        if (end_k < begin_k || (end_k == begin_k && (span_k > 0.0 || end_k == piece.until_k))) continue;
        const double share = span_k > 0.0 ? (end_k - begin_k) / span_k : 1.0;
        sum += share * piece.mean_rate_per_s(begin_k, end_k);
    }
    return sum * duration_s;
}

namespace {

/// Time at or above a row, as far as the window lets it count.
LongestStay stay_at_row(const StayTrace& trace, const CureWindow& window, const ScheduleRow& row, double offset_k) {
    const double target_s = std::max(row.minimum_s - kStayRoundingS, 1e-9);
    if (std::isinf(window.hottest_k())) return longest_stay(trace, row.temperature_k, target_s, offset_k);
    const auto earning = [&](double from_k, double until_k, double duration_s) {
        const double low_k = std::min(from_k, until_k), high_k = std::max(from_k, until_k);
        if (high_k <= window.hottest_k()) return duration_s;
        return low_k >= window.hottest_k() ? 0.0 : duration_s * (window.hottest_k() - low_k) / (high_k - low_k);
    };
    return longest_stay(trace, row.temperature_k, earning, target_s, offset_k);
}

double hottest_in(const StayTrace& trace, const LongestStay& stay, double offset_k) {
    const auto time_s = trace.time_s();
    const auto from = std::lower_bound(time_s.begin(), time_s.end(), stay.from_s) - time_s.begin();
    const auto until = std::upper_bound(time_s.begin(), time_s.end(), stay.until_s) - time_s.begin();
    if (from >= until) return 0.0;
    return *std::max_element(trace.temperature_k().begin() + from, trace.temperature_k().begin() + until) + offset_k;
}

double hottest_k(const StayTrace& trace, double offset_k) {
    if (trace.temperature_k().empty()) return -kInfinity;
    return *std::max_element(trace.temperature_k().begin(), trace.temperature_k().end()) + offset_k;
}

void take_earlier(std::optional<double>& moment_s, std::optional<double> other_s) {
    if (other_s && (!moment_s || *other_s < *moment_s)) moment_s = other_s;
}

/// How far the window and each row are from being met: see WindowReading::slack_s.
class SlackReader {
public:
    SlackReader(const StayTrace& trace, const CureWindow& window, double offset_k)
        : trace_(trace), window_(window), offset_k_(offset_k), hottest_k_(hottest_k(trace, offset_k)) {}

    WindowReading read() {
        const auto earning = [&](double from_k, double until_k, double duration_s) {
            return window_.credit(from_k, until_k, duration_s);
        };
        reading_.stay = longest_stay(trace_, window_.coolest_k(), earning, 1.0, offset_k_);
        reading_.credit = reading_.stay.earned;
        reading_.reached_s = reading_.stay.reached_s;
        const double reference_s = window_.reference().minimum_s;
        const bool is_enough = reading_.credit >= 1.0 - kDoseRounding;
        reading_.slack_s = short_by_s(window_.coolest_k()) +
                           reference_s * (is_enough ? std::max(reading_.credit - 1.0, 0.0) : reading_.credit - 1.0);
        // A row of the window is met no sooner than its credit is earned; those below the floor stand by themselves.
        for (const ScheduleRow& row : window_.rows_below_floor()) take_row(row);
        put_missing();
        return reading_;
    }

private:
    [[nodiscard]] double short_by_s(double level_k) const {
        const double short_k = level_k - kTemperatureRoundingK - hottest_k_;
        return short_k > 0.0 ? -short_k * kSecondsPerKelvin : 0.0;
    }
    void take_row(const ScheduleRow& row) {
        const LongestStay stay = stay_at_row(trace_, window_, row, offset_k_);
        const double over_s = stay.earned - row.minimum_s;
        reading_.slack_s = std::max(reading_.slack_s,
                                    short_by_s(row.temperature_k) + (over_s >= -kStayRoundingS ? std::max(over_s, 0.0) : over_s));
        take_earlier(reading_.reached_s, stay.reached_s);
    }
    void put_missing() {
        if (reading_.is_cured()) return;
        reading_.missing_s = kInfinity;
        if (reading_.stay.until_s > reading_.stay.from_s)
            reading_.missing_s = (1.0 - reading_.credit) * window_.required_s(hottest_in(trace_, reading_.stay, offset_k_));
    }

    const StayTrace& trace_;
    const CureWindow& window_;
    double offset_k_, hottest_k_;
    WindowReading reading_;
};

}  // namespace

WindowReading read_window(const StayTrace& trace, const CureWindow& window, double offset_k) {
    return SlackReader(trace, window, offset_k).read();
}

std::vector<RowReading> read_rows(const JoinedTrace& trace, const StayTrace& stays, const CureWindow& window) {
    std::vector<RowReading> rows;
    for (const ScheduleRow& row : window.rows()) {
        const double longest_s = stay_at_row(stays, window, row, 0.0).earned;
        const double missing_s = row.minimum_s - longest_s;
        rows.push_back(
            {row, longest_s, stay_at_or_above(trace, row.temperature_k).total_s, missing_s > kStayRoundingS ? missing_s : 0.0});
    }
    return rows;
}

double slack_k(const std::function<double(double)>& spare, double widest_k) {
    const double here = spare(0.0);
    double low_k = 0.0, high_k = widest_k, low = here, high = 0.0;
    if (here >= 0.0) {
        high = spare(high_k);
        if (high >= 0.0) return widest_k;
    } else {
        low_k = -widest_k;
        high_k = 0.0;
        high = here;
        low = spare(low_k);
        if (low < 0.0) return -widest_k;
    }
    const auto near = [](double a, double b) { return std::abs(a - b) <= kSlackErrorK; };
    const auto off_zero = [](double value) { return value == 0.0 ? 1e-12 : value; };
    std::uintmax_t iterations = 60;
    return boost::math::tools::toms748_solve([&](double k) { return off_zero(spare(k)); }, low_k, high_k, off_zero(low), high,
                                             near, iterations)
        .first;
}

double cure_slack_k(const StayTrace& trace, const CureWindow& window, double widest_k) {
    return slack_k([&](double colder_k) { return read_window(trace, window, -colder_k).slack_s; }, widest_k);
}

Answer is_cured(bool by_window, const Band& dose) noexcept {
    if (by_window) return Answer::yes;
    return dose.most() >= 1.0 - kDoseRounding ? Answer::maybe : Answer::no;
}

bool is_beyond_sheet(double peak_k, const Coating& coating) noexcept {
    return !coating.absolute_maximum_k &&
           peak_k > coating.schedule.back().temperature_k + kUnprintedHeatCheckK + kTemperatureRoundingK;
}

Answer is_too_much(double peak_k, const Band& over_bake, const Coating& coating) noexcept {
    const bool is_too_hot = coating.absolute_maximum_k && peak_k > *coating.absolute_maximum_k + kTemperatureRoundingK;
    if (is_too_hot || over_bake.least() > 1.0 + kDoseRounding) return Answer::yes;
    return over_bake.most() > 1.0 + kDoseRounding || is_beyond_sheet(peak_k, coating) ? Answer::maybe : Answer::no;
}

double too_much_slack_s(double peak_k, const Band& over_bake, const Coating& coating) noexcept {
    const double hottest_k =
        coating.absolute_maximum_k ? *coating.absolute_maximum_k : coating.schedule.back().temperature_k + kUnprintedHeatCheckK;
    const double slack_s = (hottest_k + kTemperatureRoundingK - peak_k) * kSecondsPerKelvin;
    for (const ScheduleRow& row : coating.schedule)
        if (row.maximum_s) return std::min(slack_s, (1.0 + kDoseRounding - over_bake.most()) * *row.maximum_s);
    return slack_s;
}

Word word_of(Answer cured, Answer too_much) noexcept {
    if (too_much == Answer::yes) return Word::over;
    if (cured == Answer::no) return Word::under;
    return cured == Answer::maybe || too_much == Answer::maybe ? Word::check : Word::good;
}

Word word_of(const WordProbabilities& probabilities) noexcept {
    if (probabilities.over >= kSure) return Word::over;
    if (probabilities.good >= kSure) return Word::good;
    return probabilities.under >= kSure ? Word::under : Word::check;
}

bool passes(const ExposureLimit& limit, double exposed_s, bool was_reached) noexcept {
    return limit.allowed_s == 0.0 ? was_reached : exposed_s > limit.allowed_s + kStayRoundingS;
}

bool changes_word(const ExposureLimit& limit) noexcept { return limit.kind != LimitKind::warn; }
bool makes_over(const ExposureLimit& limit) noexcept { return limit.kind == LimitKind::never; }

double limit_slack_s(const JoinedTrace& trace, const ExposureLimit& limit, double margin_k, double had_s) {
    const double level_k = limit.temperature_k - margin_k;
    if (limit.allowed_s > 0.0) return limit.allowed_s + kStayRoundingS - had_s - stay_at_or_above(trace, level_k).total_s;
    const double below_k = level_k - peak(trace)->temperature_k;
    // At the limit is past it: a touch is too much.
    return (below_k <= kTemperatureRoundingK ? std::min(below_k, -1e-9) : below_k) * kSecondsPerKelvin;
}

namespace {

CurveBand curve_band(const std::vector<SchedulePoint>& points, const ActivationEnergy& energy, double floor_k,
                     BeyondLastPoint beyond) {
    return {RequiredTime(points, energy.low_j_per_mol, floor_k, beyond),
            RequiredTime(points, energy.value_j_per_mol, floor_k, beyond),
            RequiredTime(points, energy.high_j_per_mol, floor_k, beyond)};
}

BeyondLastPoint beyond(const Coating& coating) {
    return coating.beyond_last_row == BeyondLastRow::counts_as_last_row ? BeyondLastPoint::keep_rate : BeyondLastPoint::nothing;
}

std::optional<CurveBand> maximum_band(const Coating& coating, const ActivationEnergy& energy) {
    const std::vector<SchedulePoint> points = maximum_points(coating);
    if (points.empty()) return std::nullopt;
    return curve_band(points, energy, coating.floor_k, BeyondLastPoint::go_on);
}

}  // namespace

CoatingCurves::CoatingCurves(const Coating& from)
    : coating(from),
      window(from),
      chosen(choose_activation_energy(from)),
      minimum(curve_band(minimum_points(from), chosen.energy, from.floor_k, beyond(from))),
      most(curve_band(minimum_points(from), chosen.energy, from.floor_k, BeyondLastPoint::keep_rate)),
      maximum(maximum_band(from, chosen.energy)) {}

}  // namespace bakewright::cure
