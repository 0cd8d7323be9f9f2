#pragma once

#include <optional>
#include <string>

#include "bakewright/plan/ensemble.hpp"
#include "bakewright/report/html.hpp"
#include "bakewright/shop/stored_bake.hpp"
#include "options.hpp"

/// What a report shows beside the bake itself.
namespace bakewright::cli {

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
void put_history(report::ReportInput& input, book::Book& book, const ReportHalves& halves);

/// What burner and booth air did, predicted anew: the book keeps the traces alone.
void put_booth_run(report::ReportInput& input, const StoredBake& prediction);

/// All of these, for a bake and its other half.
void put_extras(report::ReportInput& input, book::Book& book, const StoredBake& bake, const std::optional<StoredBake>& other);

/// Both halves in one table: "roof_skin, logged" beside "roof_skin, predicted".
[[nodiscard]] std::string report_csv(const report::ReportInput& input);

/// `report --shell`.
int report_shell(const Options& options);

}  // namespace bakewright::cli
