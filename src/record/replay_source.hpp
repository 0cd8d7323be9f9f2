// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "bakewright/record/source.hpp"

namespace bakewright::record {

/// A stored log as if it came now, at the speed of the recording's clock. It waits for room, and so loses nothing.
[[nodiscard]] std::unique_ptr<Source> make_replay_source(const probe::SourceRecord& record, TraceSet log);

}  // namespace bakewright::record
