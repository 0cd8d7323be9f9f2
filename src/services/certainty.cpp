// SPDX-License-Identifier: Apache-2.0
#include "bakewright/services/certainty.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

#include "bakewright/bake/cold_places.hpp"
#include "bakewright/bake/uncertainty.hpp"
#include "bakewright/base/error.hpp"
#include "bakewright/cure/judge_history.hpp"
#include "bakewright/plan/ensemble.hpp"
#include "bakewright/probe/probe_record.hpp"
#include "bakewright/probe/tolerance.hpp"
#include "bakewright/services/estimated.hpp"
#include "bakewright/services/hand_notes.hpp"
#include "bakewright/services/stored_bake.hpp"
#include "bakewright/services/track_record.hpp"

namespace bakewright::services {

namespace {

/// Where the tolerance of a class is read: schedules of this trade lie around 60 degC, where every class is flat.
constexpr double kReadAtK = celsius_to_kelvin(60.0);
constexpr double kPredictionStandardK = 1.5;
constexpr double kLeastK = 0.01;
constexpr double kCoverage = 2.0;  // as certificates state it: about 95 %

}  // namespace

cure::TemperatureUncertainty probes_of_class(const std::string& text, const std::string& option) {
    const std::size_t comma = text.find(',');
    const std::string letter = text.substr(0, comma);
    const std::size_t word = comma == std::string::npos ? comma : text.find_first_not_of(' ', comma + 1);
    const auto type = value_of_word<probe::ThermocoupleType>(letter);
    const auto tolerance = word == std::string::npos ? std::nullopt : value_of_word<probe::ToleranceClass>(text.substr(word));
    if (!type || !tolerance)
        refuse_option(
            option,
            fmt::format("'{}' is not a thermocouple type and class, such as \"K, IEC 2\" or \"T, ASTM special\"; the classes are "
                        "IEC 1, IEC 2, IEC 3, ASTM standard, ASTM special",
                        text));
    const auto limit_k = probe::tolerance_k(*type, *tolerance, kReadAtK);
    if (!limit_k)
        refuse_option(option, fmt::format("{} has no tolerance for type {} at 60 °C", word_of(*tolerance), word_of(*type)));
    return {probe::standard_uncertainty_k(*limit_k),
            fmt::format("thermocouples of type {}, {}, tolerance {:.1f} K", word_of(*type), word_of(*tolerance), *limit_k)};
}

cure::TemperatureUncertainty usual_probes() {
    cure::TemperatureUncertainty usual = probes_of_class("K, IEC 2", "--probe");
    usual.origin += " (common practice; --probe says otherwise)";
    return usual;
}

double probe_standard_k(const StoredBake& bake, const std::string& trace) {
    if (const auto by_hand = bake.hand_standard_k.find(trace); by_hand != bake.hand_standard_k.end()) return by_hand->second;
    const probe::ProbeRecord* record = bake.probes ? bake.probes->find(trace) : nullptr;
    const auto known_k = record == nullptr ? std::nullopt : record->standard_uncertainty_k(kReadAtK);
    return std::max(known_k.value_or(usual_probes().standard_k), kLeastK);
}

double probe_tolerance_k(const StoredBake& bake, const std::string& trace) {
    const probe::ProbeRecord* record = bake.probes ? bake.probes->find(trace) : nullptr;
    const double standard_k = probe_standard_k(bake, trace);
    const bool is_calibrated = record != nullptr && record->calibration;
    return is_calibrated ? kCoverage * standard_k : probe::tolerance_of_standard_k(standard_k);
}

std::string recorded_probes_origin(const StoredBake& bake) {
    double smallest_k = std::numeric_limits<double>::infinity(), largest_k = kLeastK, largest_share = 0.0;
    for (const Trace& trace : bake.traces.traces) {
        if (trace.role == TraceRole::unmapped || trace.role == TraceRole::booth_wall) continue;
        const double standard_k = probe_standard_k(bake, trace.name);
        smallest_k = std::min(smallest_k, standard_k);
        largest_k = std::max(largest_k, standard_k);
        const probe::ProbeRecord* record = bake.probes->find(trace.name);
        if (record != nullptr) largest_share = std::max(largest_share, record->air_share);
    }
    std::string origin = fmt::format("the records of the log's probes, '{}', ", bake.probes->title);
    if (smallest_k < largest_k - 0.005)
        origin += fmt::format("each with its own standard uncertainty, {:.2f} to {:.2f} K", smallest_k, largest_k);
    else
        origin += fmt::format("standard uncertainty {:.2f} K", largest_k);
    if (largest_share > 0.0)
        origin += fmt::format("; surface probes are taken to read up to {:.0f} % of the way to the air, on the unsafe side",
                              100.0 * largest_share);
    return origin;
}

cure::TemperatureUncertainty usual_model() {
    return {kPredictionStandardK, "a prediction driven by a log's air, good to about 3 K (common practice)"};
}

std::optional<plan::EnsemblePrediction> ensemble_of(const StoredBake& bake, const cure::Coating& coating,
                                                    const CertaintyOptions& how) {
    if (bake.record.kind != book::BakeKind::predicted || !bake.shell || !bake.booth || !bake.cycle) return std::nullopt;
    plan::EnsemblePredictOptions asked;
    asked.member_count = how.member_count;
    asked.predict = predict_options_from(bake.record.options_json);
    asked.progress = how.progress;
    bake::Booth booth = *bake.booth;
    if (how.book != nullptr) booth.record = booth_record(*how.book, booth.id, bake.record.id);
    auto ensemble = plan::predict_ensemble(bake.shell->shell, booth, *bake.cycle, coating, bake.item_limits(), asked);
    if (!ensemble.is_complete) throw FileError("judging was interrupted");
    return ensemble;
}

namespace {

/// How wide predictions of a history are, made when one is asked for.
class PredictionWidths {
public:
    PredictionWidths(const LoadedHistory& loaded, const CertaintyOptions& how) : loaded_(loaded), how_(how) {}

    double standard_k(std::size_t bake, const std::string& name) {
        if (!widths_.contains(bake)) widths_.emplace(bake, widths_of(bake));
        const auto& widths = widths_.at(bake);
        const auto at = widths.find(name);
        any_usual_ = any_usual_ || at == widths.end();
        return at == widths.end() ? usual_model().standard_k : std::max(at->second, kLeastK);
    }
    [[nodiscard]] std::vector<std::string> origins() const {
        std::vector<std::string> found = origins_;
        if (any_usual_) found.push_back(usual_model().origin);
        return found;
    }

private:
    static constexpr double kLeastK = 0.01;

    [[nodiscard]] std::map<std::string, double> widths_of(std::size_t index) {
        const cure::HistoryBake& bake = loaded_.history.bakes[index];
        const auto half = std::find_if(loaded_.halves.begin(), loaded_.halves.end(),
                                       [&](const auto& one) { return &one->traces == bake.prediction; });
        std::map<std::string, double> widths;
        if (half == loaded_.halves.end() || loaded_.history.coats.empty()) return widths;
        // The widths of temperatures do not hang on the coating.
        const auto ensemble = ensemble_of(**half, loaded_.history.coats.front().coating, how_);
        if (!ensemble) return widths;
        const std::string origin = plan::ensemble_origin(*ensemble);
        if (std::find(origins_.begin(), origins_.end(), origin) == origins_.end()) origins_.push_back(origin);
        for (const plan::ZoneChances& zone : ensemble->zones) widths[zone.zone] = zone.band.plateau_standard_k();
        for (const plan::ItemChances& item : ensemble->items) widths[item.item] = item.band.plateau_standard_k();
        return widths;
    }

    const LoadedHistory& loaded_;
    const CertaintyOptions& how_;
    std::map<std::size_t, std::map<std::string, double>> widths_;
    std::vector<std::string> origins_;
    bool any_usual_ = false;
};

const StoredBake* log_of(const LoadedHistory& loaded, const cure::HistoryBake& bake) {
    for (const auto& half : loaded.halves)
        if (&half->traces == bake.log) return half.get();
    return nullptr;
}

/// Mean error of a surface probe on its unsafe side over a bake [K].
double mean_attachment_error_k(const StoredBake& bake, const std::string& name) {
    const Trace* read = bake.traces.find(name);
    if (read == nullptr) return 0.0;
    const TraceSet unsafe = probe::unsafe_readings(bake.traces, *bake.probes);
    const Trace& other = *unsafe.find(name);
    double sum_k = 0.0, count = 0.0;
    for (std::size_t i = 0; i < read->size(); ++i) {
        if (!read->usable(i)) continue;
        sum_k += std::abs(other.temperature_k[i] - read->temperature_k[i]);
        count += 1.0;
    }
    return count > 0.0 ? sum_k / count : 0.0;
}

/// Over a history bakes add up, so the attachment's error stands beside the probe's as one that may be anything up to its mean.
double logged_standard_k(const LoadedHistory& loaded, std::size_t bake, const std::string& name) {
    const StoredBake* log = log_of(loaded, loaded.history.bakes[bake]);
    if (log == nullptr) return usual_probes().standard_k;
    if (const auto widths = loaded.estimated_standard_k.find(log->record.id); widths != loaded.estimated_standard_k.end())
        if (const auto at = widths->second.find(name); at != widths->second.end()) return std::max(at->second, kLeastK);
    if (!log->probes) return probe_standard_k(*log, name);
    return std::hypot(probe_standard_k(*log, name), probe::standard_uncertainty_k(mean_attachment_error_k(*log, name)));
}

std::string log_origin(const LoadedHistory& loaded) {
    bool any = false, all = true, all_estimated = true;
    for (const cure::HistoryBake& bake : loaded.history.bakes) {
        const StoredBake* log = log_of(loaded, bake);
        if (log == nullptr) continue;
        if (loaded.estimated_standard_k.contains(log->record.id)) continue;
        all_estimated = false;
        any = any || log->probes;
        all = all && log->probes;
    }
    if (all_estimated) return "the model of the shell held to the probes of each log";
    if (!any) return usual_probes().origin;
    return all ? "the records of the logs' probes"
               : "the records of the logs' probes; where a log has none, " + usual_probes().origin;
}

}  // namespace

namespace {

std::string by_hand_origin(const StoredBake& bake) {
    return bake.hand_standard_k.empty() ? "" : "; readings taken by hand as uncertain as was noted with them";
}

}  // namespace

cure::BakeVerdict judge(const StoredBake& bake, const cure::Coating& coating) {
    cure::BakeVerdict verdict = cure::judge_bake(bake.traces, coating, bake.item_limits(), bake.coated_places());
    std::vector<report::HandRow> rows = hand_rows(bake, &coating, &verdict);
    // What was found soft stands in the verdict of its zone.
    std::erase_if(rows, [](const report::HandRow& row) { return row.note.found && row.word; });
    const std::vector<std::string> by_hand = report::hand_questions(rows, Units{});
    cure::put_film_tests(verdict, film_tests(bake));
    verdict.questions.insert(verdict.questions.begin(), by_hand.begin(), by_hand.end());
    verdict.questions.insert(verdict.questions.begin(), bake.doubts.begin(), bake.doubts.end());
    for (const std::string& left_out : bake.left_out) verdict.remarks.emplace_back(left_out);
    if (const std::string condensed = bake.condensed_text(); !condensed.empty()) verdict.remarks.emplace_back(condensed);
    return verdict;
}

namespace {

bool tells_soft(const cure::ShellVerdict& verdict, const std::string& zone) {
    return std::any_of(verdict.coats.begin(), verdict.coats.end(),
                       [&](const cure::CoatVerdict& coat) { return coat.total.zone == zone && coat.total.found_soft; });
}

}  // namespace

cure::ShellVerdict judge(const LoadedHistory& loaded) {
    cure::ShellVerdict verdict = cure::judge_history(loaded.history);
    const auto add = [&](const std::string& question) {
        if (std::find(verdict.questions.begin(), verdict.questions.end(), question) == verdict.questions.end())
            verdict.questions.push_back(question);
    };
    for (const auto& half : loaded.halves) {
        for (const std::string& doubt : half->doubts) add(doubt);
        const std::string bake = fmt::format("bake {}", static_cast<std::int64_t>(half->record.id));
        std::vector<report::HandRow> rows = hand_rows(*half);
        std::erase_if(rows, [&](const report::HandRow& row) { return row.note.found && tells_soft(verdict, row.note.zone); });
        for (const std::string& question : report::hand_questions(rows, Units{})) add(bake + ": " + question);
    }
    for (const std::string& damage : loaded.damage) add(damage);
    return verdict;
}

std::optional<plan::EnsemblePrediction> add_certainty(cure::BakeVerdict& verdict, const StoredBake& bake,
                                                      const cure::Coating& coating, const CertaintyOptions& how) {
    if (how.given) {
        cure::add_certainty(verdict, bake.traces, coating, *how.given);
        return std::nullopt;
    }
    auto ensemble = ensemble_of(bake, coating, how);
    if (!ensemble) ensemble = replay_ensemble(bake, coating, how);
    if (ensemble) {
        plan::add_certainty(verdict, *ensemble, plan::ensemble_origin(*ensemble));
        return ensemble;
    }
    const bool logged = bake.record.kind == book::BakeKind::logged;
    const auto own_k = [&](const std::string& trace) { return probe_standard_k(bake, trace); };
    if (logged && bake.probes)
        cure::add_certainty(verdict, probe::unsafe_readings(bake.traces, *bake.probes), coating, own_k,
                            recorded_probes_origin(bake) + by_hand_origin(bake));
    else if (logged && !bake.hand_standard_k.empty())
        cure::add_certainty(verdict, bake.traces, coating, own_k, usual_probes().origin + by_hand_origin(bake));
    else
        cure::add_certainty(verdict, bake.traces, coating, logged ? usual_probes() : usual_model());
    return std::nullopt;
}

void add_certainty(cure::ShellVerdict& verdict, const LoadedHistory& loaded, const CertaintyOptions& how) {
    const auto& asked = how.given;
    PredictionWidths widths(loaded, how);
    bool any_log = false;
    const auto standard_k = [&](std::size_t bake, cure::TraceSource source, const std::string& name) {
        if (source == cure::TraceSource::prediction) return widths.standard_k(bake, name);
        any_log = true;
        return asked ? asked->standard_k : logged_standard_k(loaded, bake, name);
    };
    cure::add_certainty(verdict, loaded.history, standard_k, {});
    verdict.uncertainty_origins = widths.origins();
    if (any_log)
        verdict.uncertainty_origins.insert(verdict.uncertainty_origins.begin(), asked ? asked->origin : log_origin(loaded));
}

namespace {

/// Only temperatures are asked of the ensemble, so any coating will do.
cure::Coating any_coating() {
    cure::Coating coating;
    coating.id = "any";
    coating.basis = cure::ScheduleBasis::part;
    coating.schedule = {{celsius_to_kelvin(60.0), 1800.0, {}}};
    return coating;
}

const plan::TemperatureBand* band_in(const plan::EnsemblePrediction* ensemble, const std::string& name) {
    if (ensemble == nullptr) return nullptr;
    for (const plan::ZoneChances& zone : ensemble->zones)
        if (zone.zone == name) return &zone.band;
    for (const plan::ItemChances& item : ensemble->items)
        if (item.item == name) return &item.band;
    return nullptr;
}

void allow_band(tune::ChannelAllowance& allowance, const Trace& predicted, const std::vector<double>& time_s,
                const plan::TemperatureBand& band) {
    for (std::size_t i = 0; i < time_s.size(); ++i) {
        const double predicted_k = temperature_at_k(predicted, time_s[i]);
        const double middle_k = std::isfinite(predicted_k) ? predicted_k : band.median_k[i];
        allowance.time_s.push_back(time_s[i]);
        allowance.below_k.push_back(std::max(0.0, middle_k - band.low_k[i]));
        allowance.above_k.push_back(std::max(0.0, band.high_k[i] - middle_k));
    }
}

void allow_usual(tune::ChannelAllowance& allowance, const Trace& predicted) {
    const double spread_k = bake::kDeviationsTo95 * usual_model().standard_k;
    allowance.time_s = {predicted.time_s.front()};
    allowance.below_k = allowance.above_k = {spread_k};
}

std::string probes_origin(const StoredBake& logged, const CertaintyOptions& how) {
    if (how.given) return how.given->origin;
    return logged.probes ? recorded_probes_origin(logged) : usual_probes().origin;
}

}  // namespace

tune::Agreement agreement(const StoredBake& predicted, const StoredBake& logged, const plan::EnsemblePrediction* ensemble,
                          const CertaintyOptions& how) {
    std::optional<plan::EnsemblePrediction> made;
    if (ensemble == nullptr) made = ensemble_of(predicted, any_coating(), how);
    if (made) ensemble = &*made;
    std::optional<TraceSet> unsafe;
    if (logged.probes) unsafe = probe::unsafe_readings(logged.traces, *logged.probes);
    tune::Agreement out;
    bool any_band = false, any_usual = false;
    for (const Trace& trace : predicted.traces.traces) {
        const Trace* log = logged.traces.find(trace.name);
        if (log == nullptr || trace.size() < 2) continue;
        tune::ChannelAllowance allowance;
        allowance.probe_k =
            how.given ? probe::tolerance_of_standard_k(how.given->standard_k) : probe_tolerance_k(logged, trace.name);
        if (unsafe) allowance.unsafe = *unsafe->find(trace.name);
        const plan::TemperatureBand* band = band_in(ensemble, trace.name);
        if (band != nullptr)
            allow_band(allowance, trace, ensemble->time_s, *band);
        else
            allow_usual(allowance, trace);
        const auto found = tune::channel_agreement(trace, *log, allowance);
        if (!found) continue;
        out.channels.push_back(*found);
        (band != nullptr ? any_band : any_usual) = true;
    }
    std::stable_sort(out.channels.begin(), out.channels.end(),
                     [](const auto& a, const auto& b) { return a.share_inside() < b.share_inside(); });
    out.probes_origin = probes_origin(logged, how);
    if (any_band) out.model_origin = plan::ensemble_origin(*ensemble);
    if (any_usual) out.model_origin += (any_band ? "; for channels that it has not, " : "") + usual_model().origin;
    return out;
}

}  // namespace bakewright::services
