// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "bakewright/report/html.hpp"

/// Invented data for the tests of this area: Larch County's mobile library van, one bake, predicted and logged.
namespace sample {

/// A trace that rises from 20 degC towards `plateau_c` with a time constant, sampled every interval for the given time.
[[nodiscard]] bakewright::Trace rising_trace(const std::string& name, bakewright::TraceRole role, double plateau_c,
                                             double time_constant_s, double interval_s = 10.0, double end_s = 5400.0);

[[nodiscard]] bakewright::TraceSet predicted();
/// The same names, measured every 7 s, with ripple, one gap and one spike.
[[nodiscard]] bakewright::TraceSet logged();
[[nodiscard]] std::vector<bakewright::bake::ResolvedStage> stages();
[[nodiscard]] bakewright::cure::Coating coating();
/// A verdict with each word in it.
[[nodiscard]] bakewright::cure::BakeVerdict verdict();
[[nodiscard]] bakewright::tune::Comparison comparison();
/// Of its channels: the sill does not agree, the roof does.
[[nodiscard]] bakewright::tune::Agreement agreement();
[[nodiscard]] bakewright::bake::Prediction prediction();
/// Its zones, without layers: for its drawing alone.
[[nodiscard]] bakewright::bake::Shell shell();
[[nodiscard]] bakewright::report::ReportInput report();

}  // namespace sample
