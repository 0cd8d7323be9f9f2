// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstdint>

namespace bakewright::book {

/// Number of a bake in one book, as the user types it ("bake 12"). Never given a second time, not even after a removal.
enum class BakeId : std::int64_t {};
/// Number of a coat in one book. Never given a second time.
enum class CoatId : std::int64_t {};
/// Number of a stored document in one book.
enum class DocumentId : std::int64_t {};
/// Number of a stored probe file in one book.
enum class RawFileId : std::int64_t {};

}  // namespace bakewright::book
