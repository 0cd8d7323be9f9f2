// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "bakewright/record/source.hpp"

namespace bakewright::record {

/// Lines that an instrument speaks on a serial port.
[[nodiscard]] std::unique_ptr<Source> make_serial_source(const probe::SourceRecord& record, probe::ReadOptions reading);

}  // namespace bakewright::record
