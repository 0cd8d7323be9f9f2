// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/base/trace.hpp"
#include "bakewright/base/work.hpp"
#include "bakewright/book/bake_repository.hpp"
#include "bakewright/report/answer.hpp"
#include "bakewright/report/checklist.hpp"
#include "bakewright/report/text.hpp"
#include "options.hpp"

namespace bakewright::cli {

/// Width of the terminal (80 where standard output is none), marks only on a terminal without NO_COLOR, the user's units.
[[nodiscard]] report::TextOptions text_options(const Options& options);

/// Writes to standard output. Text of the user is expected to be cleaned by the report area.
void print(std::string_view text);

/// The answer as deep as --details asks, through the user's pager where it is longer than a terminal's screen.
void print(const report::Answer& answer, const Options& options);

/// The document as text, in lines or in one, and a line end.
void print_json(const report::Json& document, int indent = 2);
/// With the answers to the checklist and the cautions in it.
void print_json(report::Json document, const report::Checklist& list);
/// The document with the number its bake has in the book; null where it was not kept.
[[nodiscard]] report::Json kept_as(report::Json document, const std::optional<book::BakeId>& id);

/// A line on standard error that is rewritten while work goes on for more than a second; silent where standard error is no
/// terminal. Stops the work when the user presses Ctrl-C.
class ProgressLine {
public:
    explicit ProgressLine(std::string_view what);
    ~ProgressLine();
    ProgressLine(const ProgressLine&) = delete;
    ProgressLine& operator=(const ProgressLine&) = delete;
    [[nodiscard]] Progress listener();
    [[nodiscard]] static bool interrupted() noexcept;
    /// What was interrupted has ended as it should: work that comes after it goes on until Ctrl-C is pressed again.
    static void forget_interrupt() noexcept;

private:
    std::string_view what_;
    double began_s_;
    bool shown_ = false;
};

/// Adds --plot.
void describe_plot(Options& options);

/// The small temperature plot where --plot asks for it, with an empty line after it; otherwise nothing. Braille characters where
/// the locale is UTF-8, else ASCII alone.
[[nodiscard]] std::string asked_plot(const Options& options, const TraceSet& traces, const std::vector<std::string>& coated_zones,
                                     std::optional<double> level_k = std::nullopt);

}  // namespace bakewright::cli
