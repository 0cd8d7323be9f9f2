// SPDX-License-Identifier: Apache-2.0
#include "bakewright/report/checklist.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "bakewright/base/error.hpp"
#include "bakewright/report/tables.hpp"
#include "json_records.hpp"

namespace bakewright::report {

namespace {

constexpr Caution kCautions[] = {
    {"Whose word counts",
     "The coating maker's data sheet wins over every number here. The vehicle or component maker's limit wins over every limit "
     "from "
     "a library. Local code and licensed practice win over both."},
    {"What this is",
     "It plans and it records. It controls nothing, switches nothing, and proves nothing safe: not to light, not to enter, not "
     "to "
     "code. A prediction carries an error; where it crosses a limit the word is CHECK."},
    {"People", "Nobody is inside during a bake. Doors stay shut until the booth has purged and cooled."},
    {"Vapour",
     "Purge before the burner may light. A shorter flash-off or a heavier film carries more solvent into the bake. No vapour "
     "limit "
     "is computed here: ask the booth maker and the local authority, also whether this booth may be used to bake at all."},
    {"Take out first",
     "LP-gas, fuel, pressurised tanks, aerosols, fire extinguishers, batteries, airbags, gas struts and solvent rags come out of "
     "the shell before any heat."},
    {"Isocyanates",
     "Two-component urethane gives little warning by smell: supplied air for spraying. Opening early or sanding a soft film "
     "exposes "
     "people as well."},
    {"Hot surfaces", "Bare metal at bake temperature burns within seconds, and heavy frames stay hot longest."},
};

}  // namespace

std::span<const Caution> cautions() noexcept { return kCautions; }

namespace {

constexpr CheckedThing kThings[] = {
    {"gas", "LP-gas bottles and tanks", "their pressure at bake temperature comes near the relief valve's"},
    {"tanks", "other tanks and vessels under pressure", "pressure rises with temperature, and what is left in them gives vapour",
     CheckAnswer::gas_free},
    {"aerosols", "aerosol cans", "their label's limit is 49 °C (120 °F)"},
    {"extinguishers", "fire extinguishers", "vessels under pressure"},
    {"fuel", "fuel", "vapour"},
    {"airbags", "airbags and belt tensioners", "they can fire"},
    {"rags", "rags with solvent or oil", "can take fire by themselves"},
    {"adhesive", "fresh adhesive or foam", "must be cured right through before heat"},
    {"tyres", "tyres at pressure", "pressure rises with temperature: let it down, or take the wheels off"},
    {"batteries", "batteries", "the maker's limit counts; lithium packs often 50 °C", CheckAnswer::written_limit},
    {"struts", "gas struts", "vessels under pressure; the maker's limit counts", CheckAnswer::written_limit},
};

std::size_t place_of(const CheckedThing& thing) { return static_cast<std::size_t>(&thing - std::begin(kThings)); }

/// @throws InputError
const CheckedThing& thing_of(const std::string& name, const std::string& option) {
    const auto at = std::ranges::find(kThings, name, &CheckedThing::name);
    if (at != std::end(kThings)) return *at;
    std::vector<std::string> known;
    for (const CheckedThing& thing : kThings) known.emplace_back(thing.name);
    if (name == "all")
        throw InputError(Problem{
            {}, 0, option, fmt::format("'all' answers nothing: each is looked for by itself: {}", fmt::join(known, ", "))});
    throw InputError(Problem{{},
                             0,
                             option,
                             fmt::format("'{}' is not on the checklist{}", name,
                                         did_you_mean(name, known, fmt::format("; there are: {}", fmt::join(known, ", "))))});
}

/// What it takes to let a thing stay in.
std::string_view way_to_stay(const CheckedThing& thing) {
    if (thing.may_stay_by == CheckAnswer::written_limit) return ", or state that its maker's written limit is kept";
    if (thing.may_stay_by == CheckAnswer::gas_free)
        return ", or, where the tank is the shell itself, have it open, cleaned and certified gas-free by a competent person";
    return "";
}

}  // namespace

std::span<const CheckedThing> checked_things() noexcept { return kThings; }

Checklist::Checklist() : answers_(std::size(kThings), CheckAnswer::not_checked) {}

void Checklist::answer(const std::vector<std::string>& names, CheckAnswer answer, const std::string& option) {
    for (const std::string& name : names) {
        const CheckedThing& thing = thing_of(name, option);
        const bool lets_stay = answer == CheckAnswer::written_limit || answer == CheckAnswer::gas_free;
        if (lets_stay && thing.may_stay_by != answer)
            throw InputError(
                Problem{{}, 0, option, fmt::format("{} cannot be answered so: take out{}", thing.title, way_to_stay(thing))});
        answers_[place_of(thing)] = answer;
    }
}

std::vector<CheckedThing> Checklist::blocking() const {
    std::vector<CheckedThing> found;
    for (const CheckedThing& thing : kThings)
        if (answers_[place_of(thing)] == CheckAnswer::aboard) found.push_back(thing);
    return found;
}

std::vector<CheckedThing> Checklist::not_checked() const {
    std::vector<CheckedThing> found;
    for (const CheckedThing& thing : kThings)
        if (answers_[place_of(thing)] == CheckAnswer::not_checked) found.push_back(thing);
    return found;
}

std::string_view answer_text(CheckAnswer answer) noexcept {
    switch (answer) {
        case CheckAnswer::not_checked:
            return "NOT CHECKED";
        case CheckAnswer::out:
            return "out";
        case CheckAnswer::aboard:
            return "STILL IN";
        case CheckAnswer::written_limit:
            return "in, by its written limit";
        case CheckAnswer::gas_free:
            return "certified gas-free";
    }
    return "NOT CHECKED";
}

std::string_view answer_name(CheckAnswer answer) noexcept {
    switch (answer) {
        case CheckAnswer::not_checked:
            return "not_checked";
        case CheckAnswer::out:
            return "out";
        case CheckAnswer::aboard:
            return "aboard";
        case CheckAnswer::written_limit:
            return "written_limit";
        case CheckAnswer::gas_free:
            return "gas_free";
    }
    return "not_checked";
}

std::string checklist_text(const Checklist& list, const TextOptions& options) {
    Table table({{"thing", Align::left, true}, {"answer"}, {"why", Align::left, true}});
    for (std::size_t i = 0; i < std::size(kThings); ++i) {
        const CheckAnswer answer = list.answer_of(i);
        const Mark mark = answer == CheckAnswer::out ? Mark::calm : answer == CheckAnswer::aboard ? Mark::alarm : Mark::strong;
        table.add({std::string(kThings[i].title), Cell(std::string(answer_text(answer)), mark),
                   in_degrees_of(std::string(kThings[i].why), options.units)});
    }
    return table_block("Must be out of the shell before any heat", table, options);
}

std::string blocked_sentence(const std::vector<CheckedThing>& things) {
    ensure(!things.empty(), "a bake that is blocked is blocked by something");
    std::string text = "There is no plan and no card with this still in:";
    for (const CheckedThing& thing : things)
        text += fmt::format(" {}: {}. Take out{}.", thing.title, thing.why, way_to_stay(thing));
    return text;
}

std::string not_checked_sentence(const Checklist& list) {
    const std::vector<CheckedThing> open = list.not_checked();
    if (open.empty()) return {};
    if (open.size() == std::size(kThings))
        return fmt::format("NOT CHECKED: {} things that must be out of the shell before any heat.", open.size());
    std::vector<std::string_view> titles;
    for (const CheckedThing& thing : open) titles.push_back(thing.title);
    return fmt::format("NOT CHECKED: {}.", fmt::join(titles, ", "));
}

void put_checklist(Json& document, const Checklist& list) {
    Json answers = Json::array(), open = Json::array(), rules = Json::array();
    for (std::size_t i = 0; i < std::size(kThings); ++i)
        answers.push_back({{"thing", kThings[i].name},
                           {"answer", answer_name(list.answer_of(i))},
                           {"blocks", list.answer_of(i) == CheckAnswer::aboard},
                           {"why", kThings[i].why}});
    for (const CheckedThing& thing : list.not_checked()) open.push_back(thing.name);
    for (const Caution& caution : cautions()) rules.push_back({{"subject", caution.subject}, {"text", caution.text}});
    put_first(document, "not_checked", std::move(open));
    document["checklist"] = std::move(answers);
    document["cautions"] = std::move(rules);
}

}  // namespace bakewright::report
