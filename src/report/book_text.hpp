// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "bakewright/book/bake_repository.hpp"
#include "bakewright/book/journal.hpp"
#include "bakewright/book/merge.hpp"
#include "bakewright/book/trace_repository.hpp"
#include "bakewright/book/verify.hpp"
#include "bakewright/report/text.hpp"

namespace bakewright::report {

/// @param count  bakes in the whole book, to say how many are not shown
[[nodiscard]] std::string bake_list_text(const std::vector<book::BakeSummary>& bakes, std::size_t count,
                                         const TextOptions& options);
[[nodiscard]] std::string bake_text(const book::Bake& bake, const std::vector<book::TraceSummary>& traces,
                                    const TextOptions& options);
[[nodiscard]] std::string verify_text(const book::VerifyReport& report);
/// Nothing: no entry of the journal has the digest.
[[nodiscard]] std::string since_text(const std::optional<book::SinceDigest>& since);
/// What came in, and every conflict with what was kept.
[[nodiscard]] std::string merge_text(const book::MergeReport& report);

}  // namespace bakewright::report
