#pragma once

#include "answers.hpp"
#include "bakewright/base/format.hpp"
#include "bakewright/cure/verdict.hpp"
#include "bakewright/report/titles.hpp"

namespace bakewright::page {

/// A verdict, zones and items by their titles, in the sentences and tables that reports have: `worst`, `warnings`, `questions`,
/// `certainty`, `assumed`, `zones`, `items`.
[[nodiscard]] Json verdict_words(const cure::BakeVerdict& by_name, const report::Titles& titles, const Units& units);

}  // namespace bakewright::page
