// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>

#include "bakewright/report/json.hpp"
#include "bakewright/report/text.hpp"
#include "bakewright/tune/empty_booth.hpp"

namespace bakewright::report {

/// What the log of an empty booth told, for people: how well it is met, each number with its range before and now, what it could
/// not tell and what would.
[[nodiscard]] std::string booth_fit_text(const tune::EmptyBoothFit& fit, const TextOptions& options);

/// The same as a document, "booth-fit". @param path  of the file it was written to; empty: none
[[nodiscard]] Json document_of(const tune::EmptyBoothFit& fit, const std::string& name, const std::string& path,
                               const std::string& text);

}  // namespace bakewright::report
