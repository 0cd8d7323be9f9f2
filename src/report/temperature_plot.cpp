// SPDX-License-Identifier: Apache-2.0
#include "bakewright/report/temperature_plot.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "bakewright/base/error.hpp"
#include "bakewright/report/plain_text.hpp"
#include "bakewright/report/text.hpp"

namespace bakewright::report {
namespace {

constexpr std::size_t kAxisWidth = 6;  ///< "  100 "
constexpr std::size_t kLetterEvery = 18;

/// Cells of dots, 2 wide and 4 high each as braille has them; a cell may hold a letter instead.
class Canvas {
public:
    Canvas(std::size_t columns, std::size_t rows)
        : columns_(columns), rows_(rows), dots_(columns * rows), letters_(columns * rows, ' ') {}

    [[nodiscard]] std::size_t width() const { return 2 * columns_; }
    [[nodiscard]] std::size_t height() const { return 4 * rows_; }
    /// @param y  from the top
    void dot(std::size_t x, std::size_t y) {
        // Unicode 15.0, chapter 21.1: dots 1 2 3 7 down the left column, 4 5 6 8 down the right one.
        constexpr std::array<std::array<unsigned, 4>, 2> kBits{{{0x01, 0x02, 0x04, 0x40}, {0x08, 0x10, 0x20, 0x80}}};
        dots_[y / 4 * columns_ + x / 2] |= kBits[x % 2][y % 4];
    }
    /// The first letter in a cell stays.
    void letter(std::size_t column, std::size_t y, char letter) {
        char& cell = letters_[y / 4 * columns_ + column];
        if (cell == ' ') cell = letter;
    }
    [[nodiscard]] std::string line(std::size_t row) const {
        std::string text;
        for (std::size_t column = 0; column < columns_; ++column) {
            const std::size_t cell = row * columns_ + column;
            if (letters_[cell] != ' ' || dots_[cell] == 0)
                text += letters_[cell];
            else
                text += utf8(0x2800U + dots_[cell]);
        }
        return text;
    }

private:
    static std::string utf8(unsigned code) {
        return {static_cast<char>(0xE0U | (code >> 12U)), static_cast<char>(0x80U | ((code >> 6U) & 0x3FU)),
                static_cast<char>(0x80U | (code & 0x3FU))};
    }

    std::size_t columns_, rows_;
    std::vector<unsigned> dots_;
    std::vector<char> letters_;
};

/// Ranges of both axes and where a value falls on the canvas.
struct Axes {
    double from_s = std::numeric_limits<double>::infinity(), to_s = -from_s;
    double low_k = from_s, high_k = -from_s;

    void see(const Trace& trace) {
        for (std::size_t i = 0; i < trace.size(); ++i) {
            if (!trace.usable(i)) continue;
            from_s = std::min(from_s, trace.time_s[i]);
            to_s = std::max(to_s, trace.time_s[i]);
            low_k = std::min(low_k, trace.temperature_k[i]);
            high_k = std::max(high_k, trace.temperature_k[i]);
        }
    }
    [[nodiscard]] bool empty() const { return !(to_s > from_s); }
    [[nodiscard]] std::size_t y(double temperature_k, const Canvas& canvas) const {
        const double share = (high_k - temperature_k) / (high_k - low_k);
        const double most = static_cast<double>(canvas.height() - 1);
        return static_cast<std::size_t>(std::clamp(std::round(share * most), 0.0, most));
    }
    [[nodiscard]] double time_s(std::size_t x, const Canvas& canvas) const {
        return from_s + (to_s - from_s) * static_cast<double>(x) / static_cast<double>(canvas.width() - 1);
    }
};

/// Temperatures of one curve at every dot across; NaN in a gap.
std::vector<double> sampled(const Trace& trace, const Axes& axes, const Canvas& canvas) {
    std::vector<double> values_k;
    for (std::size_t x = 0; x < canvas.width(); ++x) values_k.push_back(temperature_at_k(trace, axes.time_s(x, canvas)));
    return values_k;
}

/// A line of dots from one column to the next, upright where the curve is steep.
void draw_dots(Canvas& canvas, const std::vector<double>& values_k, const Axes& axes) {
    for (std::size_t x = 0; x < values_k.size(); ++x) {
        if (std::isnan(values_k[x])) continue;
        const std::size_t here = axes.y(values_k[x], canvas);
        const bool joined = x > 0 && !std::isnan(values_k[x - 1]);
        const std::size_t before = joined ? axes.y(values_k[x - 1], canvas) : here;
        const std::size_t from = before < here ? before + 1 : here;
        const std::size_t to = before > here ? before - 1 : here;
        for (std::size_t y = std::min(from, here); y <= std::max(to, here); ++y) canvas.dot(x, y);
    }
}

/// The curve's letter along it; at every cell where there are no dots.
void draw_letters(Canvas& canvas, const std::vector<double>& values_k, const Axes& axes, char letter, std::size_t first,
                  bool dots) {
    for (std::size_t column = dots ? first : 0; 2 * column < values_k.size(); column += dots ? kLetterEvery : 1) {
        const double value_k = values_k[2 * column];
        if (!std::isnan(value_k)) canvas.letter(column, axes.y(value_k, canvas), letter);
    }
}

void draw_level(Canvas& canvas, double level_k, const Axes& axes, bool dots) {
    const std::size_t y = axes.y(level_k, canvas);
    for (std::size_t x = 0; x < canvas.width(); x += dots ? 4 : 8)
        if (dots)
            canvas.dot(x, y);
        else
            canvas.letter(x / 2, y, '-');
}

std::string label_at(std::size_t row, std::size_t rows, const Axes& axes, const Units& units) {
    const bool shown = row == 0 || row + 1 == rows || row % 4 == 0;
    if (!shown || (row + 1 != rows && row + 3 > rows)) return std::string(kAxisWidth, ' ');
    const double share = (static_cast<double>(row) + 0.5) / static_cast<double>(rows);
    return fmt::format("{:>{}.0f} ", temperature_in(axes.high_k - share * (axes.high_k - axes.low_k), units), kAxisWidth - 1);
}

std::string time_line(const Axes& axes, std::size_t columns, const PlotOptions& options) {
    std::string line(kAxisWidth, ' ');
    const bool clock = clock_minutes(options.started_at).has_value();
    for (std::size_t column = 0; column + 6 <= columns;) {
        const double time_s =
            axes.from_s + (axes.to_s - axes.from_s) * static_cast<double>(column) / static_cast<double>(columns);
        const std::string text = clock ? clock_text(options.started_at, time_s).substr(0, 5) : elapsed_text(time_s);
        line.resize(kAxisWidth + column, ' ');
        line += text;
        column += 12;
    }
    return line + "\n";
}

std::string key_line(char letter, const Trace& trace) {
    return fmt::format("{}{} {}\n", std::string(kAxisWidth, ' '), letter, one_line(trace.name));
}

double peak_k(const Trace& trace) {
    double hottest_k = -1.0;
    for (std::size_t i = 0; i < trace.size(); ++i)
        if (trace.usable(i)) hottest_k = std::max(hottest_k, trace.temperature_k[i]);
    return hottest_k;
}

}  // namespace

std::vector<std::size_t> traces_to_plot(const TraceSet& traces, const std::vector<std::string>& coated_zones) {
    std::optional<std::size_t> air, coolest, hottest, item;
    const auto better = [&](std::optional<std::size_t>& best, std::size_t i, double sign) {
        if (!best || sign * peak_k(traces.traces[i]) > sign * peak_k(traces.traces[*best])) best = i;
    };
    for (std::size_t i = 0; i < traces.traces.size(); ++i) {
        const Trace& trace = traces.traces[i];
        if (peak_k(trace) < 0.0) continue;
        const bool coated =
            coated_zones.empty() || std::find(coated_zones.begin(), coated_zones.end(), trace.name) != coated_zones.end();
        if (trace.role == TraceRole::booth_air && !air) air = i;
        if (trace.role == TraceRole::zone && coated) better(coolest, i, -1.0), better(hottest, i, 1.0);
        if (trace.role == TraceRole::item) better(item, i, 1.0);
    }
    std::vector<std::size_t> shown;
    for (const auto& one : {air, hottest, coolest, item})
        if (one && std::find(shown.begin(), shown.end(), *one) == shown.end()) shown.push_back(*one);
    return shown;
}

std::string temperature_plot(const TraceSet& traces, const std::vector<std::size_t>& shown, const PlotOptions& options) {
    ensure(options.rows >= 4 && options.rows <= 60, "a plot has 4 to 60 rows");
    Axes axes;
    for (const std::size_t i : shown) axes.see(traces.traces.at(i));
    if (axes.empty()) return {};
    if (options.level_k)
        axes.low_k = std::min(axes.low_k, *options.level_k), axes.high_k = std::max(axes.high_k, *options.level_k);
    axes.high_k = std::max(axes.high_k, axes.low_k + 1.0);
    Canvas canvas(std::max<std::size_t>(options.text.style.width, 40) - kAxisWidth - 1, options.rows);
    std::string key;
    for (std::size_t i = 0; i < shown.size(); ++i) {
        const Trace& trace = traces.traces[shown[i]];
        const char letter = static_cast<char>('A' + i % 26);
        const std::vector<double> values_k = sampled(trace, axes, canvas);
        if (options.dots) draw_dots(canvas, values_k, axes);
        draw_letters(canvas, values_k, axes, letter, 4 + 4 * i, options.dots);
        key += key_line(letter, trace);
    }
    if (options.level_k) {
        draw_level(canvas, *options.level_k, axes, options.dots);
        key += fmt::format("{}{} schedule, {}\n", std::string(kAxisWidth, ' '), options.dots ? "\u2802" : "-",
                           format_temperature(*options.level_k, options.text.units, 0));
    }
    std::string text = fmt::format("Temperatures [{}]\n", temperature_symbol(options.text.units));
    for (std::size_t row = 0; row < options.rows; ++row) {
        std::string line = label_at(row, options.rows, axes, options.text.units) + canvas.line(row);
        line.erase(line.find_last_not_of(' ') + 1);
        text += line + "\n";
    }
    return text + time_line(axes, canvas.width() / 2, options) + key;
}

}  // namespace bakewright::report
