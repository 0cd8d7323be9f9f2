// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <string_view>

#include "bakewright/book/ids.hpp"

namespace bakewright::book {

class Connection;

/// Under which uid what a bake is now will stand when it is read again: of its uid and its rows, so that two books that read the
/// same reading again set the same one aside.
[[nodiscard]] std::string uid_of_reading(Connection& connection, BakeId bake);

/// Makes what a bake is now a bake of its own that is marked as replaced: documents, logs and traces go over to it. Inside a
/// transaction, after about_to_change().
/// @return its number
BakeId set_reading_aside(Connection& connection, BakeId bake, std::string_view who, std::string_view why);

}  // namespace bakewright::book
