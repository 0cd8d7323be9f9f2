// SPDX-License-Identifier: Apache-2.0
#include "bakewright/builder/seams.hpp"

#include <fmt/format.h>

#include <array>
#include <cmath>

#include "bakewright/bake/cold_places.hpp"
#include "bakewright/base/error.hpp"
#include "bakewright/builder/heard.hpp"

namespace bakewright::builder {
namespace {

struct SeamFacts {
    Seam seam;
    std::string_view words;
    Spread number;  ///< resistance of a metre [m K/W]; by the piece: conductance of one [W/K]
    std::string_view source;
    std::array<std::string_view, 7> heard;  ///< beginnings of what people write
};

constexpr std::string_view kCommon = "common practice";

constexpr std::array kSeams = {
    SeamFacts{Seam::welded,
              "welded all along",
              {0.0, 0.0, 0.02},
              "metal all the way",
              {"weld", "seam weld", "full weld", "solder", "braz"}},
    SeamFacts{Seam::stitch_welded, "stitch welds", {0.05, 0.10, 0.3}, kCommon, {"stitch", "tack", "skip weld"}},
    SeamFacts{Seam::spot_welded,
              "spot welds 50 mm apart",
              {0.1, 0.2, 0.5},
              "constriction round each spot, ln(p / 2 pi r) / (2 pi k t), both sheets",
              {"spot", "plug weld"}},
    SeamFacts{Seam::riveted, "rivets 75 mm apart", {0.2, 0.4, 1.0}, kCommon, {"rivet", "screw", "self tap"}},
    SeamFacts{Seam::glued,
              "a glue bead 25 x 3 mm",
              {0.25, 0.48, 0.8},
              "depth / (k width), k 0.25 W/mK of sealants (EN ISO 10077-2)",
              {"glue", "bond", "adhesive", "pu", "seal", "stuck"}},
    SeamFacts{Seam::taped,
              "foam tape 19 x 1.1 mm",
              {0.3, 0.58, 1.0},
              "k 0.10 W/mK, from memory",
              {"tape", "foam tape", "double sided"}},
    SeamFacts{Seam::rubber_strip,
              "a rubber strip 20 x 3 mm",
              {0.3, 0.6, 1.5},
              "k 0.25 W/mK (EN ISO 10077-2)",
              {"rubber strip", "on rubber", "gasket", "rubber set"}},
    SeamFacts{Seam::one_sheet, "one sheet", {0.0, 0.0, 0.0}, "metal all the way", {"one sheet", "same sheet", "folded"}},
    SeamFacts{Seam::bolted, "bolts", {0.1, 0.3, 0.8}, kCommon, {"bolt"}},
    SeamFacts{Seam::hinged, "hinges", {0.05, 0.15, 0.4}, kCommon, {"hing"}},
    SeamFacts{Seam::rubber_mounted, "rubber mounts", {0.02, 0.05, 0.1}, kCommon, {"rubber mount", "mount"}},
    SeamFacts{Seam::clipped, "clips", {0.002, 0.01, 0.05}, kCommon, {"clip", "hung", "hook"}},
    SeamFacts{
        Seam::not_touching, "not touching", {0.0, 0.0, 0.0}, "", {"loose", "not touch", "no contact", "none", "nothing", "off"}}};

const SeamFacts& facts_of(Seam seam) {
    for (const SeamFacts& facts : kSeams)
        if (facts.seam == seam) return facts;
    throw PromiseError("broken promise: every seam has its facts");
}

double along_w_per_k(double resistance, double length_m, const std::vector<SeamSheet>& sheets) {
    for (const SeamSheet& sheet : sheets) {
        const double fin = std::sqrt(sheet.conductivity_w_per_m_k * sheet.thickness_m * bake::kSeamFilmWPerM2K);
        resistance += 1.0 / ((sheet.runs_on_both_sides ? 2.0 : 1.0) * fin);
    }
    return length_m / resistance;
}

}  // namespace

bool is_by_piece(Seam seam) noexcept {
    return seam == Seam::bolted || seam == Seam::hinged || seam == Seam::rubber_mounted || seam == Seam::clipped;
}

std::vector<Seam> all_seams() {
    std::vector<Seam> seams;
    for (const SeamFacts& facts : kSeams) seams.push_back(facts.seam);
    return seams;
}

std::string_view words_for(Seam seam) noexcept {
    for (const SeamFacts& facts : kSeams)
        if (facts.seam == seam) return facts.words;
    return {};
}

SeamPath path_along(Seam seam, double length_m, const std::vector<SeamSheet>& sheets) {
    ensure(!is_by_piece(seam) && seam != Seam::not_touching, "a heat path along a seam is of one that has a length");
    ensure(!sheets.empty(), "at least one sheet ends at a seam");
    const SeamFacts& facts = facts_of(seam);
    return {{along_w_per_k(facts.number.high, length_m, sheets), along_w_per_k(facts.number.value, length_m, sheets),
             along_w_per_k(facts.number.low, length_m, sheets)},
            fmt::format("{}, {} m; {}", facts.words, shown(length_m), facts.source)};
}

SeamPath path_through(Seam seam, double count) {
    ensure(is_by_piece(seam), "a heat path through pieces is of a seam that has them");
    const SeamFacts& facts = facts_of(seam);
    return {{count * facts.number.low, count * facts.number.value, count * facts.number.high},
            fmt::format("{} {}; {}", shown(count), facts.words, facts.source)};
}

Seam heard_seam(std::string_view text) {
    const std::string plain = plain_words(text);
    const SeamFacts* longest = nullptr;
    std::size_t length = 0;
    for (const SeamFacts& facts : kSeams)
        for (const std::string_view word : facts.heard) {
            const std::size_t at = word.empty() ? std::string::npos : (" " + plain).find(" " + std::string(word));
            if (at != std::string::npos && word.size() >= length) {
                longest = &facts;
                length = word.size();
            }
        }
    if (longest != nullptr) return longest->seam;
    throw NotUnderstood(
        fmt::format("How is '{}' held? Write welded, spots, rivets, glued, tape, bolted, hinged or loose.", text));
}

}  // namespace bakewright::builder
