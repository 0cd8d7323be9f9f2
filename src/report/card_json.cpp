#include "bakewright/cure/reason.hpp"
#include "bakewright/report/bake_card.hpp"
#include "bakewright/report/tables.hpp"
#include "card_zones.hpp"
#include "json_records.hpp"

namespace bakewright::report {

Json document_of(const BakeCard& card) {
    Json checks = Json::array();
    for (const CardCheck& check : card_checks(card))
        checks.push_back({{"at_s", check.at_s}, {"what", check.what}, {"expected", check.expected}});
    const cure::ZoneVerdict* slowest = slowest_zone(card);
    const Json fields = {{"title", card.title},
                         {"shell_title", card.shell_title},
                         {"booth_title", card.booth_title},
                         {"coating_title", card.coating.title},
                         {"started_at", card.started_at},
                         {"word", std::string(cure::word_text(card.verdict.worst()))},
                         {"reason", worst_place_sentence(card.verdict, card.units)},
                         {"questions", question_sentences(card.verdict)},
                         {"stages", json_list(card.stages)},
                         {"booth_purges_by_itself", card.booth_purges_by_itself},
                         {"slowest_zone", slowest == nullptr ? Json(nullptr) : Json(slowest->zone)},
                         {"hot_surfaces", hot_surface_sentence(card)},
                         {"after_bake", as_sentence(cure::after_bake_text(card.coating))},
                         {"taken_out", card.taken_out},
                         {"probes", card_probes(card)},
                         {"checks", std::move(checks)},
                         {"stops", card_stops(card)},
                         {"provenance", json_list(card.provenance)}};
    Json made = document("bakewright.card", std::move(fields));
    put_checklist(made, card.checklist);
    return made;
}

}  // namespace bakewright::report
