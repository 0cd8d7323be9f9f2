// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <map>
#include <string>
#include <vector>

#include "bakewright/bake/booth.hpp"
#include "bakewright/builder/material_words.hpp"
#include "bakewright/cure/coating.hpp"
#include "bakewright/profile/library.hpp"
#include "bakewright/profile/shell_profile.hpp"
#include "bakewright/profile/write.hpp"

namespace bakewright::builder {

/// What was answered, by the key of the question; a question that is not in it has its default. Keys are those of questions.hpp.
/// In an answer, "-" leaves open what may be left open.
using Answers = std::map<std::string, std::string>;

/// How the source of a number begins that nobody said, and that may be off by more than its kind.
inline constexpr const char* kGuess = "guess";

/// Something that was filled in and not said.
struct Assumption {
    std::string what{};      ///< "front cap"
    std::string value{};     ///< "4 mm GRP"
    std::string range{};     ///< "3 to 6 mm"; empty where none is known
    std::string source{};    ///< "common practice"
    std::string find_out{};  ///< what settles it: "calliper at a door cut-out"
};

/// How an answer was read, where that has to be said.
struct Understood {
    std::string key{};   ///< of the question
    std::string said{};  ///< "18 ga steel: mild steel, 1.21 mm"
};

/// Something that looks odd and is asked about, never refused.
struct Doubt {
    std::string key{};       ///< of the question that settles it
    std::string question{};  ///< in plain words
};

/// What answers make: a record, its text, and what is to be told of it.
struct Built {
    profile::ShellProfile shell{};  ///< of these three the one that was asked for
    bake::Booth booth{};
    cure::Coating coating{};
    profile::HandStyle style{};  ///< how its text is written
    std::string text{};          ///< TOML
    std::vector<Understood> understood{};
    std::vector<Assumption> assumed{};
    std::vector<Doubt> doubts{};
    double painted_area_m2 = 0.0;  ///< of a shell: of what is coated
    double mass_kg = 0.0;          ///< of a shell: sum of its parts
    double check_area_m2 = 0.0;    ///< of a shell: closed area of the bodies that its sizes make
    double parts_area_m2 = 0.0;    ///< of a shell: what its parts add up to, to be held against check_area_m2
};

/// An answer that was not understood, and which.
class AnswerNotUnderstood : public NotUnderstood {
public:
    AnswerNotUnderstood(std::string key, const NotUnderstood& reason)
        : NotUnderstood(reason.what(), reason.meant()), key_(std::move(key)) {}
    [[nodiscard]] const std::string& key() const noexcept { return key_; }

private:
    std::string key_;
};

/// Makes a shell, booth or coating of answers. The same answers give the same text, to the byte.
/// @param id  name of the profile: that of the file it goes into
/// @throws AnswerNotUnderstood; InputError where an answer that is needed is missing, or the library lacks a material
[[nodiscard]] Built build_shell(const std::string& id, const Answers& answers, const profile::Library& library);
[[nodiscard]] Built build_booth(const std::string& id, const Answers& answers);
[[nodiscard]] Built build_coating(const std::string& id, const Answers& answers);

}  // namespace bakewright::builder
