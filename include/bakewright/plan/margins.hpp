#pragma once

#include <optional>
#include <string>
#include <vector>

#include "bakewright/base/trace.hpp"
#include "bakewright/cure/coating.hpp"
#include "bakewright/plan/so_far.hpp"

namespace bakewright::plan {

/// No margin is looked for beyond this [K].
inline constexpr double kWidestMarginK = 100.0;

/// Kelvin to spare of a coated zone. Below 0: so much is lacking.
struct ZoneMargin {
    std::string zone;
    double cure_k = 0.0;               ///< so much colder the whole trace could be, and the zone were still cured
    std::optional<double> too_much_k;  ///< so much hotter it could be and not be over-baked; absent where the sheet has no limit
};

/// Kelvin to spare of an item: so much hotter its whole trace could be, and no limit were passed.
struct ItemMargin {
    std::string item;
    double spare_k = 0.0;
};

/// Kelvin to spare of an earlier coat on one zone: so much hotter the trace could be, and it were not over-baked.
struct CoatMargin {
    std::string coat, zone;
    double spare_k = 0.0;
};

/// What a cycle has to spare.
struct Margins {
    std::vector<ZoneMargin> zones;  ///< in the order asked
    std::vector<ItemMargin> items;
    std::vector<CoatMargin> coats;  ///< earlier ones that have a limit

    /// The smallest of all, and whose it is. kWidestMarginK where there is nothing to be judged.
    [[nodiscard]] double smallest_k() const noexcept;
    [[nodiscard]] std::string smallest_of() const;
};

/// The margins of a bake, found within 0.01 K by bracketing roots (Boost.Math, TOMS 748): a whole trace is shifted until the
/// answer turns. A schedule that means booth air is shifted with the booth air.
/// @param zones   coated zones; a zone or item without a trace is left out
/// @param so_far  what earlier coats and items had before; null: nothing
[[nodiscard]] Margins margins(const TraceSet& traces, const cure::Coating& coating,
                              const std::vector<cure::HeatSensitiveItem>& items, const std::vector<std::string>& zones,
                              const SoFar* so_far = nullptr);

}  // namespace bakewright::plan
