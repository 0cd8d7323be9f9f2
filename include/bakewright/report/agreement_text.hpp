#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "bakewright/report/json.hpp"
#include "bakewright/report/table.hpp"
#include "bakewright/report/text.hpp"
#include "bakewright/tune/compare.hpp"

namespace bakewright::report {

/// What stands above the table wherever it is shown.
inline constexpr std::string_view kAgreementCaption = "Within what probe and model may be off";

/// By channel: how many samples are inside, what probe, attachment and model may be off, the largest difference beyond and when.
[[nodiscard]] Table agreement_table(const tune::Agreement& agreement, const Units& units);
/// Which channels agree and which do not; what the table rests on. Empty where no channel was compared.
[[nodiscard]] std::vector<std::string> agreement_sentences(const tune::Agreement& agreement, const Units& units);
[[nodiscard]] std::string agreement_text(const tune::Agreement& agreement, const TextOptions& options);
[[nodiscard]] Json json_of(const tune::Agreement& agreement);

}  // namespace bakewright::report
