// SPDX-License-Identifier: Apache-2.0
#include "bakewright/builder/questions.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <set>

#include "bakewright/base/error.hpp"
#include "said.hpp"

namespace bakewright::builder {
namespace {

using profile::Kind;

/// Which shapes a question is for: letters of kShapes; empty: all.
struct Asked {
    Question question;
    std::string_view shapes{};
};

/// b box van, u bus, t trailer or container, c cab, k tank, p loose panels.
char shape_letter(const Answers& answers) {
    const auto found = answers.find("shape");
    const std::string words = found == answers.end() ? std::string() : plain_words(found->second);
    const auto has = [&](const char* word) { return words.find(word) != std::string::npos; };
    if (words.empty()) return ' ';
    if (has("bus") || has("coach")) return 'u';
    if (has("tank")) return 'k';
    if (has("container") || has("trailer")) return 't';
    if (has("panel") || has("part") || has("door") || has("hood") || has("lid") || has("loose")) return 'p';
    if (has("box") || has("van") || has("truck") || has("body")) return 'b';
    return has("cab") ? 'c' : ' ';
}

/// The heights that a body of this size usually has.
std::string usual_floor(const Answers& answers, char shape) {
    const auto found = answers.find("size");
    if (found == answers.end()) return "0.9 m, 0.45 m";
    try {
        const double height_m = heard_sizes(found->second, 3)[2].value;
        constexpr double kFloor = 0.31, kLowest = 0.16;  // of the height; common practice
        if (shape == 't') return "0 m, 0 m";
        return fmt::format("{:.2f} m, {:.2f} m", kFloor * height_m, kLowest * height_m);
    } catch (const NotUnderstood&) {
        return "0.9 m, 0.45 m";
    }
}

std::vector<Asked> shell_questions(const Answers& answers) {
    const char shape = shape_letter(answers);
    const bool is_bus = shape == 'u', is_container = shape == 't', is_tank = shape == 'k';
    return {
        {{"shape",
          "What is being painted?",
          "the nearest of these; parts can be changed afterwards",
          "",
          true,
          {"box van", "bus or coach", "trailer or container", "cab alone", "tank on a frame", "loose panels", "one panel"},
          "box van"}},
        {{"title", "What is it called in the shop?", "any name: Outreach van 3", shape == 'p' ? "panels" : "our shell"}},
        {{"size",
          "How long, wide and high is it outside?",
          "7 x 2.3 x 2.9 m, or 23' x 7'6\" x 9'6\"; height from the ground",
          "",
          true,
          {},
          shape == 'c' ? "2.8 x 2 x 2.15 m" : "7 x 2.3 x 2.9 m"},
         "butck"},
        {{"floor", "How high above the ground are the floor, and the lowest paint?", "two heights: 0.9 m, 0.45 m or 35\", 18\"",
          usual_floor(answers, shape)},
         "butck"},
        {{"cab",
          "Has it a cab in front?",
          "no, two doors, crew cab, or its length",
          "no",
          false,
          {"no", "two doors", "crew cab"}},
         "b"},
        {{"gas_free",
          "Is the tank open, cleaned, vented and certified gas-free?",
          "yes, or there is no plan",
          "",
          true,
          {"yes"},
          "yes"},
         "k"},
        {{"sides", is_tank ? "Of what is the tank's shell, and how thick?" : "Of what are the sides, and how thick?",
          "18 ga steel, 1.5 mm ally, 3/16 in ply",
          is_bus         ? "1.5 mm steel"
          : is_container ? "1.6 mm steel"
          : is_tank      ? "4 mm steel"
                         : "18 ga steel"},
         "butk"},
        {{"heads", "Are the tank's ends flat or dished?", "", "flat", false, {"flat", "dished"}}, "k"},
        {{"corrugated", "Is the sheet corrugated?", "as freight containers are", "yes", false, {"yes", "flat"}}, "t"},
        {{"windows", "How much of the upper sides is glass?", "35 %, or none", "35 %"}, "u"},
        {{"roof", "And the roof?", "same, or material and thickness",
          is_bus         ? "1.0 mm steel"
          : is_container ? "2 mm steel"
                         : "same as the sides"},
         "but"},
        {{"front", is_bus ? "Of what is the front cap?" : "And the front?", "same, or a laminate cap: GRP cap 4 mm",
          is_bus         ? "5 mm GRP"
          : is_container ? "2 mm steel"
                         : "same as the sides"},
         "but"},
        {{"rear", is_bus ? "Of what is the rear cap?" : "And the rear?",
          is_bus ? "5 mm GRP, or a sandwich: 2 mm GRP, 20 mm PVC core, 2 mm GRP" : "two doors, same, or material and thickness",
          is_bus         ? "5 mm GRP"
          : is_container ? "2 mm steel"
                         : "two doors"},
         "but"},
        {{"deck", "Of what is the floor?", "18 mm ply, 3 mm tread plate, none", is_container ? "28 mm ply" : "18 mm ply"}, "but"},
        {{"posts", "What stands behind the skins?", "40 x 40 x 2.5 tube every 600 mm, or 1-1/2\" at 24\"",
          is_bus ? "40 x 40 x 3 tube every 1 m" : "40 x 40 x 2.5 tube every 600 mm"},
         "bu"},
        {{"frame", "What frame is under it?", "two channels 180 x 60 x 5, or none",
          is_bus || is_container ? "none" : "180 x 60 x 5 channel"},
         "buk"},
        {{"skin_fixing",
          "How do the skins hold on the posts?",
          "as one sees it",
          "spots",
          false,
          {"welded", "stitch welds", "spots", "rivets", "glued", "tape", "loose"}},
         "bu"},
        {{"cap_fixing", "How does the cap hold?", "", "glued", false, {"glued", "rivets", "bolted", "tape"}}, "bu"},
        {{"behind", "What is behind the skins now?", "nothing, 40 mm foam, 3 mm ply lining", "nothing"}, "but"},
        {{"inside", "What is still inside?", "nothing, or a list: seats, screen, battery, wiring, headliner, shelves", "nothing"},
         "butc"},
        {{"openings", "How are windows and openings during the bake?", "", "masked", false, {"shut and taped", "masked", "open"}},
         "butck"},
        {{"bare", "What stays bare?", "rub rail 2 x 4 m x 80 mm stainless; several with a semicolon between", "none"}, "butc"},
        {{"running_gear",
          "Do engine, axles and wheels stay on?",
          "they stay cold and cool the rails",
          "yes",
          false,
          {"yes", "no"}},
         "bu"},
        {{"mass", "What does it weigh?", "the weighbridge's figure: 2600 kg; - where nobody knows", ""}, "butck"},
        {{"panels",
          "Which panels are there?",
          "2 doors 1.2 x 0.9 m, 0.8 mm steel; hood 1.5 x 1.2 m, 1 mm ally",
          "",
          true,
          {},
          "hood 1.5 x 1.2 m"},
         "p"},
        {{"hung", "How do they hang or lie?", "", "hung free", false, {"hung free", "flat on a stand"}}, "p"},
    };
}

std::vector<Asked> booth_questions() {
    return {
        {{"title", "What is the booth called?", "any name", "our booth"}},
        {{"size", "How long, wide and high is it inside?", "11 x 5 x 4.5 m, or 36' x 16' x 15'", "", true, {}, "8 x 4 x 3 m"}},
        {{"walls",
          "What are its walls?",
          "",
          "don't know",
          false,
          {"single sheet", "insulated panel", "brick or concrete", "don't know"}}},
        {{"air_path",
          "Where does the air come in and go out while it bakes?",
          "",
          "ceiling to floor",
          false,
          {"ceiling to floor", "ceiling to low sides", "end to end", "one spot", "mixing fans"}}},
        {{"air_strength",
          "Burner off and booth cold, fans as in a bake: what does a paper strip beside the vehicle do?",
          "a strip of office paper, 25 x 300 mm, at waist height",
          "flutters",
          false,
          {"hangs still", "flutters", "stands out", "don't know"}}},
        {{"heat",
          "How strong is the heater?",
          "its plate: 150 kW, 500 MBH in; or the time empty: 15 min to 60 C; or don't know",
          "",
          true,
          {},
          "150 kW"}},
        {{"flame",
          "Does the flame grow and shrink, or click on and off?",
          "",
          "grows and shrinks",
          false,
          {"grows and shrinks", "clicks on and off"}}},
        {{"sensor",
          "Where is the controller's sensor?",
          "",
          "don't know",
          false,
          {"on the wall", "in the hot duct", "in the exhaust", "don't know"}}},
        {{"ambient", "How cold is the shop before a bake?", "15 °C, 60 F", "15 °C"}},
        {{"limits", "Hottest setting, and high limit?", "80 °C, 95 °C; the second may be left out", "80 °C"}},
    };
}

std::vector<Asked> coating_questions() {
    return {
        {{"title", "What is the coating called?", "its name, batch and the date of its sheet", "our coating"}},
        {{"bakes",
          "Which bakes does its data sheet print?",
          "35 min at 60 C; several with a semicolon between",
          "",
          true,
          {},
          "30 min at 60 C"}},
        {{"basis",
          "Of the metal, or of the booth's air?",
          "metal where the sheet says object, panel or metal",
          "not said",
          false,
          {"metal", "booth air", "not said"}}},
        {{"flash_off", "Flash-off before heat, from and until?", "5 to 15 min; - where the sheet has none", ""}},
        {{"never_above", "Never hotter than?", "75 °C", ""}},
        {{"film", "Dry film, a coat and in all?", "50-60 um, 100-120 um", ""}},
        {{"heating_rate", "How fast may it be heated?", "2 °C a minute", ""}},
        {{"recoat", "Next coat from and until, without sanding?", "6 h to 3 days", ""}},
        {{"after", "How long after the bake may it be sanded, taped, polished?",
          "three times, - for one that is not printed: 1 h, 2 h, 12 h", ""}},
    };
}

std::vector<Asked> asked_of(Kind kind, const Answers& answers) {
    switch (kind) {
        case Kind::shell:
            return shell_questions(answers);
        case Kind::booth:
            return booth_questions();
        case Kind::coating:
            return coating_questions();
        default:
            throw InputError(Problem{{}, 0, {}, "questions make a shell, a booth or a coating"});
    }
}

}  // namespace

std::vector<Question> questions_of(Kind kind, const Answers& so_far) {
    const char shape = kind == Kind::shell ? shape_letter(so_far) : ' ';
    std::vector<Question> questions;
    for (Asked& asked : asked_of(kind, so_far))
        if (asked.shapes.empty() || asked.shapes.find(shape) != std::string_view::npos)
            questions.push_back(std::move(asked.question));
    return questions;
}

std::vector<Question> all_questions(Kind kind) {
    std::vector<Question> questions;
    for (Asked& asked : asked_of(kind, {})) questions.push_back(std::move(asked.question));
    return questions;
}

Answers with_examples(Kind kind, Answers answers) {
    for (const Question& question : questions_of(kind, answers))
        if (question.is_needed && !answers.contains(question.key)) answers[question.key] = question.example;
    for (const Question& question : questions_of(kind, answers))  // a shape brings questions of its own
        if (question.is_needed && !answers.contains(question.key)) answers[question.key] = question.example;
    return answers;
}

std::string Said::text(std::string_view key) const {
    if (is_said(key)) return answers_->at(std::string(key));
    const auto question = std::ranges::find(questions_, key, &Question::key);
    if (question == questions_.end()) return {};
    if (question->is_needed)
        throw InputError(Problem{{},
                                 0,
                                 std::string(key),
                                 fmt::format("is missing: {} Such as {}.", question->asks,
                                             question->help.empty() ? question->words.front() : question->help)});
    return question->usual;
}

bool Said::says(std::string_view key, std::initializer_list<std::string_view> words) const {
    const std::string said = " " + plain_words(text(key)) + " ";
    return std::ranges::any_of(words, [&](std::string_view word) {
        return said.find(fmt::format(" {} ", word)) != std::string::npos || said.starts_with(fmt::format(" {}", word));
    });
}

Built build(Kind kind, const std::string& id, const Answers& answers, const profile::Library& library) {
    std::vector<std::string> keys;
    for (const Question& question : all_questions(kind)) keys.push_back(question.key);
    for (const auto& [key, text] : answers)
        if (std::ranges::find(keys, key) == keys.end())
            throw InputError(Problem{
                {}, 0, key, fmt::format("is no question about a {}{}", profile::kind_name(kind), did_you_mean(key, keys))});
    if (kind == Kind::shell) return build_shell(id, answers, library);
    return kind == Kind::booth ? build_booth(id, answers) : build_coating(id, answers);
}

std::string name_from(std::string_view title) {
    std::string name;
    for (const char letter : title) {
        const auto byte = static_cast<unsigned char>(letter);
        if (byte < 0x80 && std::isalnum(byte) != 0)
            name += static_cast<char>(std::tolower(byte));
        else if (!name.empty() && name.back() != '_')
            name += '_';
    }
    while (!name.empty() && name.back() == '_') name.pop_back();
    constexpr std::size_t kLongest = 60;
    return name.empty() ? "own" : name.substr(0, kLongest);
}

}  // namespace bakewright::builder
