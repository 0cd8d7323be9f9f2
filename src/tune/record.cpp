// SPDX-License-Identifier: Apache-2.0
#include "bakewright/tune/record.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "bake_model.hpp"

namespace bakewright::tune {
namespace {

constexpr double kLeastShareLogged = 0.1;

/// What a number of a prediction does to a zone's plateau, by one standard deviation, as far as it is the booth's, the shell's,
/// and the start of the bake [K].
struct Slopes {
    double booth_k = 0.0, shell_k = 0.0, start_k = 0.0;
};
/// Means over the plateau of one zone.
struct ZonePlateau {
    std::string zone;
    double off_k = 0.0;
    std::vector<Slopes> slopes;
};

/// A bake at what is believed, then with each number moved: by what of it is the booth's, then by what is the shell's.
struct MovedTraces {
    std::vector<bake::DrawnNumber> numbers;
    std::vector<double> share;  ///< of the widest spread that a number has over all sizes of the model's own errors
    std::vector<ModelTraces> booth, shell;
};

/// A space whose record lets one of the two spread alone.
std::vector<ModelTraces> moved_alone(const BakeModel& model, const TuneTask& task, const bake::Uncertainty& prior,
                                     bool of_booth) {
    bake::Booth booth = task.booth;
    booth.record = bake::TrackRecord{.logs = bake::TrackRecord::kFewestLogs, .booth_scale = 0.0, .shell_scale = 0.0};
    (of_booth ? booth.record->booth_scale : booth.record->shell_scale) = 1.0;
    const bake::MemberSpace space(model.built(), task.shell, booth, prior);
    std::vector<std::vector<double>> members(1, std::vector<double>(space.numbers().size(), 0.0));
    for (std::size_t n = 0; n < space.numbers().size(); ++n) {
        members.push_back(members.front());
        members.back()[n] = kNumberStep;
    }
    return model.solve(space, members);
}

MovedTraces moved_traces(const BakeModel& model, const TuneTask& task, const bake::Uncertainty& prior) {
    const bake::MemberSpace space(model.built(), task.shell, task.booth, prior);
    MovedTraces made{space.numbers(), {}, moved_alone(model, task, prior, true), moved_alone(model, task, prior, false)};
    for (const bake::DrawnNumber& number : made.numbers) {
        double mean_square = 0.0;
        for (const bake::DiscrepancySize& size : space.sizes())
            mean_square += size.weight * std::pow(space.shrunk(number, size), 2);
        made.share.push_back(number.is_discrepancy() ? std::sqrt(mean_square) : 1.0);
    }
    return made;
}

/// The logged samples during the plateau weigh alike.
std::optional<ZonePlateau> plateau_of(const BakeModel& model, const MovedTraces& of, std::size_t channel) {
    const std::vector<float>& predicted_k = of.booth.front().channel_k[channel];
    const double least_k = *std::max_element(predicted_k.begin(), predicted_k.end()) - kPlateauWithinK;
    const std::vector<double> at_k(predicted_k.begin(), predicted_k.end());
    ZonePlateau made{model.channels()[channel], 0.0, std::vector<Slopes>(of.numbers.size())};
    double count = 0.0, first_s = 0.0, last_s = 0.0;
    for (const LoggedPoint& point : model.samples(channel)) {
        const double here_k = on_grid(at_k, model.begin_s(), model.interval_s(), point.time_s);
        if (here_k < least_k) continue;
        first_s = count == 0.0 ? point.time_s : first_s;
        last_s = point.time_s;
        count += 1.0;
        made.off_k += here_k - point.temperature_k;
        const auto moment = static_cast<std::size_t>(
            std::clamp((point.time_s - model.begin_s()) / model.interval_s(), 0.0, static_cast<double>(at_k.size() - 1)));
        for (std::size_t n = 0; n < of.numbers.size(); ++n) {
            const auto slope_k = [&](const std::vector<ModelTraces>& moved) {
                return of.share[n] * (moved[n + 1].channel_k[channel][moment] - predicted_k[moment]) / kNumberStep;
            };
            if (of.numbers[n].kind == bake::DrawnNumber::Kind::start) {
                made.slopes[n].start_k += slope_k(of.booth);
                continue;
            }
            made.slopes[n].booth_k += slope_k(of.booth);
            made.slopes[n].shell_k += slope_k(of.shell);
        }
    }
    const auto hot = std::count_if(at_k.begin(), at_k.end(), [&](double k) { return k >= least_k; });
    if (count < 2.0 || last_s - first_s < kLeastShareLogged * static_cast<double>(hot) * model.interval_s()) return std::nullopt;
    made.off_k /= count;
    for (Slopes& slopes : made.slopes) slopes.booth_k /= count, slopes.shell_k /= count, slopes.start_k /= count;
    return made;
}

/// Covariances of the zones' errors by whose the numbers are.
void add_parts(PlateauError& error, const std::vector<ZonePlateau>& zones) {
    for (const ZonePlateau& a : zones)
        for (const ZonePlateau& b : zones) {
            double booth_k2 = 0.0, shell_k2 = 0.0, both_k2 = 0.0, start_k2 = 0.0;
            for (std::size_t n = 0; n < a.slopes.size(); ++n) {
                booth_k2 += a.slopes[n].booth_k * b.slopes[n].booth_k;
                shell_k2 += a.slopes[n].shell_k * b.slopes[n].shell_k;
                both_k2 += a.slopes[n].booth_k * b.slopes[n].shell_k + a.slopes[n].shell_k * b.slopes[n].booth_k;
                start_k2 += a.slopes[n].start_k * b.slopes[n].start_k;
            }
            error.booth_k2.push_back(booth_k2);
            error.shell_k2.push_back(shell_k2);
            error.both_k2.push_back(both_k2);
            if (&a == &b) error.probe_k2.push_back(start_k2);
        }
}

/// One bake of ten is unlike the rest (a door left open, probes mixed up), in its booth, in its shell or in both, and then
/// spreads so much wider: a normal with a tail of another, so that it says little (Tukey 1960). Common practice, no source.
constexpr double kOddShare = 0.1, kOddWidth = 5.0;

/// Logarithm of the density of a bake's errors at scales b and s, up to a constant. In plain loops: it is asked some hundred
/// times a bake, for few zones.
class ErrorDensity {
public:
    explicit ErrorDensity(const PlateauError& error) : error_(error), root_(error.booth_k2.size()), white_(error.zones.size()) {}

    [[nodiscard]] double log_at(double b, double s) {
        const double odd = std::log(kOddShare / 3.0);
        const std::array logs{std::log(1.0 - kOddShare) + log_normal(b, s), odd + log_normal(b * kOddWidth, s),
                              odd + log_normal(b, s * kOddWidth), odd + log_normal(b * kOddWidth, s * kOddWidth)};
        const double largest = *std::max_element(logs.begin(), logs.end());
        double sum = 0.0;
        for (const double log : logs) sum += std::exp(log - largest);
        return largest + std::log(sum);
    }

private:
    /// By the root L of the covariance, L L^T (Cholesky), and L^-1 times the errors.
    double log_normal(double b, double s) {
        const std::size_t count = white_.size();
        double log = 0.0;
        for (std::size_t i = 0; i < count; ++i) {
            double off_k = error_.off_k[i];
            for (std::size_t j = 0; j <= i; ++j) {
                const std::size_t at = i * count + j;
                double sum_k2 = b * b * error_.booth_k2[at] + s * s * error_.shell_k2[at] + b * s * error_.both_k2[at];
                if (i == j) sum_k2 += error_.probe_k2[i];
                for (std::size_t k = 0; k < j; ++k) sum_k2 -= root_[i * count + k] * root_[j * count + k];
                root_[at] = i == j ? std::sqrt(std::max(sum_k2, kLeastVarianceK2)) : sum_k2 / root_[j * count + j];
                if (j < i) off_k -= root_[at] * white_[j];
            }
            white_[i] = off_k / root_[i * count + i];
            log -= 0.5 * white_[i] * white_[i] + std::log(root_[i * count + i]);
        }
        return log;
    }
    static constexpr double kLeastVarianceK2 = 1e-6;  // against rounding; a probe alone leaves more

    const PlateauError& error_;
    std::vector<double> root_, white_;
};

constexpr int kSteps = 7;                                 // either way from 1
constexpr double kLogStep = 1.0986122886681098 / kSteps;  // to a third and to three

/// The scale of a normal of which 95 % hold what spreads by a scale that is known no better than by these weights.
double scale_that_holds(const std::array<double, 2 * kSteps + 1>& weight) {
    constexpr double kTwoSided95 = 1.959963984540054;
    double total = 0.0, low = -1.5, high = 1.5;  // logarithms
    for (const double one : weight) total += one;
    for (int halving = 0; halving < 40; ++halving) {
        const double middle = 0.5 * (low + high);
        double held = 0.0;
        for (int i = -kSteps; i <= kSteps; ++i)
            held += weight[static_cast<std::size_t>(i + kSteps)] *
                    std::erf(kTwoSided95 * std::exp(middle - kLogStep * i) / std::sqrt(2.0));
        (held < 0.95 * total ? low : high) = middle;
    }
    return std::exp(high);
}

}  // namespace

double PlateauError::stated_k(std::size_t zone, const bake::TrackRecord& record) const {
    const double b = bake::spread_scale(record, true), s = bake::spread_scale(record, false);
    const std::size_t at = zone * zones.size() + zone;
    return std::sqrt(b * b * booth_k2[at] + s * s * shell_k2[at] + b * s * both_k2[at] + probe_k2[zone]);
}

std::optional<PlateauError> plateau_error(const bake::Shell& shell, const bake::Booth& booth, const LoggedBake& log,
                                          const bake::Uncertainty& prior) {
    const TuneTask task{shell, booth, {log}};
    BakeModel model(task, 0, true);
    for (const std::string& channel : std::vector<std::string>(model.channels()))
        if (shell.find_zone(channel) == nullptr) model.leave_out(channel);
    if (model.channels().empty()) return std::nullopt;
    const MovedTraces of = moved_traces(model, task, prior);
    std::vector<ZonePlateau> zones;
    for (std::size_t channel = 0; channel < model.channels().size(); ++channel)
        if (auto zone = plateau_of(model, of, channel)) zones.push_back(std::move(*zone));
    if (zones.empty()) return std::nullopt;
    PlateauError error;
    error.name = log.name;
    add_parts(error, zones);
    for (std::size_t z = 0; z < zones.size(); ++z) {
        error.zones.push_back(zones[z].zone);
        error.off_k.push_back(zones[z].off_k);
        error.probe_k2[z] += std::pow(probe_standard_k(log, zones[z].zone), 2) + std::pow(kUnmodelledK, 2);
    }
    return error;
}

bake::TrackRecord record_of(std::span<const PlateauError> errors) {
    bake::TrackRecord record;
    record.logs = errors.size();
    if (!record.counts()) return record;
    std::vector<ErrorDensity> densities(errors.begin(), errors.end());
    std::array<std::array<double, 2 * kSteps + 1>, 2 * kSteps + 1> log{};
    double most = -HUGE_VAL;
    for (int i = -kSteps; i <= kSteps; ++i) {
        for (int j = -kSteps; j <= kSteps; ++j) {
            const double log_b = kLogStep * i, log_s = kLogStep * j;
            double& here = log[static_cast<std::size_t>(i + kSteps)][static_cast<std::size_t>(j + kSteps)];
            here = -0.5 * (log_b * log_b + log_s * log_s) / (kScaleStandard * kScaleStandard);
            for (ErrorDensity& density : densities) here += density.log_at(std::exp(log_b), std::exp(log_s));
            most = std::max(most, here);
        }
    }
    std::array<double, 2 * kSteps + 1> of_booth{}, of_shell{};
    for (std::size_t i = 0; i < log.size(); ++i) {
        for (std::size_t j = 0; j < log.size(); ++j) {
            of_booth[i] += std::exp(log[i][j] - most);
            of_shell[j] += std::exp(log[i][j] - most);
        }
    }
    record.booth_scale = scale_that_holds(of_booth);
    record.shell_scale = scale_that_holds(of_shell);
    return record;
}

}  // namespace bakewright::tune
