#pragma once

namespace bakewright::plan {

/// Heat a cycle costs, from its start until the burner is off for the cool-down [J].
struct Energy {
    enum class Counts {
        burner,               ///< heat from the burner: the booth's air is solved for
        shell_walls_and_air,  ///< heat into the shell, through and into the booth's walls, and into fresh air, by the booth's own
                              ///< numbers
        shell                 ///< heat into the shell alone: the booth's profile does not tell how much fresh air it bakes with
    } counts = Counts::shell;
    double total_j = 0.0;
    double shell_j = 0.0;      ///< stored in shell, cavities and items when the burner goes off
    double walls_j = 0.0;      ///< through the walls and stored in them; 0 where not counted
    double fresh_air_j = 0.0;  ///< to warm fresh air to the booth's, and the booth's own air; 0 where not counted

    bool operator==(const Energy&) const = default;
};

}  // namespace bakewright::plan
