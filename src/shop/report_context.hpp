#pragma once

#include "bakewright/book/book.hpp"
#include "bakewright/report/html.hpp"
#include "bakewright/shop/certainty.hpp"
#include "bakewright/shop/stored_bake.hpp"

/// What a report shows beside the bake itself.
namespace bakewright::shop {

/// The two halves of a report; at least one.
struct ReportHalves {
    const StoredBake* prediction = nullptr;
    const StoredBake* log = nullptr;
};

/// Lanes of the half that counts first, and the drawing of its shell. Lifetime limits go on from what the history of the shell
/// holds before this bake.
void put_pictures(report::ReportInput& input, book::Book& book, const ReportHalves& halves);

/// What the shell's items and coats have had over every bake of the history in which this bake stands; nothing where it stands in
/// none.
void put_history(report::ReportInput& input, book::Book& book, const ReportHalves& halves,
                 const std::optional<CertaintyOptions>& certainty);

/// The digest of the book's journal, by which the paper can be held against the book later, and what of it is damaged.
void put_book(std::vector<report::Provenance>& provenance, book::Book& book);

/// What burner and booth air did, predicted anew: the book keeps the traces alone.
void put_booth_run(report::ReportInput& input, const StoredBake& prediction);

}  // namespace bakewright::shop
