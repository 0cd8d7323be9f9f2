// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/builder/heard.hpp"
#include "bakewright/profile/library.hpp"
#include "bakewright/thermal/material.hpp"

namespace bakewright::builder {

/// The materials of a library by what people call them: id, title, and the words of `also`. Capitals, hyphens and plurals make no
/// difference.
class MaterialWords {
public:
    /// Reads every material of the library that is good; one with mistakes has no words.
    explicit MaterialWords(const profile::Library& library);

    /// The material that a text names, or that the longest of its words names ("marine ply floor": plywood).
    /// @throws NotUnderstood  where a word stands for several ("which foam?"), or for none, with the nearest
    [[nodiscard]] const thermal::Material& find(std::string_view words) const;

    /// Titles of all of them, sorted.
    [[nodiscard]] std::vector<std::string> titles() const;

    [[nodiscard]] const thermal::Material& of_id(const std::string& id) const;  ///< @throws InputError

private:
    [[noreturn]] void ask_which(const std::string& word, const std::vector<std::string>& ids) const;

    std::map<std::string, thermal::Material> materials_;            ///< by id
    std::map<std::string, std::vector<std::string>> ids_by_words_;  ///< plain words without plurals -> ids
};

/// One layer as it was said: a sheet of a material, or an air gap.
struct HeardLayer {
    bool is_gap = false;
    thermal::Material material{};
    Heard thickness{};
    std::string remark{};  ///< what was assumed; may be empty
};

/// Whether words name an air gap in place of a material: "gap", "air".
[[nodiscard]] bool is_air_gap(std::string_view words);

/// What to take where the words leave it open; empty: it has to be said.
struct UsualLayer {
    std::string material{};   ///< words
    std::string thickness{};  ///< "18 ga"
};

/// Layers, outside first, with commas or "plus" between: "18 ga steel", "3/16 ply", "1.0 steel, 30 gap, 0.8 steel",
/// "1 mm steel plus 3 mm filler", "GRP". Numbers without a unit are millimetres, fractions inches; that is told.
/// @throws NotUnderstood
[[nodiscard]] std::vector<HeardLayer> heard_layers(std::string_view text, const MaterialWords& materials,
                                                   const UsualLayer& usual = {});

}  // namespace bakewright::builder
