// SPDX-License-Identifier: Apache-2.0
#include "bakewright/report/plan_text.hpp"

#include <fmt/core.h>
#include <fmt/ranges.h>

#include <algorithm>

#include "bakewright/cure/reason.hpp"
#include "bakewright/report/answers.hpp"
#include "bakewright/report/likeliest_text.hpp"
#include "bakewright/report/map_text.hpp"
#include "bakewright/report/places_text.hpp"
#include "bakewright/report/plain_text.hpp"
#include "bakewright/report/shell_text.hpp"
#include "bakewright/report/tables.hpp"

namespace bakewright::report {

namespace {

using plan::Remedy;
using plan::RemedyKind;

std::string answer_of(const Remedy& remedy, const Units& units) {
    if (remedy.feasible)
        return fmt::format("{}, hold {}", format_temperature(remedy.setpoint_k, units, 0), format_duration(remedy.hold_s));
    return remedy.gap_k && *remedy.gap_k > 0.0
               ? fmt::format("not enough: {} short", format_temperature_difference(*remedy.gap_k, units, 0))
               : "not enough";
}

}  // namespace

std::string_view remedy_name(RemedyKind kind) noexcept {
    switch (kind) {
        case RemedyKind::longer_hold:
            return "longer_hold";
        case RemedyKind::take_out:
            return "take_out";
        case RemedyKind::shield_item:
            return "shield_item";
        case RemedyKind::baffle_zone:
            return "baffle_zone";
        case RemedyKind::mask_zone:
            return "mask_zone";
        case RemedyKind::bake_apart:
            return "bake_apart";
        case RemedyKind::fan_at_zone:
            return "fan_at_zone";
        case RemedyKind::stir_air:
            return "stir_air";
        case RemedyKind::slower_ramp:
            return "slower_ramp";
        case RemedyKind::warm_start:
            return "warm_start";
    }
    return "longer_hold";
}

std::string remedy_sentence(const Remedy& remedy, const Units& units) {
    const std::string subject = one_line(remedy.subject);
    switch (remedy.kind) {
        case RemedyKind::longer_hold:
            return fmt::format("a cooler set point and a hold of up to {}", format_duration(plan::kLongestRemedyHoldS));
        case RemedyKind::take_out:
            return "take out " + subject;
        case RemedyKind::shield_item:
            return fmt::format("shield {} ({:.0f} % of the heat gets through)", subject, 100.0 * plan::kShieldShare);
        case RemedyKind::baffle_zone:
            return fmt::format("shield {} from the air (cuts air heating to {:.0f} %)", subject, 100.0 * plan::kBaffleShare);
        case RemedyKind::mask_zone:
            return fmt::format("mask {} with paper", subject);
        case RemedyKind::bake_apart:
            return fmt::format("take {} off, if it comes off, and bake it by itself; both bakes together", subject);
        case RemedyKind::fan_at_zone:
            return fmt::format("aim a fan at {} ({:.1f} times the air heating)", subject, plan::kFanShare);
        case RemedyKind::stir_air:
            return fmt::format("stir the air (leaves {:.0f} % of the difference between floor and ceiling)",
                               100.0 * plan::kStirredShare);
        case RemedyKind::slower_ramp:
            return fmt::format("a slower ramp, down to {}", format_heating_rate(plan::kSlowestRampKPerS, units));
        case RemedyKind::warm_start:
            return fmt::format("warm the shell through before the coat, by {}",
                               format_temperature_difference(plan::kWarmStartK, units, 0));
    }
    return {};
}

std::string remedies_text(const std::vector<Remedy>& remedies, const TextOptions& options) {
    if (remedies.empty()) return {};
    Table table({{"change", Align::left, true}, {"then it takes"}, {"whole\ncycle", Align::right}});
    for (const Remedy& remedy : remedies)
        table.add({remedy_sentence(remedy, options.units),
                   remedy.feasible ? Cell(answer_of(remedy, options.units), Mark::calm) : Cell(answer_of(remedy, options.units)),
                   remedy.feasible ? format_duration(remedy.booth_time_s) : ""});
    return "What would fix it (each tried alone in the model; typical strengths assumed)\n\n" + table.text(options.style);
}

namespace {

using plan::Candidate;
using plan::Plan;

/// What first speaks against a set point, in a few words.
std::string obstacle(const Candidate& candidate) {
    if (candidate.feasible) return "";
    if (candidate.unsure) return fmt::format("{:.0f} % sure at best", 100.0 * *candidate.chance);
    const auto named = [](std::string_view word, const std::string& name) { return fmt::format("{} {}", word, one_line(name)); };
    for (const cure::ZoneVerdict& zone : candidate.bad_zones)
        if (!candidate.hold_s || zone.word == cure::Word::over) return named(cure::word_text(zone.word), zone.zone);
    if (!candidate.bad_items.empty())
        return named(cure::word_text(candidate.bad_items.front().word), candidate.bad_items.front().item);
    if (!candidate.bad_coats.empty())
        return named(cure::word_text(candidate.bad_coats.front().word),
                     candidate.bad_coats.front().coat + " on " + candidate.bad_coats.front().zone);
    if (candidate.difference_is_too_large)
        return named("difference", candidate.difference->pair.laminate + " against " + candidate.difference->pair.metal);
    if (!candidate.warnings.empty())
        return named(cure::heat_warning_text(candidate.warnings.front().kind), candidate.warnings.front().where);
    if (!candidate.bad_zones.empty())
        return named(cure::word_text(candidate.bad_zones.front().word), candidate.bad_zones.front().zone);
    return candidate.hold_s ? "" : "never reaches a temperature on the sheet";
}

bool ramps_differ(const Plan& plan) {
    return std::any_of(plan.candidates.begin(), plan.candidates.end(),
                       [&](const Candidate& one) { return one.ramp_k_per_s != plan.candidates.front().ramp_k_per_s; });
}

Table candidate_table(const Plan& plan, const Units& units) {
    const bool with_ramp = ramps_differ(plan);
    Table table({{fmt::format("set point\n{}", temperature_symbol(units)), Align::right},
                 {with_ramp ? "ramp, hold" : "hold", Align::right},
                 {"whole\ncycle", Align::right},
                 {"answer"},
                 {"what is in the way", Align::left, true}});
    for (std::size_t i = 0; i < plan.candidates.size(); ++i) {
        const Candidate& candidate = plan.candidates[i];
        const bool best = plan.feasible && plan.best == i;
        const std::string hold = candidate.hold_s ? format_duration(*candidate.hold_s) : "none";
        table.add({fmt::format("{:.0f}", temperature_in(candidate.setpoint_k, units)),
                   with_ramp ? format_heating_rate(candidate.ramp_k_per_s, units, 2) + ", " + hold : hold,
                   candidate.hold_s ? format_duration(candidate.booth_time_s) : "",
                   candidate.feasible ? Cell(best ? "chosen" : "yes", best ? Mark::strong : Mark::calm) : Cell("no"),
                   obstacle(candidate)});
    }
    return table;
}

std::string sentence(const std::string& name, const std::string& reason) {
    return fmt::format("{}: {}.", one_line(name), reason);
}

std::string difference_sentence(const Plan& plan, const Units& units) {
    if (!plan.difference) return {};
    return "Largest difference across a bond: " + difference_text(*plan.difference, units) + ".";
}

void add_obstacles(std::string& text, const Candidate& candidate, const Units& units, bool zones) {
    if (zones)
        for (const cure::ZoneVerdict& zone : candidate.bad_zones)
            text += " " + sentence(zone.zone, cure::reason_text(zone, units));
    for (const cure::ItemVerdict& item : candidate.bad_items) text += " " + sentence(item.item, cure::reason_text(item, units));
    for (const plan::CoatOverBaked& coat : candidate.bad_coats)
        text += " " + sentence(coat.coat + " on " + coat.zone, reason_text(coat, units));
    if (candidate.difference_is_too_large)
        text += " Largest difference across a bond: " + difference_text(*candidate.difference, units) + ".";
    for (const cure::HeatWarning& warning : candidate.warnings)
        text += " " + sentence(warning.where, cure::reason_text(warning, units));
}

/// How sure it is, and what would make it surer; a sentence each.
std::vector<std::string> chance_sentences(const Plan& plan, const Units& units) {
    std::vector<std::string> sentences;
    if (!plan.chance) return sentences;
    if (plan.feasible)
        sentences.push_back(fmt::format("{:.0f} % sure every coated zone cures and nothing gets too hot.", 100.0 * *plan.chance));
    else if (plan.surest)
        sentences.push_back(fmt::format("Using best-guess values {} with a hold of {} works, but that is only {:.0f} % sure.",
                                        format_temperature(plan.candidates[*plan.surest].setpoint_k, units, 0),
                                        format_duration(*plan.candidates[*plan.surest].hold_s), 100.0 * *plan.chance));
    if (plan.likeliest_obstacle)
        sentences.push_back(fmt::format("Most likely to fail: {}.", one_line(plan.likeliest_obstacle->text())));
    return sentences;
}

void add_wrapped(std::string& text, const std::vector<std::string>& sentences, const TextOptions& options) {
    for (const std::string& sentence : sentences)
        for (const std::string& line : wrap(sentence, options.style.width)) text += line + "\n";
}

}  // namespace

std::vector<std::string> findings_of(const Plan& plan, const Units& units) {
    if (!plan.feasible) return {};
    std::vector<std::string> findings = question_sentences(plan.verdict);
    if (plan.verdict.worst() != cure::Word::good) findings.insert(findings.begin(), worst_place_sentence(plan.verdict, units));
    return findings;
}

std::string no_cycle_sentence(const Plan& plan, const Units& units) {
    if (plan.coolest_that_cures) {
        const Candidate& candidate = plan.candidates[*plan.coolest_that_cures];
        const bool only_warned = !candidate.warnings.empty() && candidate.bad_zones.empty() && candidate.bad_items.empty() &&
                                 candidate.bad_coats.empty() && !candidate.difference_is_too_large;
        if (only_warned) {
            const cure::HeatWarning& warning = candidate.warnings.front();
            return fmt::format("No cycle as asked: {}: {}.", cure::heat_warning_text(warning.kind),
                               cure::reason_text(warning, units));
        }
    }
    return "No cycle works: none cures every coated zone and keeps everything under its limit.";
}

std::string conflict_sentences(const Plan& plan, const Units& units) {
    std::string text;
    if (plan.coolest_that_cures) {
        const Candidate& candidate = plan.candidates[*plan.coolest_that_cures];
        text += fmt::format("The lowest set point that cures every coated zone is {} with a hold of {}.",
                            format_temperature(candidate.setpoint_k, units, 0), format_duration(*candidate.hold_s));
        std::string obstacles;
        add_obstacles(obstacles, candidate, units, true);
        if (!obstacles.empty())
            text += " There:" + obstacles;
        else if (candidate.chance)
            text += fmt::format(
                " That works on best-guess values, but is only {:.0f} % sure: allow a longer hold or another set point, or "
                "probe the zone most likely to fail.",
                100.0 * *candidate.chance);
    } else {
        text += "No set point that was tried cures every coated zone within the longest hold.";
        if (!plan.candidates.empty()) {
            const Candidate& hottest = plan.candidates.back();
            text += fmt::format(" At {}, the hottest:", format_temperature(hottest.setpoint_k, units, 0));
            add_obstacles(text, hottest, units, true);
        }
    }
    if (plan.hottest_that_spares) {
        const Candidate& candidate = plan.candidates[*plan.hottest_that_spares];
        text += fmt::format("\nThe highest set point at which nothing gets too hot is {}.",
                            format_temperature(candidate.setpoint_k, units, 0));
        if (!candidate.hold_s && !candidate.bad_zones.empty())
            text +=
                " There: " + sentence(candidate.bad_zones.front().zone, cure::reason_text(candidate.bad_zones.front(), units));
    } else {
        text += "\nAt every set point that was tried something gets too hot.";
    }
    return text + "\n";
}

namespace {

/// What to do with a plan that was found, one thing.
std::string next_step(const Plan& plan, const PlanCompany& company, const Checklist& list) {
    if (!company.taken_out.empty()) return "Next: take out what stands above, then check the load (--checked).";
    if (plan.verdict.worst() != cure::Word::good || !plan.verdict.questions.empty())
        return "Next: settle the CHECK above before any heat.";
    if (!list.not_checked().empty()) return "Next: check the load and answer with --checked; --card prints the door card.";
    return "Next: print the card for the booth door with --card FILE.";
}

std::string brief_fixes(const std::vector<Remedy>& remedies, const TextOptions& options) {
    constexpr std::size_t kMostFixes = 5;
    std::vector<std::string> fixes;
    for (std::size_t i = 0; i < std::min(remedies.size(), kMostFixes); ++i)
        fixes.push_back(remedy_sentence(remedies[i], options.units) + ": " + answer_of(remedies[i], options.units));
    return list_text("What would fix it (each tried alone in the model; typical strengths assumed)", fixes, options);
}

std::string joined_sentences(const std::vector<std::string>& sentences) { return fmt::format("{}", fmt::join(sentences, " ")); }

std::string goals_part(const Plan& plan, const TextOptions& options) {
    const std::string table = table_block("Compare goals", tradeoff_table(plan, options.units), options);
    if (table.empty()) return {};
    std::string text = table + "\n";
    add_wrapped(
        text,
        {margin_sentence(plan, options.units), difference_sentence(plan, options.units), energy_sentence(plan.chosen->energy)},
        options);
    return text;
}

void say_found(Answer& answer, const Plan& plan, const PlanCompany& company, const TextOptions& options, std::string_view start) {
    const Candidate& best = *plan.chosen;
    const std::vector<bake::ResolvedStage>& stages = plan.prediction.stages;
    answer.say_all(findings_of(plan, options.units))
        .say(fmt::format("Set {}, hold {}. Heat off {}.", format_temperature(best.setpoint_k, options.units, 0),
                         format_duration(*best.hold_s), moment_text(start, heat_off_s(stages).value_or(0.0))))
        .put(cycle_lines(stages, options, start, company.booth_purges_by_itself));
    const std::string slowest = slowest_sentence(plan.verdict, start);
    answer.say(slowest.empty() ? fmt::format("Slowest: {}.", one_line(plan.slowest_zone)) : slowest)
        .say(nearest_limit_sentence(plan.verdict, options.units));
}

}  // namespace

namespace {

std::string probes_part(const Plan& plan, const TextOptions& options) {
    if (!plan.probe_places) return {};
    std::string sentences = places_sentence(*plan.probe_places);
    if (const std::string worth = calibration_sentence(*plan.probe_places, options.units); !worth.empty())
        sentences += " " + worth;
    return paragraph_text(sentences, options);
}

}  // namespace

Answer plan_answer(const Plan& plan, const PlanCompany& company, const Checklist& list, const TextOptions& options,
                   std::string_view started_at, const std::vector<std::string>& foreword) {
    Answer answer(options);
    answer.say(not_checked_sentence(list));
    for (const std::string& name : company.taken_out) answer.say(fmt::format("Take out first: {}.", one_line(name)));
    answer.say_all(foreword);
    const std::vector<std::string> chances = chance_sentences(plan, options.units);
    if (plan.feasible) {
        say_found(answer, plan, company, options, started_at);
        answer.say(joined_sentences(chances)).say(next_step(plan, company, list));
        answer.part("cycle", cycle_text(plan.prediction.stages, options, started_at, company.booth_purges_by_itself));
        add_verdict_parts(answer, plan.verdict, options);
    } else {
        if (company.likeliest) answer.say(likeliest_sentence(*company.likeliest, options.units));
        answer.say(no_cycle_sentence(plan, options.units));
        const std::string conflict = conflict_sentences(plan, options.units);
        for (std::size_t begin = 0; begin < conflict.size();) {
            const std::size_t end = std::min(conflict.find('\n', begin), conflict.size());
            answer.say(conflict.substr(begin, end - begin));
            begin = end + 1;
        }
        answer.say(joined_sentences(chances));
        if (company.likeliest) answer.brief(assumptions_text(*company.likeliest, options));
        answer.brief(brief_fixes(company.remedies, options));
    }
    answer.part("probes", probes_part(plan, options)).part("goals", goals_part(plan, options));
    answer.part("tried", "Set points tried\n\n" + candidate_table(plan, options.units).text(options.style));
    if (company.likeliest) answer.part("assumptions", assumptions_text(*company.likeliest, options));
    answer.part("fixes", remedies_text(company.remedies, options));
    if (company.after != nullptr) {
        answer.brief(brief_table(remaining_table(*company.after, options.units), options, 8, "remaining"));
        answer.part("remaining", remaining_text(*company.after, options));
    }
    return answer.cautions(&list);
}

}  // namespace bakewright::report
