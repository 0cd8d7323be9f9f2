// SPDX-License-Identifier: Apache-2.0
#include "bakewright/bake/track_record.hpp"

#include <fmt/core.h>

namespace bakewright::bake {

double spread_scale(const std::optional<TrackRecord>& record, bool of_booth) noexcept {
    if (!record || !record->counts()) return 1.0;
    return of_booth ? record->booth_scale : record->shell_scale;
}

std::string record_text(const TrackRecord& record) {
    if (record.logs == 0) return "never yet checked against a log in this booth";
    const std::string logs = fmt::format("checked against {} log{} in this booth", record.logs, record.logs == 1 ? "" : "s");
    if (!record.counts()) return fmt::format("{}, which count from {} on", logs, TrackRecord::kFewestLogs);
    return fmt::format("{}, which make what is not known of the booth {:.1f} times as wide as assumed, of the shell {:.1f} times",
                       logs, record.booth_scale, record.shell_scale);
}

}  // namespace bakewright::bake
