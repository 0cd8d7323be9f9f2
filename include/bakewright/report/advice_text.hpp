#pragma once

#include <string>

#include "bakewright/report/json.hpp"
#include "bakewright/report/text.hpp"
#include "bakewright/tune/probe_advice.hpp"

namespace bakewright::report {

/// Where the next probes teach most, one after the other, and what each zone would teach were it the next.
[[nodiscard]] std::string advice_text(const tune::ProbeAdvice& advice, const TextOptions& options);
[[nodiscard]] Json document_of(const tune::ProbeAdvice& advice);

}  // namespace bakewright::report
