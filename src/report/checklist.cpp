#include "bakewright/report/checklist.hpp"

#include <fmt/core.h>

#include <algorithm>

#include "bakewright/base/error.hpp"
#include "bakewright/report/tables.hpp"

namespace bakewright::report {
namespace {

constexpr CheckedThing kThings[] = {
    {"gas", "LP-gas bottles and tanks", "their pressure at bake temperature comes near the relief valve's", true},
    {"tanks", "other tanks and vessels under pressure", "pressure rises with temperature", true},
    {"aerosols", "aerosol cans", "their label's limit is 49 °C (120 °F)", true},
    {"extinguishers", "fire extinguishers", "vessels under pressure", true},
    {"fuel", "fuel", "vapour", false},
    {"struts", "gas struts", "remove, or keep the maker's written limit", false},
    {"batteries", "batteries", "the maker's limit counts; lithium packs often 50 °C", false},
    {"tyres", "tyres", "lower the pressure or take the wheels off; storage advice is cool", false},
    {"airbags", "airbags and belt tensioners", "remove, or keep the maker's written limit", false},
    {"adhesive", "fresh adhesive or foam", "must be cured right through before heat", false},
    {"rags", "rags with solvent or oil", "can take fire by themselves", false},
};

}  // namespace

std::span<const CheckedThing> checked_things() noexcept { return kThings; }

Checklist::Checklist() : answers_(std::size(kThings), CheckAnswer::not_checked) {}

void Checklist::answer(const std::vector<std::string>& names, CheckAnswer answer, const std::string& option) {
    for (const std::string& name : names) {
        if (name == "all") {
            std::fill(answers_.begin(), answers_.end(), answer);
            continue;
        }
        const auto at =
            std::find_if(std::begin(kThings), std::end(kThings), [&](const CheckedThing& one) { return one.name == name; });
        if (at != std::end(kThings)) {
            answers_[static_cast<std::size_t>(at - std::begin(kThings))] = answer;
            continue;
        }
        std::vector<std::string> known{"all"};
        std::string list = "all";
        for (const CheckedThing& thing : kThings) {
            known.emplace_back(thing.name);
            list += ", " + known.back();
        }
        throw InputError(
            Problem{{},
                    0,
                    option,
                    fmt::format("'{}' is not on the checklist{}", name, did_you_mean(name, known, "; there are: " + list))});
    }
}

const CheckedThing* Checklist::blocking() const noexcept {
    for (std::size_t i = 0; i < answers_.size(); ++i)
        if (answers_[i] == CheckAnswer::aboard && kThings[i].blocks) return &kThings[i];
    return nullptr;
}

std::string_view answer_text(CheckAnswer answer) noexcept {
    switch (answer) {
        case CheckAnswer::not_checked:
            return "NOT CHECKED";
        case CheckAnswer::out:
            return "out";
        case CheckAnswer::aboard:
            return "ABOARD";
    }
    return "NOT CHECKED";
}

std::string checklist_text(const Checklist& list, const TextOptions& options) {
    Table table({{"thing", Align::left, true}, {"answer"}, {"why", Align::left, true}});
    for (std::size_t i = 0; i < std::size(kThings); ++i) {
        const CheckAnswer answer = list.answer_of(i);
        const Mark mark = answer == CheckAnswer::out ? Mark::calm : answer == CheckAnswer::aboard ? Mark::alarm : Mark::strong;
        table.add({std::string(kThings[i].title), Cell(std::string(answer_text(answer)), mark), std::string(kThings[i].why)});
    }
    return table_block("Must be out of the shell before any heat", table, options);
}

std::string blocked_sentence(const CheckedThing& thing) {
    return fmt::format("There is no plan with this aboard: {}. Reason: {}. Take it out first.", thing.title, thing.why);
}

}  // namespace bakewright::report
