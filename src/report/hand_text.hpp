// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "bakewright/book/hand_note_repository.hpp"
#include "bakewright/cure/verdict.hpp"
#include "bakewright/report/table.hpp"
#include "bakewright/report/text.hpp"

namespace bakewright::report {

/// A note by hand beside what it is held against.
struct HandRow {
    book::HandNote note;
    std::optional<double> logged_k{};       ///< of a temperature: what the zone's own channel read at that moment
    std::optional<double> sheet_least_m{};  ///< of a film build: the sheet's dry film, where it prints one
    std::optional<double> sheet_most_m{};   ///< the same
    std::optional<cure::Word> word{};       ///< of a test: what the bake's readings said of the zone
    bool is_doubt = false;                  ///< it speaks against what the bake is judged by
};

/// Film tested by hand against what was judged, of one coating and one word. Of each zone of a bake the last test counts.
struct SoftCount {
    std::string coating{};  ///< title; empty where a bake was kept without one
    cure::Word word = cure::Word::not_judged;
    std::size_t tested = 0;
    std::size_t soft = 0;
    /// With 95 % confidence no larger share of such zones is soft.
    double most_share = 1.0;
};

/// @param with_bake  a column that names the bake, for notes of several
[[nodiscard]] Table hand_table(const std::vector<HandRow>& rows, const Units& units, bool with_bake = false);
/// Each that speaks against what the bake is judged by, as a question.
[[nodiscard]] std::vector<std::string> hand_questions(const std::vector<HandRow>& rows, const Units& units);
[[nodiscard]] Table soft_table(const std::vector<SoftCount>& counts);

}  // namespace bakewright::report
