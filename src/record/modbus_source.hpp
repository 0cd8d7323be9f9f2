// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "bakewright/record/source.hpp"

namespace bakewright::record {

/// Registers of a Modbus device, by TCP or a serial line, polled at the record's interval.
[[nodiscard]] std::unique_ptr<Source> make_modbus_source(const probe::SourceRecord& record);

}  // namespace bakewright::record
