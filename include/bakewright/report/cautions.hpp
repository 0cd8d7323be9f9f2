#pragma once

#include <span>
#include <string_view>

namespace bakewright::report {

/// A caution that stands on everything a painter may take to the booth.
struct Caution {
    std::string_view subject;
    std::string_view text;
};

/// The usual cautions, in the order in which they rule. They are the same for every bake.
[[nodiscard]] std::span<const Caution> cautions() noexcept;

}  // namespace bakewright::report
