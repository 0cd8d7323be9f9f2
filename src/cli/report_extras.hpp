#pragma once

#include <optional>
#include <string>

#include "bakewright/plan/ensemble.hpp"
#include "bakewright/report/html.hpp"
#include "options.hpp"
#include "stored_bake.hpp"

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

/// Within which 90 % of the members of the model lie, for every trace of the prediction that has such a band.
void put_bands(report::ReportInput& input, const plan::EnsemblePrediction& ensemble);

/// What the shell's items and coats have had over every bake of the history in which this bake stands; nothing where it stands in
/// none.
void put_history(report::ReportInput& input, book::Book& book, const ReportHalves& halves);

/// What burner and booth air did, predicted anew: the book keeps the traces alone.
void put_booth_run(report::ReportInput& input, const StoredBake& prediction);

/// Both halves in one table: "roof_skin, logged" beside "roof_skin, predicted".
[[nodiscard]] std::string report_csv(const report::ReportInput& input);

/// `report --shell`.
int report_shell(const Options& options);

}  // namespace bakewright::cli
