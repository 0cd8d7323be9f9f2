#include "bakewright/tune/tune.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <chrono>
#include <cmath>

#include "bake_fit.hpp"
#include "bakewright/base/error.hpp"
#include "suspects.hpp"
#include "tune_result.hpp"

namespace bakewright::tune {
namespace {

/// With one bake, each of so many parts in time is held out in turn.
constexpr std::size_t kParts = 4;

double root_mean_square(const std::vector<double>& all) {
    double squares = 0.0;
    for (const double one : all) squares += one * one;
    return std::sqrt(squares / static_cast<double>(all.size()));
}

void refuse_problems(const TuneTask& task, const TuneOptions& options) {
    options.prior.check();
    std::vector<Problem> found = bake::problems_in(task.shell);
    const std::vector<Problem> in_booth = bake::problems_in(task.booth);
    found.insert(found.end(), in_booth.begin(), in_booth.end());
    if (task.bakes.empty()) found.push_back({{}, 0, "bakes", "are missing: name at least one logged bake"});
    for (const std::string& name : options.held_out)
        if (std::none_of(task.bakes.begin(), task.bakes.end(), [&](const LoggedBake& bake) { return bake.name == name; }))
            found.push_back({{}, 0, "hold-out", fmt::format("'{}' is none of the bakes to tune on", name)});
    if (options.held_out.size() >= task.bakes.size() && !task.bakes.empty())
        found.push_back({{}, 0, "hold-out", "leaves no bake to tune on"});
    if (!found.empty()) throw InputError(std::move(found));
}

class Tuning {
public:
    Tuning(const TuneTask& task, const TuneOptions& options) : task_(task), options_(options), fitter_(task, options, models_) {}

    TuneResult run() {
        const auto began = std::chrono::steady_clock::now();
        for (std::size_t b = 0; b < task_.bakes.size(); ++b) models_.emplace_back(task_, b, options_);
        for (std::size_t b = 0; b < models_.size() && !options_.keeps_suspects; ++b) find_suspects(b);
        for (std::size_t b = 0; b < models_.size(); ++b) add_error(b);
        used_.assign(models_.size(), true);
        for (std::size_t b = 0; b < models_.size(); ++b) used_[b] = !is_held_out(b);
        result_.zones_kept = options_.what.contains(Tunable::zones);
        if (!hold_out()) return {};
        if (!goes_on(0.8)) return {};
        const BakeFit fit = fitted({used_, {}, result_.zones_kept});
        for (std::size_t b = 0; b < models_.size(); ++b) {
            if (used_[b])
                result_.errors[b].used_k = fitter_.rms_k(fit, b);
            else
                result_.errors[b].held_out_k = fitter_.rms_k(fit, b);
        }
        add_fit(result_, task_, fit);
        result_.is_complete = true;
        result_.compute_s = std::chrono::duration<double>(std::chrono::steady_clock::now() - began).count();
        return std::move(result_);
    }

private:
    [[nodiscard]] bool goes_on(double share) const { return !options_.progress || options_.progress(share); }
    [[nodiscard]] bool is_held_out(std::size_t b) const {
        return std::find(options_.held_out.begin(), options_.held_out.end(), task_.bakes[b].name) != options_.held_out.end();
    }

    void find_suspects(std::size_t b) {
        for (Suspect& suspect : suspects_in(task_, b, models_[b], options_)) {
            models_[b].leave_out(suspect.channel);
            if (!suspect.with.empty()) models_[b].leave_out(suspect.with);
            result_.suspects.push_back(std::move(suspect));
        }
    }

    void add_error(std::size_t b) {
        BakeError error{.bake = task_.bakes[b].name};
        error.before_k = fitter_.rms_before_k(b);
        error.channels = models_[b].channels().size();
        error.end_s = models_[b].end_s();
        double squares = 0.0;
        for (const std::string& channel : models_[b].channels())
            squares += std::pow(probe_standard_k(task_.bakes[b], channel), 2);
        if (error.channels > 0) error.probe_standard_k = std::sqrt(squares / static_cast<double>(error.channels));
        result_.errors.push_back(std::move(error));
    }

    /// Fits with parts left out, with and without each zone's own film; the better of the two on what was left out is kept.
    bool hold_out() {
        const auto used_count = std::count(used_.begin(), used_.end(), true);
        if (!options_.holds_out) return true;
        const std::vector<double> with = errors_left_out(result_.zones_kept, 0.0);
        if (with.empty()) return false;
        if (!result_.zones_kept) {
            keep_errors(with, used_count);
            return true;
        }
        const std::vector<double> without = errors_left_out(false, 0.4);
        if (without.empty()) return false;
        result_.held_out_with_zones_k = root_mean_square(with);
        result_.held_out_without_zones_k = root_mean_square(without);
        result_.zones_kept = *result_.held_out_with_zones_k < *result_.held_out_without_zones_k;
        keep_errors(result_.zones_kept ? with : without, used_count);
        return true;
    }

    /// RMS on each bake left out in turn, or on those named, or on a single one by parts. Empty where progress said no.
    std::vector<double> errors_left_out(bool with_zones, double progress) {
        const std::vector<std::size_t> used = used_bakes();
        left_out_ = used.size() == models_.size() ? used : held_out_bakes();
        if (used.size() == models_.size() && used.size() == 1) return error_by_parts(used.front(), with_zones, progress);
        std::vector<double> errors;
        if (used.size() < models_.size()) {
            const BakeFit fit = fitted({used_, {}, with_zones});
            for (const std::size_t b : left_out_) errors.push_back(fitter_.rms_k(fit, b));
            return errors;
        }
        for (const std::size_t b : used) {
            if (!goes_on(progress + 0.4 * static_cast<double>(b) / static_cast<double>(models_.size()))) return {};
            std::vector<bool> others = used_;
            others[b] = false;
            errors.push_back(fitter_.rms_k(fitted({others, {}, with_zones}), b));
        }
        return errors;
    }
    std::vector<double> error_by_parts(std::size_t b, bool with_zones, double progress) {
        const double length_s = (models_[b].end_s() - models_[b].begin_s()) / static_cast<double>(kParts);
        std::vector<double> errors;
        for (std::size_t part = 0; part < kParts; ++part) {
            if (!goes_on(progress + 0.1 * static_cast<double>(part))) return {};
            const double from_s = models_[b].begin_s() + static_cast<double>(part) * length_s;
            const TimeSpan span{from_s, from_s + length_s};
            errors.push_back(fitter_.rms_k(fitted({used_, span, with_zones}), b, span));
        }
        return {root_mean_square(errors)};
    }
    BakeFit fitted(const FitScope& scope) {
        BakeFit fit = fitter_.fit(scope);
        result_.solves += fit.solves;
        return fit;
    }
    [[nodiscard]] std::vector<std::size_t> used_bakes() const {
        std::vector<std::size_t> used;
        for (std::size_t b = 0; b < used_.size(); ++b)
            if (used_[b]) used.push_back(b);
        return used;
    }
    [[nodiscard]] std::vector<std::size_t> held_out_bakes() const {
        std::vector<std::size_t> held_out;
        for (std::size_t b = 0; b < used_.size(); ++b)
            if (!used_[b]) held_out.push_back(b);
        return held_out;
    }
    void keep_errors(const std::vector<double>& errors, std::ptrdiff_t used_count) {
        for (std::size_t i = 0; i < left_out_.size(); ++i) {
            BakeError& error = result_.errors[left_out_[i]];
            error.held_out_k = errors[i];
            if (used_count == 1 && used_[left_out_[i]]) error.held_out_parts = kParts;
        }
    }

    const TuneTask& task_;
    const TuneOptions& options_;
    std::vector<BakeModel> models_;
    BakeFitter fitter_;
    TuneResult result_;
    std::vector<bool> used_;
    std::vector<std::size_t> left_out_;
};

}  // namespace

TuneResult tune(const TuneTask& task, const TuneOptions& options) {
    refuse_problems(task, options);
    return Tuning(task, options).run();
}

}  // namespace bakewright::tune
