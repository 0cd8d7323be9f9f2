// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <span>

#include "connection.hpp"
#include "schema.hpp"

namespace bakewright::book {

/// Takes the file through every migration it has not had, each in a transaction of its own that also sets user_version and
/// checks foreign keys; a failed one leaves the version before it. A new book is made whole or not at all. Safe while another
/// program does the same.
/// @throws BookError
void migrate(Connection& connection, std::span<const Migration> migrations);

}  // namespace bakewright::book
