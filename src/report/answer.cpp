// SPDX-License-Identifier: Apache-2.0
#include "bakewright/report/answer.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "bakewright/report/plain_text.hpp"
#include "bakewright/report/tables.hpp"

namespace bakewright::report {

namespace {

/// One line that never changes; the cautions stand in full behind it.
constexpr std::string_view kStandingCaution =
    "Always: the data sheet, makers' limits and local code come first. Purge before the burner; nobody inside. In full: "
    "--details cautions.";

}  // namespace

std::vector<std::string> names_in(const std::string& list) {
    std::vector<std::string> names;
    for (std::size_t begin = 0; begin <= list.size();) {
        const std::size_t end = std::min(list.find(',', begin), list.size());
        const std::size_t first = list.find_first_not_of(' ', begin);
        if (first < end) names.push_back(list.substr(first, list.find_last_not_of(' ', end - 1) - first + 1));
        begin = end + 1;
    }
    return names;
}

Answer& Answer::say(std::string_view sentence) {
    if (!sentence.empty()) first_ += paragraph_text(std::string(sentence), options_);
    return *this;
}

Answer& Answer::say_all(const std::vector<std::string>& sentences) {
    for (const std::string& sentence : sentences) say(sentence);
    return *this;
}

Answer& Answer::put(std::string_view lines) {
    first_ += lines;
    return *this;
}

Answer& Answer::brief(std::string_view lines) {
    if (!lines.empty()) brief_ += '\n' + std::string(lines);
    return *this;
}

Answer& Answer::part(std::string name, std::string text) {
    if (!text.empty()) parts_.emplace_back(std::move(name), std::move(text));
    return *this;
}

Answer& Answer::cautions(const Checklist* list) {
    if (list != nullptr) part("checklist", checklist_text(*list, options_));
    return part("cautions", cautions_text(options_));
}

std::string Answer::text(const std::string& details) const {
    std::vector<std::string> known;
    for (const auto& [name, text] : parts_) known.push_back(name);
    std::string out = first_;
    if (details.empty()) {
        out += brief_;
        if (parts_.empty()) return out;
        const bool warns = std::ranges::find(known, "cautions") != known.end();
        out += '\n';
        if (warns) out += paragraph_text(std::string(kStandingCaution), options_);
        std::erase(known, "cautions");
        if (known.empty()) return out;
        return out + paragraph_text(fmt::format("More: --details, or one part of it: {}.", fmt::join(known, ", ")), options_);
    }
    const std::vector<std::string> wanted = details == "all" ? known : names_in(details);
    for (const std::string& name : wanted) {
        const auto found = std::ranges::find(parts_, name, &std::pair<std::string, std::string>::first);
        out += '\n';
        out += found != parts_.end() ? found->second
                                     : paragraph_text(fmt::format("There is nothing about '{}' in this answer; it has {}.", name,
                                                                  fmt::join(known, ", ")),
                                                      options_);
    }
    return out;
}

std::string brief_table(const Table& table, const TextOptions& options, std::size_t most, std::string_view part_name) {
    if (table.empty()) return {};
    Table shown(table.columns());
    const std::size_t count = table.rows().size() > most ? most - 1 : table.rows().size();
    for (std::size_t i = 0; i < count; ++i) shown.add(table.rows()[i].cells);
    std::string text = shown.text(options.style);
    if (count < table.rows().size())
        text += paragraph_text(fmt::format("... and {} more: --details {}", table.rows().size() - count, part_name), options);
    return text;
}

std::string moment_text(std::string_view started_at, double time_s) {
    const std::string clock = clock_text(started_at, time_s);
    const std::string after = format_duration(time_s) + " after the start";
    return clock.empty() ? after : fmt::format("at {}, {}", clock, after);
}

std::optional<double> heat_off_s(const std::vector<bake::ResolvedStage>& stages) noexcept {
    std::optional<double> off_s;
    for (const bake::ResolvedStage& stage : stages)
        if (stage.kind == bake::StageKind::hold) off_s = stage.end_s;
    return off_s;
}

namespace {

/// Stages of one kind that follow each other, such as a cool-down in two slopes, are one.
std::vector<bake::ResolvedStage> joined_stages(const std::vector<bake::ResolvedStage>& stages) {
    std::vector<bake::ResolvedStage> joined;
    for (const bake::ResolvedStage& stage : stages) {
        if (!joined.empty() && joined.back().kind == stage.kind && stage.kind == bake::StageKind::cool &&
            stage.door_open_s <= 0.0) {
            joined.back().end_s = stage.end_s;
            joined.back().end_k = stage.end_k;
        } else {
            joined.push_back(stage);
        }
    }
    return joined;
}

std::string when_text(std::string_view started_at, double time_s) {
    const std::string clock = clock_text(started_at, time_s);
    return clock.empty() ? elapsed_text(time_s) : clock;
}

}  // namespace

std::string cycle_lines(const std::vector<bake::ResolvedStage>& stages, const TextOptions& options, std::string_view started_at,
                        bool booth_purges) {
    std::string text;
    bool is_purged = !booth_purges;
    for (const bake::ResolvedStage& stage : joined_stages(stages)) {
        if (!is_purged && stage.end_k > stage.begin_k) {
            text += fmt::format("  {:<9}  by the booth itself, before any heat\n", "purge");
            is_purged = true;
        }
        const std::string begin = temperature_number(stage.begin_k, options.units, 0);
        const std::string end = format_temperature(stage.end_k, options.units, 0);
        const bool is_level = begin == temperature_number(stage.end_k, options.units, 0);
        const std::string at = is_level ? "at " + end : begin + " to " + end;
        const double length_s = stage.end_s - stage.begin_s;
        const bool is_slope = !is_level && length_s > 0.0 && stage.kind == bake::StageKind::ramp;
        text += fmt::format("  {:<9} {:>4} min  {:<14}  {} to {}{}\n", stage_words(stage.kind), minutes_number(length_s, 0), at,
                            when_text(started_at, stage.begin_s), when_text(started_at, stage.end_s),
                            is_slope ? ", " + format_heating_rate((stage.end_k - stage.begin_k) / length_s, options.units) : "");
        if (stage.door_open_s > 0.0)
            text += fmt::format("  {:<9} {:>4} min  {:<14}  {} to {}\n", "  open", minutes_number(stage.door_open_s, 0),
                                "doors, no heat", when_text(started_at, stage.begin_s),
                                when_text(started_at, stage.begin_s + stage.door_open_s));
    }
    return text;
}

}  // namespace bakewright::report
