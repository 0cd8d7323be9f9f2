// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "bakewright/report/checklist.hpp"
#include "bakewright/report/table.hpp"
#include "bakewright/report/text.hpp"

namespace bakewright::report {

/// What a command answers, in two depths. First the lines that everybody reads, in this order: what must be checked or taken out,
/// the answer, what it rests on, what to do next; with one short table of what matters. Behind it parts, each with a name, that
/// are shown where they are asked for. An empty text is passed over everywhere.
class Answer {
public:
    explicit Answer(TextOptions options) : options_(options) {}

    /// A sentence or a few, wrapped, as a paragraph of the first lines.
    Answer& say(std::string_view sentence);
    Answer& say_all(const std::vector<std::string>& sentences);
    /// Lines that are set already, such as a cycle.
    Answer& put(std::string_view lines);
    /// Seen in the short answer only: a part has it in full.
    Answer& brief(std::string_view lines);
    /// A part that is seen on request. @param name  one word, as people ask for it: "zones"
    Answer& part(std::string name, std::string text);
    /// The checklist and the cautions, the last two parts of all that may go to a booth.
    Answer& cautions(const Checklist* list);

    /// @param details  empty: the short answer and the names of its parts; "all": the first lines and every part; else the names
    /// of parts, separated by commas; one that this answer has not is said
    [[nodiscard]] std::string text(const std::string& details = {}) const;

private:
    TextOptions options_;
    std::string first_, brief_;
    std::vector<std::pair<std::string, std::string>> parts_;
};

/// The names in "zones, items", without the blanks round them.
[[nodiscard]] std::vector<std::string> names_in(const std::string& list);

/// The first rows of a table without the sentences below them; what is left out is counted under it.
[[nodiscard]] std::string brief_table(const Table& table, const TextOptions& options, std::size_t most,
                                      std::string_view part_name);

/// The cycle as one line a stage, the purge among them; stages of one kind that follow each other are one.
[[nodiscard]] std::string cycle_lines(const std::vector<bake::ResolvedStage>& stages, const TextOptions& options,
                                      std::string_view started_at = {}, bool booth_purges = false);

/// "at 18:23, 1 h 33 min after the start" or, without a clock, "1 h 33 min after the start".
[[nodiscard]] std::string moment_text(std::string_view started_at, double time_s);

/// When the heat goes off: the end of the last hold; nothing for a cycle that holds nothing.
[[nodiscard]] std::optional<double> heat_off_s(const std::vector<bake::ResolvedStage>& stages) noexcept;

}  // namespace bakewright::report
