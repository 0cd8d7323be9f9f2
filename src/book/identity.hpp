// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string_view>

namespace bakewright::book {

class Connection;

/// Gives every history of a book that knew vehicles by their names alone a vehicle. Copies of one book name theirs alike.
void name_vehicles(Connection& connection);

/// The vehicle whose history goes by this name; a new one where there is none yet. Inside the transaction that enters something.
void ensure_vehicle(Connection& connection, std::string_view shell);

}  // namespace bakewright::book
