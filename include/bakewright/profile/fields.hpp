// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <vector>

#include "bakewright/base/field_list.hpp"
#include "bakewright/profile/kind.hpp"

namespace bakewright::profile {

/// The fields of a kind of profile below kind, id and title, with unit, range, words, default and help: what a form asks for.
[[nodiscard]] std::vector<FieldFacts> fields_of(Kind kind);

}  // namespace bakewright::profile
