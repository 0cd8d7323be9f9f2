// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "bakewright/cure/coating.hpp"
#include "bakewright/report/trust_text.hpp"
#include "bakewright/services/live.hpp"
#include "bakewright/services/stored_bake.hpp"

/// What was said at mid-hold, held against what came.
namespace bakewright::services {

/// Each coated zone that was given a minute and was not good yet when it was said, with what came by the estimate of the whole
/// log; a zone that was never good after it is left out. Empty where the log cannot be estimated.
[[nodiscard]] std::vector<report::CheckedMinute> minutes_against(const SaidAtMidHold& said, const StoredBake& finished,
                                                                 const cure::Coating& coating);

/// The same in plain sentences.
[[nodiscard]] std::vector<std::string> said_against_came(const SaidAtMidHold& said, const StoredBake& finished,
                                                         const cure::Coating& coating);

/// What a live forecast says of a finished log that it is shown up to the middle of its last hold: of any log, whether it was
/// followed live or carried over afterwards. Nothing where the log shows no hold, or nothing could be foretold.
[[nodiscard]] std::optional<SaidAtMidHold> foretold_at_mid_hold(const StoredBake& finished, LiveOptions options);

}  // namespace bakewright::services
