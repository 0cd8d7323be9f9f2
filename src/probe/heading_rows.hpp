// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <vector>

#include "layout.hpp"

namespace bakewright::probe {

/// A row of nothing but words for how a logger made its values: "Smp,Avg,Avg", "Max;Max". It says nothing of what was measured.
[[nodiscard]] bool is_method_row(const SampleRow& row, std::size_t width);

/// Looks whether the row above the headings is a second row of headings, and joins the two. Names are taken from the row that
/// tells the columns apart by itself: the lower one, unless its words are the logger's own labels (CH1, T2, 101) or methods (Avg)
/// and the upper row has names. Where neither row is enough, a name is both ("Body roof"), and a blank of the upper row goes on
/// with the word to its left, as spreadsheets merge cells.
/// True where the upper row was taken for headings; the layout's headings, lines and remarks are changed then.
bool take_second_heading_row(Layout& layout, const std::vector<SampleRow>& rows, std::size_t at);

/// A row of nothing but the logger's own labels or ways of averaging, behind the first column.
[[nodiscard]] bool is_label_row(const SampleRow& row);

}  // namespace bakewright::probe
