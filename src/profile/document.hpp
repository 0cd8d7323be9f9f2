// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <toml++/toml.h>

#include <optional>
#include <string_view>

#include "collector.hpp"

namespace bakewright::profile {

/// Parses TOML and fills the collector's line index. Nothing where the text is no TOML at all; the collector then knows why.
[[nodiscard]] std::optional<toml::table> parse_document(std::string_view text, Collector& collector);

}  // namespace bakewright::profile
