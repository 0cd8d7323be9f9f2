#pragma once

#include <string>
#include <vector>

#include "bakewright/bake/predict.hpp"
#include "bakewright/base/format.hpp"

namespace bakewright::report {

/// What the burner and the booth's air did, as sentences: where the heat went, how long the burner was at its limits, how far the
/// air fell behind its set point. Empty for an ideal booth.
[[nodiscard]] std::vector<std::string> booth_run_sentences(const bake::Prediction& prediction, const Units& units);

}  // namespace bakewright::report
