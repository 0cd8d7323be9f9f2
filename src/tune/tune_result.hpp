#pragma once

#include "bake_fit.hpp"
#include "bakewright/tune/tune.hpp"

namespace bakewright::tune {

/// Fills in what follows from the last fit: numbers, probes, what could not be told, warnings, the tuned records.
void add_fit(TuneResult& result, const TuneTask& task, const BakeFit& fit);

}  // namespace bakewright::tune
