// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/builder/build.hpp"
#include "bakewright/profile/library.hpp"

/// The parts of a shell in a painter's words, read from its text and put back into it: remarks and everything else that is not
/// said anew stay as they are.
namespace bakewright::builder {

/// One layer of a part: what it is called, and how thick it is as the text has it.
struct LayerWords {
    std::string material{};   ///< title of a material, or "gap"
    std::string thickness{};  ///< "18 gauge"
    double thickness_m = 0.0;
};

/// What holds a part to another.
struct JointWords {
    std::size_t link = 0;  ///< number in the text
    std::string part{};    ///< name of the other part
    std::string how{};     ///< as words_for() has it; empty: a number that somebody wrote
    std::string extent{};  ///< "14 m" of seam, or "6" pieces; empty with `how`
    double w_per_k = 0.0;
};

/// One rectangle of a part on the drawing: a word of bake::DrawnOn, and lengths as the form shows them: from the front, or from
/// the left of who looks at it; from the ground, or from the right side.
struct PlaceWords {
    std::string side{};
    std::string from{}, to{}, low{}, high{};
};

/// A part of a shell as its form shows it.
struct PartWords {
    std::string name{};
    std::string title{};
    bool is_test_panel = false;
    std::vector<LayerWords> layers{};  ///< outside first
    std::string behind{};              ///< a value of ShellParts::behinds
    std::string finish{};              ///< a value of ShellParts::finishes
    std::string area{};                ///< as the text has it: "7.5 m2"
    double area_m2 = 0.0;              ///< of one face
    double mass_kg = 0.0;
    double height_m = 0.0;             ///< of its middle above the booth floor
    std::vector<PlaceWords> places{};  ///< empty where the drawing guesses
    std::vector<JointWords> joints{};
    std::vector<std::string> items{};  ///< titles of the items fixed to it
    bool is_assumed = false;           ///< nobody has said what it is made of
};

/// Something to choose, and what people call it.
struct PartChoice {
    std::string value{};
    std::string words{};
};

struct ShellParts {
    std::vector<PartWords> parts{};
    std::vector<PartChoice> behinds{};     ///< "booth", "cavity" or "cavity NAME", "lining", "nothing"
    std::vector<PartChoice> finishes{};    ///< "painted", "primed", "bare", "masked", "painted_masked"
    std::vector<PartChoice> sides{};       ///< words of bake::DrawnOn
    std::vector<std::string> seams{};      ///< as words_for() has them
    std::vector<std::string> materials{};  ///< titles
};

/// @throws InputError with every problem of the text
[[nodiscard]] ShellParts parts_in(const std::string& text, const profile::Library& library);

/// A text with a change, and what was understood of what was said.
struct PartEdit {
    std::string text{};
    std::string part{};  ///< name of the part it was about
    std::vector<Understood> understood{};
};

/// Says something anew of a part. Keys of what is said:
///     title; area; behind and finish, values of ShellParts;
///     place[i].side, .from, .to, .low, .high  of place i, as PlaceWords has them; place[0] of a part that has none is its first.
///         Height and length along the air go with it, and an area that follows from the sizes; one that somebody wrote stays
///     material[i], thickness[i]  of layer i, outside first; where the count differs from the part's, of all layers
///     joint[i], extent[i]        of link i of the text: "not touching" takes it out; without an extent it keeps its own
///     join, join_how, join_extent  a joint more, with the part `join`; without an extent as the drawing has it
/// What is as it was already is not touched. Behind "lining" a gap of 40 mm and 3 mm of plywood are added (common practice);
/// behind "cavity" of a shell without one, the air inside.
/// @throws AnswerNotUnderstood; InputError where the text has problems or no such part, or the change would make some
[[nodiscard]] PartEdit with_part_changed(const std::string& text, const std::string& part, const Answers& said,
                                         const profile::Library& library);

/// Adds a part. Keys: title; side, a word of bake::DrawnOn; from, to, low, high: lengths from the front, or from the left of who
/// looks at it, and from the ground, or from the right side; made_of, layers as heard_layers() takes them; behind; finish. Its
/// area and height follow from the extents and the shell's size.
/// @throws as with_part_changed()
[[nodiscard]] PartEdit with_part_added(const std::string& text, const Answers& said, const profile::Library& library);

/// Takes a part out, with its joints and the items fixed to it. @throws as with_part_changed()
[[nodiscard]] PartEdit without_part(const std::string& text, const std::string& part, const profile::Library& library);

}  // namespace bakewright::builder
