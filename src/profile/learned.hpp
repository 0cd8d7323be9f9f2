#pragma once

#include <string>

#include "bakewright/bake/learned.hpp"
#include "table_reader.hpp"

namespace bakewright::profile {

/// The keys [[learned]] and [learned_from] of a shell or a booth.
void read_learned(TableReader& reader, bake::Learned& learned);
[[nodiscard]] std::string learned_text(const bake::Learned& learned);

}  // namespace bakewright::profile
