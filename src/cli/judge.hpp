#pragma once

#include "bakewright/cure/judge.hpp"
#include "bakewright/shop/certainty.hpp"
#include "bakewright/shop/shell_history.hpp"
#include "bakewright/shop/stored_bake.hpp"
#include "options.hpp"
#include "output.hpp"

namespace bakewright::cli {

/// The coating named by --coating, else the one kept with the bake. @throws InputError where there is neither
[[nodiscard]] cure::Coating coating_for(const Options& options, const StoredBake& bake);

/// Adds --probe, --uncertainty and --members.
void describe_uncertainty(Options& options);

/// What these options say. @param progress  must outlive the use of the answer
[[nodiscard]] shop::CertaintyOptions certainty_options(const Options& options, ProgressLine& progress);

/// shop::add_certainty() with what --probe, --uncertainty and --members say, and a line of progress.
void add_certainty(cure::BakeVerdict& verdict, const StoredBake& bake, const cure::Coating& coating, const Options& options);
void add_certainty(cure::ShellVerdict& verdict, const LoadedHistory& loaded, const Options& options);

}  // namespace bakewright::cli
