// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <vector>

#include "aggregate.hpp"
#include "bakewright/book/verify.hpp"

namespace bakewright::book {

/// verify() of some aggregates alone, and of the journal; what else the file holds is left unread.
[[nodiscard]] VerifyReport verify_part(Book& book, const std::vector<Aggregate>& part, const Progress& progress = {});

}  // namespace bakewright::book
