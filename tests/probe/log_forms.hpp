// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <cmath>
#include <functional>
#include <string>
#include <vector>

#include "log_text.hpp"

/// One invented bake in the many forms in which logs come, and what reading each comes to.
namespace log_forms {

using namespace probe_test;

inline constexpr int kRows = 40;
inline constexpr double kStepS = 10.0;

/// The bake in degC: air that leads and a roof that follows, 20 to 60 °C, without a step that no logger prints.
inline double air_c(int i) { return std::round(10.0 * (20.0 + 40.0 * (1.0 - std::exp(-i / 9.0)))) / 10.0; }
inline double roof_c(int i) { return std::round(10.0 * (20.0 + 38.0 * (1.0 - std::exp(-i / 20.0)))) / 10.0; }
inline double in_f(double c) { return std::round(10.0 * (1.8 * c + 32.0)) / 10.0; }

enum class Outcome { right, asked, refused, misread };

inline std::string_view name_of(Outcome outcome) {
    constexpr std::string_view kNames[] = {"right", "asked", "refused", "MISREAD"};
    return kNames[static_cast<int>(outcome)];
}

/// What has to be read where the file is read: all rows, or all but some.
struct Form {
    std::string name, text;
    Outcome least = Outcome::right;  ///< right: has to be read; asked, refused: read rightly or so
    double tolerance_k = 0.06;       ///< degF with one digit are 0.03 K from the degC
    std::size_t rows = kRows;        ///< samples of the roof that are expected, flagged ones included
    ReadOptions options = {};
};

/// A question names the options that answer it.
inline Outcome outcome_of_error(const std::string& problems) {
    return contains(problems, "--temperature-unit") || contains(problems, "--channel-unit") || contains(problems, "time form")
               ? Outcome::asked
               : Outcome::refused;
}

inline const Trace* roof_of(const ProbeLog& log) {
    for (const Trace& trace : log.traces.traces) {
        const auto small = [](std::string text) {
            for (char& c : text) c = c >= 'A' && c <= 'Z' ? static_cast<char>(c + 32) : c;
            return text;
        };
        if (contains(small(trace.name), "roof")) return &trace;
    }
    return nullptr;
}

/// Every usable sample is the bake's at its time, counted from the first row; few are missing.
inline bool is_right(const ProbeLog& log, const Form& form) {
    const Trace* roof = roof_of(log);
    if (roof == nullptr || roof->size() + 2 < form.rows) return false;
    std::size_t usable = 0;
    const double zero_s = roof->time_s.front();
    for (std::size_t i = 0; i < roof->size(); ++i) {
        if (!roof->usable(i)) continue;
        const double row = (roof->time_s[i] - zero_s) / kStepS;
        const int at = static_cast<int>(std::lround(row));
        if (std::abs(row - at) > 0.01 || at >= kRows) return false;
        if (std::abs(roof->temperature_k[i] - bakewright::kCelsiusZeroK - roof_c(at)) > form.tolerance_k) return false;
        ++usable;
    }
    return usable + 8 >= form.rows;
}

inline Outcome outcome_of(const Form& form) {
    try {
        return is_right(read(form.text, form.options), form) ? Outcome::right : Outcome::misread;
    } catch (const InputError&) {
        return outcome_of_error(problems_of(form.text, form.options));
    }
}

using Cell = std::function<std::string(int)>;

inline Cell number(double (*value_c)(int), bool fahrenheit = false) {
    return [=](int i) { return fmt::format("{:.1f}", fahrenheit ? in_f(value_c(i)) : value_c(i)); };
}

inline Cell seconds() {
    return [](int i) { return fmt::format("{:.0f}", kStepS * i); };
}

/// A clock that passes midnight in the middle.
inline Cell clock(const std::string& pattern) {
    return [=](int i) {
        const int of_day = (86400 - 200 + static_cast<int>(kStepS) * i) % 86400, day = 24 + (i >= 20 ? 1 : 0);
        std::string out;
        for (const char c : pattern) switch (c) {
                case 'D':
                    out += fmt::format("{:02}", day);
                    break;
                case 'H':
                    out += fmt::format("{:02}", of_day / 3600);
                    break;
                case 'M':
                    out += fmt::format("{:02}", of_day / 60 % 60);
                    break;
                case 'S':
                    out += fmt::format("{:02}", of_day % 60);
                    break;
                default:
                    out += c;
            }
        return out;
    };
}

/// A table of rows, one text a line.
struct Table {
    std::string head;
    std::vector<Cell> cells;
    std::string delimiter = ",", end = "\n";

    [[nodiscard]] std::string row(int i) const {
        std::string out;
        for (std::size_t c = 0; c < cells.size(); ++c) out += (c > 0 ? delimiter : "") + cells[c](i);
        return out + end;
    }
    [[nodiscard]] std::string text(const std::function<std::string(int)>& before = {}) const {
        std::string out = head;
        for (int i = 0; i < kRows; ++i) out += (before ? before(i) : std::string()) + row(i);
        return out;
    }
};

inline std::string table(const std::string& head, bool fahrenheit, const std::string& delimiter = ",") {
    return Table{head, {seconds(), number(air_c, fahrenheit), number(roof_c, fahrenheit)}, delimiter}.text();
}

/// Reads every form: read rightly, asked about, or refused with a reason, and as much of that as the form asks for.
inline void check_forms(const std::vector<Form>& forms) {
    std::size_t counts[4] = {0, 0, 0, 0};
    for (const Form& form : forms) {
        const Outcome outcome = outcome_of(form);
        ++counts[static_cast<int>(outcome)];
        const std::string told = fmt::format("{} is {}\n{}", form.name, name_of(outcome), problems_of(form.text, form.options));
        CAPTURE(told);
        CHECK(outcome != Outcome::misread);
        if (form.least == Outcome::right) CHECK(outcome == Outcome::right);
        if (form.least == Outcome::asked) CHECK((outcome == Outcome::right || outcome == Outcome::asked));
    }
    MESSAGE(forms.size(), " forms: ", counts[0], " read, ", counts[1], " asked about, ", counts[2], " refused, ", counts[3],
            " misread in silence");
    CHECK(counts[static_cast<int>(Outcome::misread)] == 0);
}

}  // namespace log_forms
