#include "verdict_words.hpp"

#include "bakewright/report/tables.hpp"

namespace bakewright::page {

Json verdict_words(const cure::BakeVerdict& by_name, const report::Titles& titles, const Units& units) {
    const cure::BakeVerdict verdict = report::titled(by_name, titles);
    return {{"worst", report::worst_place_sentence(verdict, units)}, {"warnings", report::warning_sentences(verdict, units)},
            {"questions", report::question_sentences(verdict)},      {"certainty", report::certainty_sentences(verdict, units)},
            {"assumed", report::verdict_sentences(verdict)},         {"zones", json_of(report::verdict_table(verdict, units))},
            {"items", json_of(report::item_table(verdict, units))}};
}

}  // namespace bakewright::page
