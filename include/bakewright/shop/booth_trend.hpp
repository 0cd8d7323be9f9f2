#pragma once

#include <string>
#include <vector>

#include "bakewright/book/book.hpp"
#include "bakewright/book/ids.hpp"
#include "bakewright/tune/trend.hpp"

namespace bakewright::shop {

/// The logged bakes of a booth of this name, by the log's own record of it or that of the prediction it belongs to.
/// @param since  a date or time as shop_time_from() reads it; bakes that began before are left out; empty: none are
/// @throws InputError where the time is none; BookError
[[nodiscard]] std::vector<book::BakeId> logged_bakes_of_booth(book::Book& book, const std::string& booth,
                                                              const std::string& since);

/// What logged bakes say of their booth over time: air on the plateau against what the cycle set, bias and lag by zone group
/// against the prediction of each. A bake without a prediction is predicted from the shell, booth and cycle kept with it.
/// Bakes without a start by the clock are left out; all that is missing is told in the remarks.
/// @throws InputError for a bake that is a prediction, or where fewer than three bakes are left
[[nodiscard]] tune::BoothTrend booth_trend(book::Book& book, const std::vector<book::BakeId>& bakes);

}  // namespace bakewright::shop
