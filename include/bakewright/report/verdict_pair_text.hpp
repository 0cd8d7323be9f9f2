#pragma once

#include <string>

#include "bakewright/cure/verdict.hpp"
#include "bakewright/report/table.hpp"
#include "bakewright/report/text.hpp"

namespace bakewright::report {

/// The words of a prediction and its log side by side, zone by zone and item by item, with how sure each is, dose and peak. Where
/// the words differ the row is marked; what only one of them has is "n/a" on the other side.
[[nodiscard]] Table verdict_pair_table(const cure::BakeVerdict& predicted, const cure::BakeVerdict& logged, const Units& units);
[[nodiscard]] std::string verdict_pair_text(const cure::BakeVerdict& predicted, const cure::BakeVerdict& logged,
                                            const TextOptions& options);

}  // namespace bakewright::report
