// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>

#include "bakewright/bake/track_record.hpp"
#include "bakewright/book/book.hpp"
#include "bakewright/book/ids.hpp"
#include "bakewright/report/trust_text.hpp"
#include "bakewright/services/certainty.hpp"

namespace bakewright::services {

/// What the book says of predictions in a booth of this name: its logs that belong to a prediction from a cycle, each counted
/// once, with the prediction that it names, else the oldest that names it. A prediction is made anew with the records that were
/// kept with it. One whose shell or booth was learned from the log does not count: it knew the answer. The newest kMostLogs
/// count. What was found of a log stays in memory.
/// @param but  a bake that is asked about: its own log or prediction says nothing of how sure it was
/// @throws BookError where the list of bakes cannot be read; a bake that is damaged is left out
[[nodiscard]] bake::TrackRecord booth_record(book::Book& book, const std::string& booth, std::optional<book::BakeId> but = {});
inline constexpr std::size_t kMostLogs = 24;  ///< what is older was another booth; common practice, no source

/// Every such log of the book held against its prediction: the chances that the prediction's members gave its coated zones, which
/// the log's verdict decides (CHECK leaves one open), and whether the zones with a probe lay within what was stated of their
/// plateau. Each is stated with the record that the logs before it make, as the shop saw it.
/// @param booth  name of the booth; empty: all
/// @throws FileError where the listener stopped it
[[nodiscard]] report::ShopRecord shop_record(book::Book& book, const std::string& booth, const CertaintyOptions& how);

}  // namespace bakewright::services
