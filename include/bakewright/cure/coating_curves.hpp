#pragma once

#include <array>
#include <optional>

#include "bakewright/cure/required_time.hpp"
#include "bakewright/cure/rule.hpp"

namespace bakewright::cure {

/// One curve for each of the low, middle and high activation energy.
using CurveBand = std::array<RequiredTime, 3>;

/// A coating with the curves its traces are integrated along, made once for all zones. The coating must outlive it.
struct CoatingCurves {
    /// @param from  checked: problems_in(from) is empty
    explicit CoatingCurves(const Coating& from);

    const Coating& coating;
    CureWindow window;  ///< what the word rests on
    ChosenActivationEnergy chosen;
    CurveBand minimum;                 ///< above the last row as the coating says
    CurveBand most;                    ///< as minimum, its rate kept above the last row: what a hotter trace may be worth at most
    std::optional<CurveBand> maximum;  ///< goes on above the last row; nothing where no row has a maximum
};

}  // namespace bakewright::cure
