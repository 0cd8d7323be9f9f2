// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "bakewright/cure/judge.hpp"
#include "bakewright/services/certainty.hpp"
#include "bakewright/services/shell_history.hpp"
#include "bakewright/services/stored_bake.hpp"
#include "options.hpp"
#include "output.hpp"

namespace bakewright::cli {

/// The coating named by --coating, else the one kept with the bake. @throws InputError where there is neither
[[nodiscard]] cure::Coating coating_for(const Options& options, const services::StoredBake& bake);

/// Adds --probe, --uncertainty and --members.
void describe_uncertainty(Options& options);

/// What these options say. @param progress  must outlive the use of the answer
/// @param book  whose record of the booth counts
[[nodiscard]] services::CertaintyOptions certainty_options(const Options& options, ProgressLine& progress, book::Book& book);

/// services::judged() and add_certainty() with what --probe, --uncertainty, --members and the like say, and a line of progress.
[[nodiscard]] services::Judged judged(const services::StoredBake& bake, const cure::Coating& coating, const Options& options,
                                      book::Book& book, const std::optional<profile::ShellProfile>& shell);

}  // namespace bakewright::cli
