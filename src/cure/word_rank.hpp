#pragma once

#include "bakewright/cure/verdict.hpp"

namespace bakewright::cure {

/// 0 for the worst word: over, under, check, not judged, good.
[[nodiscard]] constexpr int word_rank(Word word) noexcept {
    switch (word) {
        case Word::over:
            return 0;
        case Word::under:
            return 1;
        case Word::check:
            return 2;
        case Word::not_judged:
            return 3;
        case Word::good:
            break;
    }
    return 4;
}

}  // namespace bakewright::cure
