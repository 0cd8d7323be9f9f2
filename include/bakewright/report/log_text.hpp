#pragma once

#include <string>

#include "bakewright/probe/map_channels.hpp"
#include "bakewright/probe/read_log.hpp"
#include "bakewright/report/text.hpp"

namespace bakewright::report {

/// How a log was read: the file's form, every channel with its unit and what it is mapped to, remarks and faults.
[[nodiscard]] std::string log_text(const probe::ProbeLog& log, const probe::MappingResult& mapping, const TextOptions& options);

}  // namespace bakewright::report
