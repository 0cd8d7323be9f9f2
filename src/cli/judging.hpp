#pragma once

#include "bakewright/cure/confidence.hpp"
#include "bakewright/cure/judge.hpp"
#include "options.hpp"
#include "stored_bake.hpp"

namespace bakewright::cli {

/// The coating named by --coating, else the one kept with the bake. @throws InputError where there is neither
[[nodiscard]] cure::Coating coating_for(const Options& options, const StoredBake& bake);

/// Adds --probe and --uncertainty.
void describe_uncertainty(Options& options);

/// How far the traces of a bake may be off: as --uncertainty or --probe says; else, for a log, a thermocouple of type K, IEC
/// class 2, and for a prediction 1.5 K. Both are common practice and named where they are used.
[[nodiscard]] cure::TemperatureUncertainty uncertainty_for(const Options& options, book::BakeKind kind);

/// Judges a stored bake with the coated zones and item limits of its shell.
[[nodiscard]] cure::BakeVerdict judge(const StoredBake& bake, const cure::Coating& coating);

}  // namespace bakewright::cli
