// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "options.hpp"

namespace bakewright::cli {

/// book backup: a consistent copy as --out.
int back_up_book(const Options& options);
/// book merge: unites the book --from with this one, and says which histories cannot be what they say then.
int merge_books(const Options& options);
/// book export --all: every bake as CSV in the folder --out, by shell and month, with a manifest.
int export_all(const Options& options);

}  // namespace bakewright::cli
