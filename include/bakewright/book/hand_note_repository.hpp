// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/book/book.hpp"
#include "bakewright/book/ids.hpp"

namespace bakewright::book {

/// What a person measured or found on a zone, beside what a logger recorded.
enum class HandNoteKind {
    temperature,  ///< a reading of a hand-held thermometer during the bake
    cure_test,    ///< what thumb, tape, rub or hardness said of the film hours after it
    film_build    ///< thickness of the dry film of the bake's coating
};
constexpr std::array<std::string_view, 3> words_of(HandNoteKind) noexcept { return {"temperature", "cure_test", "film_build"}; }

/// What a test of the film found.
enum class CureTestResult { hard, soft };
constexpr std::array<std::string_view, 2> words_of(CureTestResult) noexcept { return {"hard", "soft"}; }

/// A note to be entered. Whether its zone is there and its number is plausible is the caller's business.
struct NewHandNote {
    BakeId bake{};
    std::string zone{};  ///< not empty
    HandNoteKind kind = HandNoteKind::temperature;
    std::string method{};                   ///< how it was taken: "infrared", "thumb", "ultrasonic"; not empty
    std::optional<double> time_s{};         ///< temperature: since the start of the bake; test: since its end
    std::optional<double> value{};          ///< temperature [K], film build [m]; none of a test
    std::optional<double> uncertainty{};    ///< standard uncertainty of the value, in its unit
    std::optional<CureTestResult> found{};  ///< of a test
    std::string noted_by{};
    std::string note{};
};

struct HandNote : NewHandNote {
    std::string uid{};       ///< 32 hexadecimal digits, the same in every book; people name it by the first eight
    std::string noted_at{};  ///< UTC
};

/// Notes by bake. They are added and removed, never changed. Every call may throw BookError.
class HandNoteRepository {
public:
    explicit HandNoteRepository(Book& book) noexcept : connection_(&book.connection()) {}

    /// @throws PromiseError where the note is not as described; InputError where its bake is not there
    /// @return its uid
    std::string add(const NewHandNote& note);
    /// Of one bake: temperatures, tests, film builds, each in the order of time, then of entering.
    [[nodiscard]] std::vector<HandNote> notes(BakeId bake) const;
    /// @param uid  or the first eight digits of it or more
    /// @throws InputError where there is no such note, or several
    [[nodiscard]] HandNote note(std::string_view uid) const;
    /// @param uid  as of note()  @return what was removed  @throws InputError likewise
    HandNote remove(std::string_view uid);
    /// The bakes that have a note of this kind, by number.
    [[nodiscard]] std::vector<BakeId> bakes_with(HandNoteKind kind) const;

private:
    Connection* connection_;
};

}  // namespace bakewright::book
