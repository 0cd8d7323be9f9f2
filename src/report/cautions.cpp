#include "bakewright/report/cautions.hpp"

namespace bakewright::report {
namespace {

constexpr Caution kCautions[] = {
    {"Whose word counts",
     "The coating maker's data sheet wins over every number here. The vehicle or component maker's limit wins over every limit "
     "from "
     "a library. Local code and licensed practice win over both."},
    {"What this is",
     "It plans and it records. It controls nothing, switches nothing, and proves nothing safe: not to light, not to enter, not "
     "to "
     "code. A prediction carries an error; where it crosses a limit the word is CHECK."},
    {"People", "Nobody is inside during a bake. Doors stay shut until the booth has purged and cooled."},
    {"Vapour",
     "Purge before the burner may light. A shorter flash-off or a heavier film carries more solvent into the bake. No vapour "
     "limit "
     "is computed here: ask the booth maker and the local authority, also whether this booth may be used to bake at all."},
    {"Take out first",
     "LP-gas, fuel, pressurised tanks, aerosols, fire extinguishers, batteries, airbags, gas struts and solvent rags come out of "
     "the "
     "shell before any heat."},
    {"Isocyanates",
     "Two-component urethane gives little warning by smell: supplied air for spraying. Opening early or sanding a soft film "
     "exposes "
     "people as well."},
    {"Hot surfaces", "Bare metal at bake temperature burns within seconds, and heavy frames stay hot longest."},
};

}  // namespace

std::span<const Caution> cautions() noexcept { return kCautions; }

}  // namespace bakewright::report
