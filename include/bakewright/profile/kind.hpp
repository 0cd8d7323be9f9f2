// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string_view>
#include <vector>

namespace bakewright::profile {

/// What a profile describes. A file tells its kind by its key `kind`.
enum class Kind { material, coating, booth, shell, cycle, probes, source };

/// "material", "coating", "booth", "shell", "cycle", "probes" or "source": the word of the key `kind`.
[[nodiscard]] std::string_view kind_name(Kind kind) noexcept;
/// The folder of a library that holds profiles of a kind: "materials", "coatings", "booths", "shells", "cycles", "probes" or
/// "sources".
[[nodiscard]] std::string_view kind_folder(Kind kind) noexcept;
/// The kind of such a word; nothing for any other text.
[[nodiscard]] std::optional<Kind> kind_from_name(std::string_view name) noexcept;
[[nodiscard]] const std::vector<Kind>& all_kinds();

}  // namespace bakewright::profile
