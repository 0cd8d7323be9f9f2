// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string_view>

#include "bakewright/record/source.hpp"

namespace bakewright::record {

/// Messages of a broker under the topics of the record's channels.
[[nodiscard]] std::unique_ptr<Source> make_mqtt_source(const probe::SourceRecord& record);

/// The row that a message makes of the channels of its topic; one that is not what a channel says of it is missing, and told in
/// `why`.
[[nodiscard]] SourceRow row_of_message(const probe::SourceRecord& record, std::string_view topic, std::string_view message,
                                       double arrived_s, std::string& why);

}  // namespace bakewright::record
