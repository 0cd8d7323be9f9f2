#include "bakewright/shop/bake_report.hpp"

#include <fmt/core.h>

#include "bakewright/book/bake_repository.hpp"
#include "bakewright/shop/agreement.hpp"
#include "bakewright/tune/compare.hpp"
#include "report_context.hpp"

namespace bakewright::shop {
namespace {

/// One that both halves were made from stands once, under both.
void add_document(report::ReportInput& input, const std::string& label, const std::string& document, const std::string& hash) {
    for (report::Provenance& known : input.provenance)
        if (known.value == hash && known.subject.ends_with(document)) {
            known.subject.insert(known.subject.size() - document.size(), ", " + label);
            return;
        }
    input.provenance.push_back({label + document, hash});
}

void add_provenance(report::ReportInput& input, const StoredBake& bake) {
    const std::string label =
        fmt::format("bake {} ({})", static_cast<std::int64_t>(bake.record.id), book::bake_kind_name(bake.record.kind));
    input.provenance.push_back({label, fmt::format("uid {}, kept {} by bakewright {}", bake.record.uid, bake.record.created_at,
                                                   bake.record.program_version)});
    for (const book::DocumentSummary& document : bake.record.documents)
        add_document(input, label, fmt::format(": {} {}", document.kind, document.name), "sha256 " + document.sha256);
    for (const book::BakeLog& log : bake.record.logs)
        input.provenance.push_back({fmt::format("{}: log {}", label, log.original_name), "sha256 " + log.sha256});
}

void add_sources(report::ReportInput& input, const std::string& subject, const std::map<std::string, std::string>& sources) {
    for (const auto& [key, source] : sources) input.assumptions.push_back({subject, key, source});
}

std::string first_title(const std::string& one, const std::string& other) { return one.empty() ? other : one; }

/// What both halves say of shell, booth and cycle; the prediction, which was computed from them, first.
void add_records(report::ReportInput& input, const StoredBake& bake) {
    if (bake.shell)
        input.shell_title = first_title(input.shell_title, first_title(bake.shell->shell.title, bake.shell->shell.id));
    if (bake.booth) {
        if (input.booth_title.empty()) add_sources(input, "booth " + bake.booth->id, bake.booth->sources);
        input.booth_title = first_title(input.booth_title, first_title(bake.booth->title, bake.booth->id));
    }
    if (bake.cycle) {
        input.cycle_title = first_title(input.cycle_title, first_title(bake.cycle->title, bake.cycle->id));
        if (input.stages.empty() && bake.booth) input.stages = bake::resolve(*bake.cycle, *bake.booth);
    }
}

/// What both halves were baked with: the coating that was asked for, else the prediction's, else the log's.
std::optional<cure::Coating> coating_of(const ReportAsked& asked, const StoredBake* prediction, const StoredBake* log) {
    if (asked.coating) return asked.coating;
    for (const StoredBake* half : {prediction, log})
        if (half != nullptr && half->coating) return half->coating;
    return std::nullopt;
}

report::TraceBand band_of(const std::string& name, const std::vector<double>& time_s, const plan::TemperatureBand& band) {
    return {name, time_s, band.low_k, band.high_k};
}

/// Within which 90 % of the members of the model lie, for every trace of the prediction that has such a band.
void put_bands(report::ReportInput& input, const plan::EnsemblePrediction& ensemble) {
    input.bands = bands_of(ensemble);
    input.bands_origin = plan::ensemble_origin(ensemble.member_count);
    input.assumptions.push_back({"prediction bands", "90 % of the simulated bakes lie within", input.bands_origin});
}

/// @return the ensemble that a prediction's certainty was read from
std::optional<plan::EnsemblePrediction> add_verdict(report::ReportInput& input, const ReportAsked& asked, const StoredBake& half,
                                                    const StoredBake* prediction) {
    StoredBake judged = half;
    if (!judged.shell && prediction != nullptr) judged.shell = prediction->shell;
    cure::BakeVerdict verdict = judge(judged, *input.coating);
    std::optional<plan::EnsemblePrediction> ensemble;
    if (asked.certainty) ensemble = add_certainty(verdict, half, *input.coating, *asked.certainty);
    if (ensemble) put_bands(input, *ensemble);
    input.verdicts.push_back({std::string(book::bake_kind_name(half.record.kind)), std::move(verdict)});
    return ensemble;
}

void put_comparison(report::ReportInput& input, const ReportAsked& asked, const ReportHalves& halves,
                    const std::optional<plan::EnsemblePrediction>& ensemble) {
    if (halves.prediction == nullptr || halves.log == nullptr) return;
    tune::Comparison comparison = tune::compare(halves.prediction->traces, halves.log->traces);
    if (comparison.channels.empty()) return;
    input.comparison = std::move(comparison);
    if (asked.certainty)
        input.agreement = agreement(*halves.prediction, *halves.log, ensemble ? &*ensemble : nullptr, *asked.certainty);
}

}  // namespace

std::vector<report::TraceBand> bands_of(const plan::EnsemblePrediction& ensemble) {
    std::vector<report::TraceBand> bands;
    for (const plan::ZoneChances& zone : ensemble.zones) bands.push_back(band_of(zone.zone, ensemble.time_s, zone.band));
    for (const plan::ItemChances& item : ensemble.items) bands.push_back(band_of(item.item, ensemble.time_s, item.band));
    return bands;
}

std::optional<StoredBake> other_half(book::Book& book, const StoredBake& bake) {
    if (bake.record.paired_bake) return load_bake(book, *bake.record.paired_bake);
    const std::vector<book::BakeId> paired = book::BakeRepository(book).paired_with(bake.record.id);
    if (paired.empty()) return std::nullopt;
    return load_bake(book, paired.back());
}

report::ReportInput report_input(const ReportAsked& asked, book::Book& book, const StoredBake& bake,
                                 const std::optional<StoredBake>& other) {
    const bool logged = bake.record.kind == book::BakeKind::logged;
    const StoredBake* prediction = logged ? (other ? &*other : nullptr) : &bake;
    const StoredBake* log = logged ? &bake : (other ? &*other : nullptr);
    report::ReportInput input;
    input.title = asked.title.empty() ? bake.record.title : asked.title;
    input.started_at = log != nullptr ? log->record.started_at : bake.record.started_at;
    input.written_at = asked.written_at;
    input.remark = bake.record.note;
    input.units = asked.units;
    for (const StoredBake* half : {prediction, log})
        if (half != nullptr) add_records(input, *half);
    input.coating = coating_of(asked, prediction, log);
    if (input.coating) {
        input.coating_title = first_title(input.coating->title, input.coating->id);
        add_sources(input, "coating " + input.coating->id, input.coating->sources);
    }
    std::optional<plan::EnsemblePrediction> ensemble;
    for (const StoredBake* half : {log, prediction}) {
        if (half == nullptr) continue;
        if (input.coating) ensemble = add_verdict(input, asked, *half, prediction);
        add_provenance(input, *half);
    }
    const ReportHalves halves{prediction, log};
    put_pictures(input, book, halves);
    put_history(input, book, halves, asked.certainty);
    if (prediction != nullptr) put_booth_run(input, *prediction);
    if (log != nullptr) input.probes = log->probes;
    if (prediction != nullptr) input.predicted = prediction->traces;
    if (log != nullptr) input.logged = log->traces;
    put_comparison(input, asked, halves, ensemble);
    put_book(input.provenance, book);
    input.provenance.push_back({"report written by", fmt::format("bakewright {}", asked.program_version)});
    return input;
}

}  // namespace bakewright::shop
