// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>
#include <functional>
#include <optional>
#include <span>
#include <vector>

#include "bakewright/cure/coating.hpp"
#include "bakewright/cure/readings.hpp"
#include "bakewright/cure/required_time.hpp"
#include "bakewright/cure/stay.hpp"
#include "bakewright/cure/verdict.hpp"

/// The one rule of cure: what a trace is worth by a coating's sheet, what is too much, and the word that follows. Whoever needs
/// an answer (a verdict, its course in time, margins, a plan, members of an ensemble, a history) asks here. docs/judging.md tells
/// it in words.
namespace bakewright::cure {

/// Told with every verdict, so that an old one is known for what it was. 1: a row met or a dose over a band of activation
/// energies; 2: the sheet's own window.
inline constexpr int kRuleVersion = 2;

/// Rows further apart are not read between. Common practice, no source.
inline constexpr double kWidestRowGapK = 20.0;

/// Where a sheet prints no absolute maximum: hotter than its hottest row by more than this is CHECK, and no cycle is planned that
/// goes there. Common practice, no source.
inline constexpr double kUnprintedHeatCheckK = 10.0;

/// CHECK stands where a limit would be passed if the item were so much hotter, where no chance is known. Common practice, no
/// source: probe class and model together.
inline constexpr double kItemMarginK = 3.0;

/// The sheet's window as minutes(T), the time a coating needs at a temperature:
///  - on a printed row the printed minutes; between two rows ln(minutes) straight in 1/T;
///  - above the last row its minutes, or nothing counts there where the coating says so;
///  - rows below the floor, and rows kWidestRowGapK and more apart, are not read between: there the cooler row's minutes hold;
///  - below the coolest row nothing counts, unless the maker's word says from where: then ln(minutes) goes on with the high end
///  of
///    the activation energy's band, the careful side there.
/// Source of the line: S. Arrhenius, Z. Phys. Chem. 4 (1889) 226 (from memory); reading a sheet by it is common practice.
class CureWindow {
public:
    /// @param coating  checked: problems_in(coating) is empty
    explicit CureWindow(const Coating& coating);

    /// [s]; infinite where nothing counts.
    [[nodiscard]] double required_s(double temperature_k) const noexcept;
    /// A stay counts from here on [K].
    [[nodiscard]] double coolest_k() const noexcept { return pieces_.front().from_k; }
    /// Above it nothing counts [K]; infinite where the last row's minutes hold.
    [[nodiscard]] double hottest_k() const noexcept { return hottest_k_; }
    /// Integral of dt / minutes(T) along a straight piece of a trace, within 1e-9 of itself.
    [[nodiscard]] double credit(double from_k, double until_k, double duration_s) const noexcept;
    /// The coating's rows, each of which is enough by itself.
    [[nodiscard]] const std::vector<ScheduleRow>& rows() const noexcept { return rows_; }
    [[nodiscard]] std::span<const ScheduleRow> rows_below_floor() const noexcept { return std::span(rows_).first(reference_); }
    /// Equivalent minutes and what is lacking are told at this row.
    [[nodiscard]] const ScheduleRow& reference() const noexcept { return rows_[reference_]; }
    /// Whether it reaches below the sheet on the maker's word.
    [[nodiscard]] bool reaches_below_sheet() const noexcept { return reaches_below_; }

private:
    /// 1 / minutes(T) = exp(log_rate - slope_k / T) [1/s] for from_k <= T < until_k.
    struct Piece {
        double from_k, until_k, log_rate, slope_k;
        [[nodiscard]] double rate_per_s(double temperature_k) const noexcept;
        [[nodiscard]] double mean_rate_per_s(double low_k, double high_k) const noexcept;
    };
    void add_between(const ScheduleRow& row, const ScheduleRow& next);

    std::vector<ScheduleRow> rows_;
    std::vector<Piece> pieces_;  ///< joined end to end, rising
    std::size_t reference_ = 0;
    double hottest_k_;
    bool reaches_below_ = false;
};

/// @param offset_k  the trace is read as if it were so much warmer
[[nodiscard]] WindowReading read_window(const StayTrace& trace, const CureWindow& window, double offset_k = 0.0);

/// The longest stay at or above each row, without its dips, and the time there in all.
[[nodiscard]] std::vector<RowReading> read_rows(const JoinedTrace& trace, const StayTrace& stays, const CureWindow& window);

/// So much colder the whole trace could be, and it were still cured; below 0: so much is lacking [K]. Within 0.01 K, no further
/// than `widest_k` either way.
[[nodiscard]] double cure_slack_k(const StayTrace& trace, const CureWindow& window, double widest_k);
/// The root of any such question: how far `spare` of a shift, which falls as the shift grows, stays at or above 0.
[[nodiscard]] double slack_k(const std::function<double(double shift_k)>& spare, double widest_k);

/// To "is it cured" and "was it too much".
enum class Answer { no, maybe, yes };

/// By the window yes. What the chemistry makes of it (a dose of 1 at some activation energy of the band, separate stays added up)
/// is a maybe and never more.
[[nodiscard]] Answer is_cured(bool by_window, const Band& dose) noexcept;
/// @param over_bake  dose by the sheet's maximum minutes
[[nodiscard]] Answer is_too_much(double peak_k, const Band& over_bake, const Coating& coating) noexcept;
/// Signed: how far below the absolute maximum, and how much of the longest bake is left; a minute a kelvin [s]. Infinite where
/// the sheet has neither.
[[nodiscard]] double too_much_slack_s(double peak_k, const Band& over_bake, const Coating& coating) noexcept;
/// Hotter than anything the sheet speaks of, and no maximum is printed.
[[nodiscard]] bool is_beyond_sheet(double peak_k, const Coating& coating) noexcept;

[[nodiscard]] Word word_of(Answer cured, Answer too_much) noexcept;
/// The word that is sure from kSure on; CHECK where none is.
[[nodiscard]] Word word_of(const WordProbabilities& probabilities) noexcept;

/// Whether an exposure passes a limit. Where nothing is allowed a touch is too much; exactly the allowed time is not.
[[nodiscard]] bool passes(const ExposureLimit& limit, double exposed_s, bool was_reached) noexcept;
/// Only limits that must not be passed change a word, and only those of the face that is judged make it OVER.
[[nodiscard]] bool changes_word(const ExposureLimit& limit) noexcept;
[[nodiscard]] bool makes_over(const ExposureLimit& limit) noexcept;
/// Signed: what a trace leaves of a limit if it were hotter by a margin; a kelvin counts as a minute [s].
/// @param had_s  exposure before, at the level of the margin
[[nodiscard]] double limit_slack_s(const JoinedTrace& trace, const ExposureLimit& limit, double margin_k, double had_s);

/// One curve for each of the low, middle and high activation energy.
using CurveBand = std::array<RequiredTime, 3>;

/// A coating with the curves its traces are integrated along, made once for all zones. The coating must outlive it.
struct CoatingCurves {
    /// @param from  checked: problems_in(from) is empty
    explicit CoatingCurves(const Coating& from);

    const Coating& coating;
    CureWindow window;  ///< what the word rests on
    ChosenActivationEnergy chosen;
    CurveBand minimum;                 ///< above the last row as the coating says
    CurveBand most;                    ///< as minimum, its rate kept above the last row: what a hotter trace may be worth at most
    std::optional<CurveBand> maximum;  ///< goes on above the last row; nothing where no row has a maximum
};

}  // namespace bakewright::cure
