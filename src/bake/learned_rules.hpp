// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "bakewright/bake/learned.hpp"
#include "bakewright/base/fields.hpp"

namespace bakewright::bake {

/// What is wrong with learned numbers across their fields. @param of_booth  whose they are
void check_learned(FieldCheck& check, const Learned& learned, bool of_booth);

}  // namespace bakewright::bake
