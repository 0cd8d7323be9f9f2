#pragma once

#include "answers.hpp"
#include "bakewright/base/format.hpp"
#include "bakewright/cure/verdict.hpp"

namespace bakewright::page {

/// A verdict in the sentences and tables that reports have: `worst`, `warnings`, `questions`, `certainty`, `assumed`, `zones`,
/// `items`.
[[nodiscard]] Json verdict_words(const cure::BakeVerdict& verdict, const Units& units);

}  // namespace bakewright::page
