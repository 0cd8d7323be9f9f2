// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

#include "bakewright/bake/cycle.hpp"
#include "bakewright/base/format.hpp"
#include "bakewright/base/trace.hpp"
#include "bakewright/cure/coating.hpp"
#include "bakewright/cure/verdict.hpp"
#include "bakewright/plan/probe_places.hpp"
#include "bakewright/report/checklist.hpp"
#include "bakewright/report/html.hpp"
#include "bakewright/report/json.hpp"

namespace bakewright::report {

/// What goes on the booth door. What is empty is left out, but for blanks to be filled in by hand.
struct BakeCard {
    std::string title;
    std::string shell_title;
    std::string booth_title;
    std::string started_at;  ///< ISO 8601: clock times in place of times since the start; empty where not known
    cure::Coating coating;
    std::vector<bake::ResolvedStage> stages;
    TraceSet predicted;
    cure::BakeVerdict verdict;                    ///< of the prediction
    std::vector<cure::HeatSensitiveItem> items;   ///< those aboard
    std::vector<std::string> taken_out;           ///< items that must be out
    Checklist checklist;                          ///< what is not answered prints NOT CHECKED
    std::vector<plan::ProbePlace> probe_places;   ///< where probes go
    double handling_k = celsius_to_kelvin(40.0);  ///< cool enough to touch and to move; common practice
    bool booth_purges_by_itself = false;          ///< so that no stage is a purge
    std::vector<Provenance> provenance;
    Units units;
};

/// One thing to look at in a bake, and what the prediction shows then.
struct CardCheck {
    double at_s = 0.0;
    std::string what;
    std::string expected;  ///< with its unit; may be empty
};

/// What to check at which minute, in the order of time: heat on, the slowest zone at its schedule, the middle and the end of the
/// hold, the slowest zone to cool at handling temperature.
[[nodiscard]] std::vector<CardCheck> card_checks(const BakeCard& card);

/// Where the probes go.
[[nodiscard]] std::vector<std::string> card_probes(const BakeCard& card);

/// When to stop the heat and call somebody: items and coating near what they must not pass, a burner that trips, a probe that
/// stops.
[[nodiscard]] std::vector<std::string> card_stops(const BakeCard& card);

/// Why there is no card for a bake, and what would mend it: its word is UNDER or OVER. Empty: there is one.
[[nodiscard]] std::string card_refusal(const cure::BakeVerdict& verdict, const Units& units);

/// "Hot surfaces: the chassis rails are the last estimated below 40 degC, at 2:45. Test before you touch."
[[nodiscard]] std::string hot_surface_sentence(const BakeCard& card);

/// The card as one HTML page that fits one sheet of A4 or Letter in black on white, its cycle in type that is read from two
/// metres. A bake that is CHECK says so in the size of its set point. No script, nothing fetched. The same input gives the same
/// bytes.
/// @throws PromiseError where the checklist blocks, or where card_refusal() says why: then there is no card
[[nodiscard]] std::string html_card(const BakeCard& card);
/// The same as a document `bakewright.card`, as docs/json.md describes it; put_checklist() has its last fields.
[[nodiscard]] Json document_of(const BakeCard& card);

}  // namespace bakewright::report
