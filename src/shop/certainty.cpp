#include "bakewright/shop/certainty.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "bakewright/base/error.hpp"
#include "bakewright/plan/ensemble.hpp"
#include "bakewright/probe/probe_record.hpp"
#include "bakewright/shop/predict_record.hpp"
#include "bakewright/shop/probe_uncertainty.hpp"

namespace bakewright::shop {

std::optional<plan::EnsemblePrediction> ensemble_of(const StoredBake& bake, const cure::Coating& coating,
                                                    const CertaintyOptions& how) {
    if (bake.record.kind != book::BakeKind::predicted || !bake.shell || !bake.booth || !bake.cycle) return std::nullopt;
    plan::EnsemblePredictOptions asked;
    asked.member_count = how.member_count;
    asked.predict = predict_options_from(bake.record.options_json);
    asked.progress = how.progress;
    auto ensemble = plan::predict_ensemble(bake.shell->shell, *bake.booth, *bake.cycle, coating, bake.item_limits(), asked);
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
        any_ensemble_ = any_ensemble_ || at != widths.end();
        any_usual_ = any_usual_ || at == widths.end();
        return at == widths.end() ? usual_model().standard_k : std::max(at->second, kLeastK);
    }
    [[nodiscard]] std::vector<std::string> origins() const {
        std::vector<std::string> found;
        if (any_ensemble_) found.push_back(plan::ensemble_origin(how_.member_count));
        if (any_usual_) found.push_back(usual_model().origin);
        return found;
    }

private:
    static constexpr double kLeastK = 0.01;

    [[nodiscard]] std::map<std::string, double> widths_of(std::size_t index) const {
        const cure::HistoryBake& bake = loaded_.history.bakes[index];
        const auto half = std::find_if(loaded_.halves.begin(), loaded_.halves.end(),
                                       [&](const auto& one) { return &one->traces == bake.prediction; });
        std::map<std::string, double> widths;
        if (half == loaded_.halves.end() || loaded_.history.coats.empty()) return widths;
        // The widths of temperatures do not hang on the coating.
        const auto ensemble = ensemble_of(**half, loaded_.history.coats.front().coating, how_);
        if (!ensemble) return widths;
        for (const plan::ZoneChances& zone : ensemble->zones) widths[zone.zone] = zone.band.plateau_standard_k();
        for (const plan::ItemChances& item : ensemble->items) widths[item.item] = item.band.plateau_standard_k();
        return widths;
    }

    const LoadedHistory& loaded_;
    const CertaintyOptions& how_;
    std::map<std::size_t, std::map<std::string, double>> widths_;
    bool any_ensemble_ = false, any_usual_ = false;
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
    if (log == nullptr || !log->probes) return usual_probes().standard_k;
    return std::hypot(probe_standard_k(*log, name), probe::standard_uncertainty_k(mean_attachment_error_k(*log, name)));
}

std::string log_origin(const LoadedHistory& loaded) {
    bool any = false, all = true;
    for (const cure::HistoryBake& bake : loaded.history.bakes) {
        const StoredBake* log = log_of(loaded, bake);
        if (log == nullptr) continue;
        any = any || log->probes;
        all = all && log->probes;
    }
    if (!any) return usual_probes().origin;
    return all ? "the records of the logs' probes"
               : "the records of the logs' probes; where a log has none, " + usual_probes().origin;
}

}  // namespace

cure::BakeVerdict judge(const StoredBake& bake, const cure::Coating& coating) {
    cure::BakeVerdict verdict = cure::judge_bake(bake.traces, coating, bake.item_limits(), bake.coated_zones());
    verdict.questions.insert(verdict.questions.begin(), bake.doubts.begin(), bake.doubts.end());
    return verdict;
}

std::optional<plan::EnsemblePrediction> add_certainty(cure::BakeVerdict& verdict, const StoredBake& bake,
                                                      const cure::Coating& coating, const CertaintyOptions& how) {
    if (how.given) {
        cure::add_certainty(verdict, bake.traces, coating, *how.given);
        return std::nullopt;
    }
    if (auto ensemble = ensemble_of(bake, coating, how)) {
        plan::add_certainty(verdict, *ensemble, plan::ensemble_origin(how.member_count));
        return ensemble;
    }
    const bool logged = bake.record.kind == book::BakeKind::logged;
    if (logged && bake.probes)
        cure::add_certainty(
            verdict, probe::unsafe_readings(bake.traces, *bake.probes), coating,
            [&](const std::string& trace) { return probe_standard_k(bake, trace); }, recorded_probes_origin(bake));
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

}  // namespace bakewright::shop
