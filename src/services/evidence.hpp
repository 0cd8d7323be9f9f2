// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "bakewright/book/bake_repository.hpp"
#include "bakewright/book/book.hpp"
#include "bakewright/book/ids.hpp"
#include "bakewright/services/track_record.hpp"

/// What the logs of a shop say of how large the model's own errors are: kept in the book, a document a bake, and added up.
namespace bakewright::services {

/// Keeps what a log says, in the place of what it said before: a document that bears the bake's uid and which reading of the log
/// was asked.
/// @param log_evidence  by bake::discrepancy_sizes()
void keep_evidence(book::Book& book, const book::Bake& bake, const std::vector<double>& log_evidence);

/// Sum of the logarithms over the newest kMostLogs logs of the book, by bake::discrepancy_sizes(), the largest 0; empty where
/// no log says anything. A log counts once, and not where it was read again since.
/// @param but  labels of bakes that are asked about: what they say is in their own readings
[[nodiscard]] std::vector<double> earlier_evidence(book::Book& book, const std::vector<std::string>& but);
/// The same of logs that were stored before one: what could have been heard when it was baked.
[[nodiscard]] std::vector<double> evidence_before(book::Book& book, book::BakeId log);

}  // namespace bakewright::services
