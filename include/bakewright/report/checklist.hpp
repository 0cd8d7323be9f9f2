#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/report/json.hpp"
#include "bakewright/report/text.hpp"

namespace bakewright::report {

/// What must be out of a shell before heat.
struct CheckedThing {
    std::string_view name;  ///< "gas": the word by which it is answered
    std::string_view title;
    std::string_view why;
    bool blocks = false;  ///< aboard: there is no plan at all
};
/// Common practice; LP-gas, aerosols and vessels under pressure can burst at bake temperature.
[[nodiscard]] std::span<const CheckedThing> checked_things() noexcept;

enum class CheckAnswer { not_checked, out, aboard };

/// The painter's answers, one a thing in the order of checked_things().
class Checklist {
public:
    Checklist();
    /// @param names  words of checked_things(), or "all" @throws InputError that names the option and the nearest word
    void answer(const std::vector<std::string>& names, CheckAnswer answer, const std::string& option);

    [[nodiscard]] CheckAnswer answer_of(std::size_t thing) const { return answers_.at(thing); }
    /// The first thing aboard with which there is no plan.
    [[nodiscard]] const CheckedThing* blocking() const noexcept;

private:
    std::vector<CheckAnswer> answers_;
};

/// "out", "ABOARD", "NOT CHECKED".
[[nodiscard]] std::string_view answer_text(CheckAnswer answer) noexcept;
[[nodiscard]] std::string checklist_text(const Checklist& list, const TextOptions& options);
/// Why there is no plan. @param thing  of blocking()
[[nodiscard]] std::string blocked_sentence(const CheckedThing& thing);

}  // namespace bakewright::report
