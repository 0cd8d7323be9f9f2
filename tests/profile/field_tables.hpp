// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <string_view>

/// The tables of docs/profiles.md, made from the fields of the records.
namespace field_tables {

/// A page with every table between "<!-- fields: NAME -->" and "<!-- end of fields -->" as the records have it.
/// @throws std::invalid_argument for a name that no table has, or a table without end
[[nodiscard]] std::string with_tables(std::string_view page);

}  // namespace field_tables
