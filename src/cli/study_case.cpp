// SPDX-License-Identifier: Apache-2.0
#include "study_case.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "bakewright/base/error.hpp"
#include "bakewright/cure/judge.hpp"
#include "bakewright/plan/assumptions.hpp"
#include "bakewright/plan/ensemble.hpp"
#include "bakewright/plan/plan.hpp"
#include "bakewright/profile/edit.hpp"
#include "bakewright/profile/kind.hpp"
#include "bakewright/profile/read.hpp"
#include "bakewright/report/plan_text.hpp"
#include "bakewright/services/files.hpp"
#include "planning_options.hpp"

namespace bakewright::cli {
namespace {

using report::Json;

/// Options of `plan` that a case may have: those that ask neither for a book nor for a file to be written.
constexpr std::array<std::string_view, 19> kPlanKeys{
    "shell",        "booth", "coating", "for",       "start-temperature",  "lowest",     "highest", "set-point", "hold",
    "longest-hold", "ramp",  "purge",   "flash-off", "largest-difference", "confidence", "members", "handling",  "step",
    "then"};
constexpr std::array<std::string_view, 3> kOwnKeys{"id", "cycle", "changes"};
/// Profiles that were read stay so many; a study that changes one key each case has as many as cases.
constexpr std::size_t kMostRead = 512;

[[noreturn]] void refuse(const std::string& key, const std::string& message) { throw InputError(Problem{{}, 0, key, message}); }

std::string word_of_value(const std::string& key, const Json& value) {
    if (value.is_string()) return value.get<std::string>();
    if (value.is_number()) return value.dump();
    refuse(key, "is neither text, such as \"60 degC\", nor a number");
}

/// The case's keys as the words of a command.
std::vector<std::string> words_of(const Json& asked) {
    std::vector<std::string> words, known;
    for (const std::string_view key : kPlanKeys) known.emplace_back(key);
    for (const std::string_view key : kOwnKeys) known.emplace_back(key);
    for (const auto& [key, value] : asked.items()) {
        if (std::ranges::find(kOwnKeys, key) != kOwnKeys.end()) continue;
        if (std::ranges::find(kPlanKeys, key) == kPlanKeys.end())
            refuse(key, "is not a key of a case" + did_you_mean(key, known, fmt::format("; it has {}", fmt::join(known, ", "))));
        for (const Json& one : value.is_array() ? value : Json::array({value})) {
            words.push_back("--" + key + "=" + word_of_value(key, one));
        }
    }
    return words;
}

/// A value of JSON as a profile writes it.
std::string as_toml(const std::string& key, const Json& value) {
    const auto is_plain = [](const Json& one) { return one.is_string() || one.is_number() || one.is_boolean(); };
    const bool is_list = value.is_array() && std::ranges::all_of(value, is_plain);
    if (!is_plain(value) && !is_list) refuse(key, "is neither text, a number, true, false nor a list of such");
    return value.dump();  // what JSON escapes in a text, TOML reads alike
}

/// The changes of one profile, their keys without its kind.
std::map<std::string, std::string> changes_of(const Json& asked, std::string_view kind) {
    std::map<std::string, std::string> found;
    const auto all = asked.find("changes");
    if (all == asked.end()) return found;
    if (!all->is_object()) refuse("changes", "is not an object such as {\"shell.zone[0].area\": \"4 m2\"}");
    for (const auto& [key, value] : all->items()) {
        const std::size_t dot = key.find('.');
        const std::string of = key.substr(0, dot);
        if (of != "shell" && of != "booth" && of != "coating" && of != "cycle")
            refuse("changes." + key, "does not begin with shell., booth., coating. or cycle.");
        if (of == kind && dot != std::string::npos) found.emplace(key.substr(dot + 1), as_toml("changes." + key, value));
    }
    return found;
}

Json error_of(const std::vector<Problem>& problems) {
    Json told = Json::array();
    for (const Problem& problem : problems)
        told.push_back({{"file", problem.file},
                        {"line", problem.line},
                        {"key", problem.key.substr(problem.key.starts_with("--") ? 2 : 0)},
                        {"message", problem.message}});
    return {{"status", static_cast<int>(ExitStatus::input_wrong)}, {"problems", std::move(told)}};
}

Json error_of(ExitStatus status, const std::string& message) {
    return {{"status", static_cast<int>(status)},
            {"problems", Json::array({{{"file", ""}, {"line", 0}, {"key", ""}, {"message", message}}})}};
}

Json number_or_nothing(const std::optional<double>& value) { return value ? Json(*value) : Json(nullptr); }

template <class Verdict>
Json good_of(const Verdict& verdict) {
    return verdict.certainty ? Json(verdict.certainty->probabilities.good) : Json(nullptr);
}

Json zone_of(const cure::ZoneVerdict& zone) {
    return {{"zone", zone.zone},
            {"word", std::string(cure::word_text(zone.word))},
            {"good", good_of(zone)},
            {"cured_at_s", number_or_nothing(zone.cured_at_s)},
            {"credit", zone.window.credit},
            {"missing_s", std::isfinite(zone.window.missing_s) ? Json(zone.window.missing_s) : Json(nullptr)},
            {"peak_temperature_k", zone.peak_temperature_k}};
}

Json item_of(const cure::ItemVerdict& item) {
    return {{"item", item.item},
            {"word", std::string(cure::word_text(item.word))},
            {"good", good_of(item)},
            {"peak_temperature_k", item.peak_temperature_k}};
}

/// The options that a case may have, before its words are read.
Options case_options() {
    Options options("study", "");
    describe_planning(options);
    return options;
}

}  // namespace

Json StudyCases::answer(std::string_view text, std::size_t line) const {
    Json head = report::document("bakewright.study-answer", {{"line", line}});
    try {
        if (text.empty()) refuse("", "is longer than 1 MiB; a case is one object of JSON");
        const Json asked = Json::parse(text);
        if (!asked.is_object()) refuse("", "a case is an object of JSON, such as {\"shell\": \"library_van\", ...}");
        if (const auto id = asked.find("id"); id != asked.end()) {
            if (!id->is_string() && !id->is_number_integer()) refuse("id", "is neither text nor a whole number");
            head["id"] = *id;
        }
        head.update(result(asked));
    } catch (const Json::exception& error) {
        head["error"] = error_of({Problem{{}, 0, {}, error.what()}});
    } catch (const InputError& error) {
        head["error"] = error_of(error.problems());
    } catch (const SolveError& error) {
        head["error"] = error_of(ExitStatus::not_done, error.what());
    } catch (const FileError& error) {
        head["error"] = error_of(ExitStatus::not_done, error.what());
    }
    return head;
}

Json StudyCases::result(const Json& asked) const {
    Options options = case_options();
    if (!options.read(words_of(asked))) refuse("", "a case asks for no help");
    static_cast<void>(changes_of(asked, ""));  // each key of it is looked at, whatever the case is
    return asked.contains("cycle") ? predicted(options, asked) : planned(options, asked);
}

Json StudyCases::planned(const Options& options, const Json& asked) const {
    const auto shell = shell_of_case(options, asked);
    const auto booth = booth_of_case(options, asked);
    const auto coating = coating_of_case(options, asked);
    const std::vector<cure::HeatSensitiveItem> items = shell->heat_sensitive();
    plan::PlanOptions how = planning_options(options, *booth);
    how.thread_count = 1;  // cases go side by side
    const plan::PlanTask task{shell->shell, *booth, *coating, items};
    const bool is_one_cycle = options.has("set-point") && options.has("hold") &&
                              how.highest_setpoint_k == how.lowest_setpoint_k && how.shortest_hold_s == how.longest_hold_s;
    Json found = Json::object();
    if (is_one_cycle) {
        const plan::TriedCycle tried = plan::try_cycle(task, how, how.lowest_setpoint_k, how.shortest_hold_s);
        found = {{"kind", "tried"}, {"setpoint_k", how.lowest_setpoint_k}, {"hold_s", how.shortest_hold_s}};
        found["booth_time_s"] = tried.prediction.stages.back().end_s;
        tell(found, tried.verdict);
        return found;
    }
    const plan::Plan plan = plan::plan_cycle(task, how);
    found = {{"kind", "planned"}, {"feasible", plan.feasible}};
    if (plan.feasible) {
        found["setpoint_k"] = plan.chosen->setpoint_k;
        found["hold_s"] = number_or_nothing(plan.chosen->hold_s);
        found["booth_time_s"] = plan.chosen->booth_time_s;
        found["slowest_zone"] = plan.slowest_zone;
        tell(found, plan.verdict);
        return found;
    }
    found["why"] = report::conflict_sentences(plan, options.units());
    const auto likeliest = plan::likeliest_cycle(task, how, plan);
    found["likeliest"] =
        likeliest ? Json{{"setpoint_k", likeliest->setpoint_k}, {"hold_s", likeliest->hold_s}, {"chance", likeliest->chance}}
                  : Json(nullptr);
    return found;
}

Json StudyCases::predicted(const Options& options, const Json& asked) const {
    for (const char* of_a_plan : {"set-point", "hold", "lowest", "highest", "longest-hold", "ramp", "purge", "flash-off", "for",
                                  "step", "then", "handling", "largest-difference"})
        if (options.has(of_a_plan)) refuse(of_a_plan, "is for a bake to be planned; with \"cycle\" the cycle says it");
    if (!asked["cycle"].is_string()) refuse("cycle", "is not the name of a cycle's profile");
    const auto shell = shell_of_case(options, asked);
    const auto booth = booth_of_case(options, asked);
    const auto coating = coating_of_case(options, asked);
    const auto cycle =
        record_of<bake::Cycle>(profile::Kind::cycle, options, asked,
                               [](const std::string& text, const std::string& file) { return profile::read_cycle(text, file); });
    if (std::vector<Problem> wrong = bake::problems_in(*cycle, *booth); !wrong.empty()) throw InputError(std::move(wrong));
    const plan::PlanOptions how = planning_options(options, *booth);
    bake::PredictOptions predict;
    predict.start_temperature_k = how.predict.start_temperature_k;
    const std::vector<cure::HeatSensitiveItem> items = shell->heat_sensitive();
    const bake::Prediction prediction = bake::predict(shell->shell, *booth, *cycle, predict);
    cure::BakeVerdict verdict = cure::judge_bake(prediction.traces, *coating, items, shell->shell.coated_place_names());
    if (how.confidence) {
        plan::EnsemblePredictOptions members;
        members.member_count = how.confidence->member_count;
        members.predict = predict;
        members.thread_count = 1;
        members.band_interval_s = 0.0;
        const auto ensemble = plan::predict_ensemble(shell->shell, *booth, *cycle, *coating, items, members);
        plan::add_certainty(verdict, ensemble, plan::ensemble_origin(ensemble));
    }
    Json found = {{"kind", "predicted"}};
    tell(found, verdict);
    return found;
}

void StudyCases::tell(Json& found, const cure::BakeVerdict& verdict) const {
    found["word"] = std::string(cure::word_text(verdict.worst()));
    found["chance"] = number_or_nothing(verdict.chance);
    if (is_whole_) {
        found["verdict"] = report::document_of(verdict);
        return;
    }
    Json zones = Json::array(), items = Json::array();
    for (const cure::ZoneVerdict& zone : verdict.zones) zones.push_back(zone_of(zone));
    for (const cure::ItemVerdict& item : verdict.items) items.push_back(item_of(item));
    found["zones"] = std::move(zones);
    found["items"] = std::move(items);
}

template <class Record, class Read>
std::shared_ptr<const Record> StudyCases::record_of(profile::Kind kind, const Options& options, const Json& asked,
                                                    Read read) const {
    const std::string key(profile::kind_name(kind));
    const std::string name = kind == profile::Kind::cycle ? asked["cycle"].get<std::string>() : options.text(key.c_str());
    const Changes changes = changes_of(asked, key);
    std::string known_by = key + '\n' + name;
    for (const auto& [path, value] : changes) known_by += '\n' + path + '=' + value;
    {
        const std::lock_guard lock(mutex_);
        if (const auto known = read_.find(known_by); known != read_.end())
            return std::static_pointer_cast<const Record>(known->second);
    }
    const std::string file = library_.find(kind, name);
    std::string text = services::read_file(file, profile::kLargestProfileBytes);
    for (const auto& [path, value] : changes) text = profile::with_value(text, path, value);
    auto located = read(text, file);
    if (!located.problems.empty()) throw InputError(std::move(located.problems));
    auto record = std::make_shared<const Record>(std::move(located.record));
    const std::lock_guard lock(mutex_);
    if (read_.size() >= kMostRead) read_.clear();
    read_.emplace(known_by, record);
    return record;
}

std::shared_ptr<const profile::ShellProfile> StudyCases::shell_of_case(const Options& options, const Json& asked) const {
    return record_of<profile::ShellProfile>(
        profile::Kind::shell, options, asked,
        [this](const std::string& text, const std::string& file) { return profile::read_shell(text, file, library_); });
}

std::shared_ptr<const bake::Booth> StudyCases::booth_of_case(const Options& options, const Json& asked) const {
    return record_of<bake::Booth>(profile::Kind::booth, options, asked, [](const std::string& text, const std::string& file) {
        return profile::read_booth(text, file);
    });
}

std::shared_ptr<const cure::Coating> StudyCases::coating_of_case(const Options& options, const Json& asked) const {
    return record_of<cure::Coating>(profile::Kind::coating, options, asked, [](const std::string& text, const std::string& file) {
        return profile::read_coating(text, file);
    });
}

}  // namespace bakewright::cli
