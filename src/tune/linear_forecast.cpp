// SPDX-License-Identifier: Apache-2.0
#include "bakewright/tune/linear_forecast.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "air_ahead.hpp"
#include "bakewright/base/error.hpp"
#include "linear_basis.hpp"

namespace bakewright::tune {
namespace {

constexpr double kBinS = 10.0;             // readings count as means over so long
constexpr double kSettledBeforeS = 300.0;  // so long before a probe's lag has settled
constexpr double kLeastMeanNoiseK = 0.02;  // of a mean over a bin: what loggers round to
constexpr double kAirOverS = 20.0;         // the newest air is the mean over so long

/// The mean of readings over one bin.
struct BinMean {
    double time_s = 0.0, kelvin = 0.0;
    std::size_t count = 0;
};

/// Usable readings after a moment in bins counted from it, of those bins that are over.
std::vector<BinMean> bin_means(const Trace& trace, double from_s, double now_s) {
    std::vector<BinMean> means;
    long bin_now = -1;
    for (std::size_t i = 0; i < trace.size(); ++i) {
        const double time_s = trace.time_s[i];
        if (!trace.usable(i) || time_s <= from_s + 1e-9 || time_s > now_s + 1e-9) continue;
        const auto bin = static_cast<long>(std::ceil((time_s - from_s) / kBinS - 1e-9));
        if (static_cast<double>(bin) * kBinS > now_s - from_s + 1e-9) break;
        if (bin != bin_now) means.push_back({});
        bin_now = bin;
        BinMean& mean = means.back();
        mean.time_s += time_s, mean.kelvin += trace.temperature_k[i], ++mean.count;
    }
    for (BinMean& mean : means) {
        mean.time_s /= static_cast<double>(mean.count);
        mean.kelvin /= static_cast<double>(mean.count);
    }
    return means;
}

}  // namespace

struct LinearForecast::State {
    /// Straight lines between points whose times rise; the ends hold outside.
    class Line {
    public:
        void add(double time_s, double value) {
            time_s_.push_back(time_s);
            value_.push_back(value);
        }
        [[nodiscard]] bool is_empty() const noexcept { return time_s_.empty(); }
        [[nodiscard]] double last() const { return value_.back(); }
        [[nodiscard]] double at(double time_s) const {
            const auto after = std::upper_bound(time_s_.begin(), time_s_.end(), time_s);
            if (after == time_s_.begin()) return value_.front();
            if (after == time_s_.end()) return value_.back();
            const auto i = static_cast<std::size_t>(after - time_s_.begin());
            const double share = (time_s - time_s_[i - 1]) / (time_s_[i] - time_s_[i - 1]);
            return value_[i - 1] + share * (value_[i] - value_[i - 1]);
        }

    private:
        std::vector<double> time_s_, value_;
    };

    /// A place's response to a step of the air, and to one of which the part that fades in Forecast's time is gone again.
    struct StepResponse {
        Line stays, gone;

        /// @param at_once  of the response: what comes in the very moment
        StepResponse(const std::vector<double>& after_s, const std::vector<double>& response, double at_once) {
            stays.add(0.0, at_once);
            gone.add(0.0, 0.0);
            // The response to exp(-t / fades), step by step: exact for a response in straight lines.
            double time_s = 0.0, value = at_once, faded = at_once;
            for (std::size_t i = 0; i < after_s.size(); ++i) {
                const double span_s = after_s[i] - time_s;
                if (span_s <= 0.0) continue;
                const double keeps = std::exp(-span_s / kAirFadesS), rate = (response[i] - value) / span_s;
                faded = faded * keeps + rate * kAirFadesS * (1.0 - keeps);
                time_s = after_s[i], value = response[i];
                stays.add(time_s, value);
                gone.add(time_s, value - faded);
            }
        }
    };

    std::shared_ptr<const LinearBasis> basis;
    ForecastTraces on, moved;  ///< as forecast; as moved
    std::vector<std::string> doubted;
    std::vector<double> fine_s;  ///< moments at which readings are modelled
    struct Modelled {
        std::size_t place = 0;
        Matrix slope_k;  ///< of its reading, by moment and unknown
    };
    std::vector<Modelled> modelled;           ///< of each channel of the point
    std::vector<Posterior> before;            ///< of each size, at the estimate
    std::vector<std::size_t> part_of;         ///< of each member
    std::vector<std::vector<float>> shift_k;  ///< of each size, by place, then moment; empty: none
    std::size_t bins_heard = 0, first_ahead = 0, air_place = 0;
    std::vector<StepResponse> responses;

    State(std::shared_ptr<const LinearBasis> along, ForecastTraces of) : basis(std::move(along)), on(std::move(of)), moved(on) {
        const auto air = std::find(on.roles.begin(), on.roles.end(), TraceRole::booth_air);
        ensure(air != on.roles.end(), "a forecast has the booth's air among its places");
        air_place = static_cast<std::size_t>(air - on.roles.begin());
        first_ahead = static_cast<std::size_t>(std::lower_bound(on.time_s.begin(), on.time_s.end(), basis->from_s - 1e-6) -
                                               on.time_s.begin());
        std::vector<double> after_s;
        for (std::size_t t = first_ahead; t < on.time_s.size(); ++t) after_s.push_back(on.time_s[t] - basis->from_s);
        for (std::size_t place = 0; place < basis->step_response.size(); ++place) {
            const std::vector<double>& response = basis->step_response[place];
            if (place == air_place && !response.empty())
                responses.emplace_back(after_s, std::vector<double>(response.size(), response.back()), response.back());
            else
                responses.emplace_back(after_s, response, 0.0);
        }
        if (basis->point) model_channels();
    }

    [[nodiscard]] std::span<const float> course(const std::vector<float>& solved, std::size_t place) const {
        return std::span(solved).subspan(place * on.time_s.size(), on.time_s.size());
    }
    [[nodiscard]] std::vector<float> at_fine(std::span<const float> course_k) const {
        const std::vector<double>& grid_s = on.time_s;
        std::vector<float> values;
        for (const double time_s : fine_s) {
            const double at = (time_s - grid_s.front()) / (grid_s[1] - grid_s[0]);
            const auto below = std::min(static_cast<std::size_t>(std::max(0.0, at)), grid_s.size() - 2);
            const auto share = static_cast<float>(at - static_cast<double>(below));
            values.push_back(course_k[below] + share * (course_k[below + 1] - course_k[below]));
        }
        return values;
    }

    void model_channels() {
        const LinearPoint& point = *basis->point;
        for (double time_s = std::max(on.time_s.front(), basis->from_s - kSettledBeforeS);
             time_s <= std::min(basis->from_s + kLinearForS, on.time_s.back()) + 1e-6; time_s += kBinS)
            fine_s.push_back(time_s);
        before = point.posteriors(point.evidence);
        for (std::size_t m = 0; m < on.member_count; ++m)
            part_of.push_back(part_of_member(point.weights, point.seed, m, static_cast<std::size_t>(point.at.size())));
        for (const LinearPoint::Channel& channel : point.channels) modelled.push_back(model_of(channel));
    }

    [[nodiscard]] Modelled model_of(const LinearPoint::Channel& channel) const {
        const LinearPoint& point = *basis->point;
        const auto name = std::find(on.names.begin(), on.names.end(), channel.name);
        ensure(name != on.names.end(), "a fitted channel is one of the places");
        Modelled made{static_cast<std::size_t>(name - on.names.begin()),
                      Matrix::Zero(static_cast<Eigen::Index>(fine_s.size()), point.at.size())};
        const auto reads = [&](std::size_t solved, std::size_t which_moved) {
            const std::vector<float> zone_k = at_fine(course(basis->solved_k[solved], made.place)),
                                     air_k = at_fine(course(basis->solved_k[solved], air_place));
            const std::vector<double> read_k = channel.probe.reads(zone_k, air_k, kBinS, point.at, which_moved);
            return Vector(Eigen::Map<const Vector>(read_k.data(), static_cast<Eigen::Index>(read_k.size())));
        };
        const Vector here = reads(0, kNoneMoved);
        for (std::size_t n = 0; n < point.moved.size(); ++n)
            made.slope_k.col(static_cast<Eigen::Index>(point.places[point.moved[n]])) =
                (reads(n + 1, kNoneMoved) - here) / kNumberStep;
        for (std::size_t p = 0; p < channel.probe.count(); ++p)
            made.slope_k.col(static_cast<Eigen::Index>(channel.probe.at + p)) = (reads(0, p) - here) / kNumberStep;
        return made;
    }

    /// What the logged air is off by against the likeliest one ahead, until now.
    [[nodiscard]] Line air_off(const TraceSet& recent, double now_s) const {
        Line off;
        const Trace* air = recent.find(basis->air.name);
        if (air == nullptr) return off;
        off.add(basis->from_s, 0.0);
        for (const BinMean& mean : bin_means(*air, basis->from_s, now_s))
            off.add(mean.time_s, mean.kelvin - temperature_at_k(basis->air, mean.time_s));
        // The bin that is not over counts with some before it.
        double sum_k = 0.0, count = 0.0;
        for (std::size_t i = air->size(); i-- > 0 && air->time_s[i] > std::max(basis->from_s, now_s - kAirOverS);)
            if (air->usable(i) && air->time_s[i] <= now_s + 1e-9)
                sum_k += air->temperature_k[i] - temperature_at_k(basis->air, air->time_s[i]), count += 1.0;
        if (count > 0.0) off.add(now_s + 1e-3, sum_k / count);
        return off;
    }

    /// What the air is off by until now, as steps in the middle of short spans, and how much of it fades from then on.
    struct Steps {
        std::vector<std::pair<double, double>> at;  ///< when, by how much
        double now_s = 0.0, fades_k = 0.0;
    };
    [[nodiscard]] Steps steps_of(const Line& off, double now_s, double stays_per_s) const {
        Steps steps{{}, now_s, off.at(now_s)};
        double before_k = off.at(basis->from_s);
        for (double time_s = basis->from_s; time_s < now_s - 1e-9;) {
            const double next_s = std::min(time_s + kBinS, now_s), next_k = off.at(next_s);
            steps.at.emplace_back((time_s + next_s) / 2.0, next_k - before_k);
            steps.fades_k -= stays_per_s * (before_k + next_k) / 2.0 * (next_s - time_s);
            before_k = next_k, time_s = next_s;
        }
        return steps;
    }
    /// How a place answers to it at a moment.
    [[nodiscard]] double answer(std::size_t place, const Steps& steps, double time_s) const {
        double sum_k = 0.0;
        for (const auto& [at_s, step_k] : steps.at)
            if (time_s > at_s) sum_k += step_k * responses[place].stays.at(time_s - at_s);
        if (time_s > steps.now_s) sum_k -= steps.fades_k * responses[place].gone.at(time_s - steps.now_s);
        return sum_k;
    }

    void move_to(const TraceSet& recent, double now_s) {
        ensure(now_s >= basis->from_s - 1e-6 && now_s <= basis->from_s + kLinearForS + 1e-6,
               "a linear form goes on for a while only");
        Line off = air_off(recent, now_s);
        if (off.is_empty()) off.add(basis->from_s, 0.0);
        const Steps of_all = steps_of(off, now_s, basis->stays_per_s);
        if (basis->point) hear(recent, now_s, of_all);
        Line drift;
        drift.add(basis->from_s, 0.0);
        drift.add(basis->from_s + kAirStepS, 1.0);
        const Steps of_one = steps_of(drift, now_s, 0.0);
        const std::size_t moments = on.time_s.size();
        std::vector<float> common(moments, 0.0F), own(moments, 0.0F);
        for (std::size_t place = 0; place < on.names.size(); ++place) {
            for (std::size_t t = first_ahead; t < moments; ++t) {
                common[t] = static_cast<float>(answer(place, of_all, on.time_s[t]));
                own[t] = static_cast<float>(answer(place, of_one, on.time_s[t]));
            }
            for (std::size_t m = 0; m < on.member_count; ++m) {
                const std::size_t begin = (m * on.names.size() + place) * moments;
                const float* from = on.kelvin.data() + begin;
                float* to = moved.kelvin.data() + begin;
                const auto drifted = static_cast<float>(basis->drift_k[m]);
                for (std::size_t t = 0; t < moments; ++t) to[t] = from[t] + common[t] - drifted * own[t];
                if (shift_k.empty()) continue;
                const float* shift = shift_k[part_of[m]].data() + place * moments;
                for (std::size_t t = 0; t < moments; ++t) to[t] += shift[t];
            }
        }
    }

    /// The unknowns after the readings since, where another bin of them is over.
    void hear(const TraceSet& recent, double now_s, const Steps& air_steps) {
        const auto bins = static_cast<std::size_t>((now_s - basis->from_s) / kBinS + 1e-9);
        if (bins == bins_heard) return;
        bins_heard = bins;
        doubted.clear();
        const LinearPoint& point = *basis->point;
        const auto best =
            static_cast<std::size_t>(std::max_element(point.weights.begin(), point.weights.end()) - point.weights.begin());
        Evidence evidence = point.evidence;
        for (std::size_t c = 0; c < point.channels.size(); ++c) {
            const auto block = fresh_block(c, recent, now_s, air_steps);
            if (!block) continue;
            if (is_doubted(*block, before[best]))
                doubted.push_back(point.channels[c].name);
            else
                evidence.add(*block);
        }
        const std::vector<Posterior> after = point.posteriors(evidence);
        shift_k.clear();
        for (std::size_t h = 0; h < after.size(); ++h) shift_k.push_back(shift_of(after[h].mean - before[h].mean));
    }

    /// What a channel read since, held against the model at the point in the air as it was.
    [[nodiscard]] std::optional<ChannelBlock> fresh_block(std::size_t c, const TraceSet& recent, double now_s,
                                                          const Steps& air_steps) const {
        const LinearPoint::Channel& channel = basis->point->channels[c];
        const Trace* trace = recent.find(channel.name);
        if (trace == nullptr) return std::nullopt;
        const std::vector<BinMean> means = bin_means(*trace, std::max(basis->from_s, channel.block.time_s.back()), now_s);
        if (means.empty()) return std::nullopt;
        std::vector<float> zone_k = at_fine(course(basis->solved_k.front(), modelled[c].place)),
                           air_k = at_fine(course(basis->solved_k.front(), air_place));
        for (std::size_t i = 0; i < fine_s.size(); ++i) {
            if (fine_s[i] < basis->from_s) continue;
            zone_k[i] += static_cast<float>(answer(modelled[c].place, air_steps, fine_s[i]));
            air_k[i] += static_cast<float>(answer(air_place, air_steps, fine_s[i]));
        }
        const std::vector<double> read_k = channel.probe.reads(zone_k, air_k, kBinS, basis->point->at, kNoneMoved);
        std::vector<double> time_s, noise_k;
        Vector residual_k(static_cast<Eigen::Index>(means.size()));
        Matrix slope_k(residual_k.size(), basis->point->at.size());
        for (std::size_t i = 0; i < means.size(); ++i) {
            const auto row = static_cast<Eigen::Index>(i);
            time_s.push_back(means[i].time_s);
            noise_k.push_back(std::max(kLeastMeanNoiseK, channel.probe.noise_k / std::sqrt(static_cast<double>(means[i].count))));
            residual_k[row] = means[i].kelvin - on_grid(read_k, fine_s.front(), kBinS, means[i].time_s);
            const double at = std::clamp((means[i].time_s - fine_s.front()) / kBinS, 0.0, static_cast<double>(fine_s.size() - 1));
            const auto below = std::min(static_cast<Eigen::Index>(at), static_cast<Eigen::Index>(fine_s.size()) - 2);
            const double share = at - static_cast<double>(below);
            slope_k.row(row) = (1.0 - share) * modelled[c].slope_k.row(below) + share * modelled[c].slope_k.row(below + 1);
        }
        return later_block(channel.block, time_s, noise_k, residual_k, slope_k);
    }

    /// Whether it reads too far off what all channels say, its own earlier readings included.
    [[nodiscard]] bool is_doubted(const ChannelBlock& block, const Posterior& told) const {
        const Vector off = block.residual + block.slope * (basis->point->at - told.mean);
        for (Eigen::Index i = 0; i < off.size(); ++i) {
            const Vector of_row = block.slope.row(i).transpose();
            const Vector rooted = told.root.matrixL().solve(of_row);
            if (std::abs(off[i]) > kDoubtedFrom * std::sqrt(1.0 + rooted.squaredNorm())) return true;
        }
        return false;
    }

    /// What a change of the unknowns does to every place at every moment.
    [[nodiscard]] std::vector<float> shift_of(const Vector& change) const {
        const LinearPoint& point = *basis->point;
        std::vector<float> shift(basis->solved_k.front().size(), 0.0F);
        for (std::size_t n = 0; n < point.moved.size(); ++n) {
            const auto by = static_cast<float>(change[static_cast<Eigen::Index>(point.places[point.moved[n]])] / kNumberStep);
            const std::vector<float>& stepped = basis->solved_k[n + 1];
            const std::vector<float>& here = basis->solved_k.front();
            for (std::size_t i = 0; i < shift.size(); ++i) shift[i] += by * (stepped[i] - here[i]);
        }
        return shift;
    }
};

LinearForecast::LinearForecast(std::shared_ptr<const LinearBasis> basis, ForecastTraces on)
    : state_(std::make_unique<State>(std::move(basis), std::move(on))) {}
LinearForecast::LinearForecast(const Forecast& forecast, ForecastTraces on)
    : LinearForecast{forecast.linear_basis(on), std::move(on)} {}  // braces: in this order
LinearForecast::LinearForecast(LinearForecast&&) noexcept = default;
LinearForecast& LinearForecast::operator=(LinearForecast&&) noexcept = default;
LinearForecast::~LinearForecast() = default;

double LinearForecast::from_s() const noexcept { return state_->basis->from_s; }
void LinearForecast::move_to(const TraceSet& recent, double now_s) { state_->move_to(recent, now_s); }
const ForecastTraces& LinearForecast::traces() const noexcept { return state_->moved; }
const std::vector<std::string>& LinearForecast::doubted() const noexcept { return state_->doubted; }

}  // namespace bakewright::tune
