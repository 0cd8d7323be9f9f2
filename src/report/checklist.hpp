// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/report/json.hpp"
#include "bakewright/report/text.hpp"

namespace bakewright::report {

/// A painter's answer about one thing.
enum class CheckAnswer {
    not_checked,
    out,            ///< looked for, and not in the shell
    aboard,         ///< still in: there is no plan and no card
    written_limit,  ///< still in, by its maker's written limit; only where a thing may have one
    gas_free        ///< the tank is the shell itself: open, cleaned, certified gas-free by a competent person
};

/// What must be out of a shell before heat.
struct CheckedThing {
    std::string_view name;  ///< "gas": the word by which it is answered
    std::string_view title;
    std::string_view why;
    CheckAnswer may_stay_by = CheckAnswer::aboard;  ///< the answer by which it may stay in after all; aboard: none
};
/// Common practice; LP-gas, aerosols and vessels under pressure can burst at bake temperature.
[[nodiscard]] std::span<const CheckedThing> checked_things() noexcept;

/// The painter's answers, one a thing in the order of checked_things(). Each thing is answered by itself.
class Checklist {
public:
    Checklist();
    /// @param names  words of checked_things() @throws InputError that names the option and the nearest word, or the thing that
    /// cannot be answered so
    void answer(const std::vector<std::string>& names, CheckAnswer answer, const std::string& option);

    [[nodiscard]] CheckAnswer answer_of(std::size_t thing) const { return answers_.at(thing); }
    /// What is still in, so that there is no plan and no card.
    [[nodiscard]] std::vector<CheckedThing> blocking() const;
    /// What nobody has answered.
    [[nodiscard]] std::vector<CheckedThing> not_checked() const;

private:
    std::vector<CheckAnswer> answers_;
};

/// "out", "STILL IN", "in, by its written limit", "certified gas-free", "NOT CHECKED".
[[nodiscard]] std::string_view answer_text(CheckAnswer answer) noexcept;
/// "aboard", "not_checked", ...: in JSON, and as the page answers with.
[[nodiscard]] std::string_view answer_name(CheckAnswer answer) noexcept;
[[nodiscard]] std::string checklist_text(const Checklist& list, const TextOptions& options);
/// Which things are still in, and why there is no plan and no card with them. @param things  of blocking(), at least one
[[nodiscard]] std::string blocked_sentence(const std::vector<CheckedThing>& things);
/// "NOT CHECKED: LP-gas bottles and tanks, aerosol cans. ..."; empty where everything is answered. The first line of what it
/// stands on.
[[nodiscard]] std::string not_checked_sentence(const Checklist& list);

/// A document of this area with `checklist` (thing, answer, blocks), `not_checked` (names) and `cautions` (subject, text).
void put_checklist(Json& document, const Checklist& list);

/// A caution that stands on everything a painter may take to the booth.
struct Caution {
    std::string_view subject;
    std::string_view text;
};

/// The usual cautions, in the order in which they rule. They are the same for every bake.
[[nodiscard]] std::span<const Caution> cautions() noexcept;

}  // namespace bakewright::report
