#pragma once

#include "bakewright/cure/coating.hpp"
#include "bakewright/cure/verdict.hpp"

namespace bakewright::cure {

/// A stay this little short is long enough: crossings round.
inline constexpr double kStayRoundingS = 1e-6;

/// To "is it cured" and "was it too much".
enum class Answer { no, maybe, yes };

/// Whether the coating itself says how strongly its cure depends on temperature: by a number of its own or by two printed rows.
[[nodiscard]] inline bool tells_activation_energy(const Coating& coating) {
    return coating.activation_energy || coating.schedule.size() >= 2;
}

[[nodiscard]] inline Word word_of(Answer cure, Answer over) {
    if (over == Answer::yes) return Word::over;
    if (cure == Answer::no) return Word::under;
    return cure == Answer::maybe || over == Answer::maybe ? Word::check : Word::good;
}

}  // namespace bakewright::cure
