// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <optional>
#include <string>

namespace bakewright::bake {

/// What the logs of a booth's bakes say of the predictions that were made of them: how far what is not known spreads, against
/// what is assumed (Uncertainty) or was learned. Comes from a book, never from a profile.
struct TrackRecord {
    std::size_t logs = 0;      ///< that a prediction was held against
    double booth_scale = 1.0;  ///< on the spread of what is the booth's: film of a group, walls, floor, air; 1/3 to 3
    double shell_scale = 1.0;  ///< on the spread of what is the shell's: each zone's own film, thicknesses, links

    [[nodiscard]] bool counts() const noexcept { return logs >= kFewestLogs; }
    static constexpr std::size_t kFewestLogs = 3;  ///< common practice: of fewer nothing can be told

    bool operator==(const TrackRecord&) const = default;
};

/// The scale of what is the booth's, or the shell's; 1 where there is no record, or one that does not count yet.
[[nodiscard]] double spread_scale(const std::optional<TrackRecord>& record, bool of_booth) noexcept;

/// What a certainty rests on, for people: "never yet checked against a log in this booth".
[[nodiscard]] std::string record_text(const TrackRecord& record);

}  // namespace bakewright::bake
