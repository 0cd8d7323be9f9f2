#pragma once

#include "bakewright/base/trace.hpp"
#include "bakewright/book/trace_repository.hpp"
#include "bakewright/codec/samples.hpp"

namespace bakewright::book {

/// Name, role, counts, times and temperatures of a trace; stored_bytes stays 0. The mean is of the straight lines between
/// neighbouring usable samples, weighted by time; of a single usable sample, its value.
[[nodiscard]] TraceSummary summary_of(const Trace& named, const codec::PartStatistics& whole);
/// The same of a trace held whole; it is taken in parts of kBlockSamples, so that both ways round alike.
[[nodiscard]] TraceSummary summarise(const Trace& trace);

}  // namespace bakewright::book
