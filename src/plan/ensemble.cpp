// SPDX-License-Identifier: Apache-2.0
#include "bakewright/plan/ensemble.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>

#include "bakewright/bake/build_network.hpp"
#include "bakewright/bake/members.hpp"
#include "bakewright/cure/confidence.hpp"
#include "bakewright/cure/judge.hpp"
#include "bakewright/cure/rule.hpp"
#include "driven.hpp"
#include "ensemble_readings.hpp"

namespace bakewright::plan {
namespace {

using Row = std::span<const double>;
constexpr std::array kLevels{0.05, 0.5, 0.95};
constexpr double kRateRoundingKPerS = 1e-9;

class EnsembleProblems {
public:
    void within(const char* key, double value, double low, double high) {
        if (value >= low && value <= high) return;
        add({{}, 0, key, fmt::format("is {:g}, accepted is {:g} to {:g}", value, low, high)});
    }
    void add(Problem problem) { problems_.push_back(std::move(problem)); }
    void add(const std::vector<Problem>& more) { problems_.insert(problems_.end(), more.begin(), more.end()); }
    void refuse() {
        if (!problems_.empty()) throw InputError(std::move(problems_));
    }

private:
    std::vector<Problem> problems_;
};

void refuse_problems(const bake::Shell& shell, const bake::Booth& booth, const cure::Coating& coating,
                     const std::vector<cure::HeatSensitiveItem>& items) {
    EnsembleProblems problems;
    problems.add(bake::problems_in(shell));
    problems.add(bake::problems_in(booth));
    problems.add(cure::problems_in(coating));
    for (std::size_t i = 0; i < items.size(); ++i) problems.add(cure::problems_in(items[i], fmt::format("item[{}]", i)));
    problems.refuse();
}

thermal::EnsembleOptions thermal_options(const EnsemblePredictOptions& options) {
    thermal::EnsembleOptions made;
    made.member_count = options.member_count;
    made.output_interval_s = made.quantile_interval_s = kMemberIntervalS;
    made.largest_error_k = options.largest_error_k;
    made.quantile_levels.clear();
    if (options.band_interval_s > 0.0) made.quantile_levels.assign(kLevels.begin(), kLevels.end());
    made.quantile_stride = static_cast<std::size_t>(std::max(1.0, std::round(options.band_interval_s / kMemberIntervalS)));
    made.thread_count = options.thread_count;
    made.progress = options.progress;
    return made;
}

/// Start and film factor are the question's; how often members are read and how long they are followed is always the same.
EnsemblePredictOptions as_asked(EnsemblePredictOptions options) {
    options.predict.output_interval_s = kMemberIntervalS;
    options.predict.after_s = kMembersFollowedS;
    return options;
}

/// The moments of the members' traces: every kMemberIntervalS from the first segment's begin.
std::vector<double> moments_s(const std::vector<thermal::Segment>& segments) {
    std::vector<double> times_s;
    const double begin_s = segments.front().begin_s, end_s = segments.back().end_s;
    for (std::size_t i = 0; begin_s + static_cast<double>(i) * kMemberIntervalS <= end_s + 1e-6; ++i)
        times_s.push_back(begin_s + static_cast<double>(i) * kMemberIntervalS);
    return times_s;
}

TemperatureBand band_of(const thermal::EnsembleQuantiles& quantiles, std::size_t place) {
    if (quantiles.levels.empty()) return {};
    const auto at = [&](std::size_t level) {
        const std::span<const double> of = quantiles.of(place, level);
        return std::vector<double>(of.begin(), of.end());
    };
    return {at(0), at(1), at(2)};
}

/// What each member's traces say by the rule of cure, noted while the ensemble is solved. Threads write to different members.
class MemberRulings {
public:
    struct Ruling {
        double lacking_s = kNever_s;  ///< see ZoneChances::lacking_s
        bool is_cured = false;
        bool is_too_fast = false;
    };

    MemberRulings(const EnsembleReadings& readings, std::size_t member_count, std::vector<double> time_s, bool asks_rate)
        : readings_(readings), time_s_(std::move(time_s)), asks_rate_(asks_rate) {
        for (const ZoneColumns& zone : readings.zones())
            if (zone.coated) coated_.push_back(&zone);
        rulings_.resize(coated_.size() * member_count);
    }

    void note(std::size_t member, std::span<const float> trace_k) {
        const ZoneColumns* before = nullptr;
        for (std::size_t i = 0; i < coated_.size(); ++i) {
            Ruling& ruling = rulings_[member * coated_.size() + i];
            const bool is_same = before != nullptr && before->schedule_place == coated_[i]->schedule_place;
            if (is_same)
                ruling = rulings_[member * coated_.size() + i - 1];
            else
                ruling = by_window(samples(trace_k, coated_[i]->schedule_place));
            ruling.is_too_fast = asks_rate_ && too_fast(samples(trace_k, coated_[i]->place));
            before = coated_[i];
        }
    }
    [[nodiscard]] const std::vector<const ZoneColumns*>& coated() const noexcept { return coated_; }
    [[nodiscard]] const Ruling& of(std::size_t member, std::size_t coated) const {
        return rulings_[member * coated_.size() + coated];
    }

private:
    [[nodiscard]] std::vector<double> samples(std::span<const float> trace_k, std::size_t place) const {
        const auto of_place = trace_k.subspan(place * time_s_.size(), time_s_.size());
        return {of_place.begin(), of_place.end()};
    }
    [[nodiscard]] Ruling by_window(const std::vector<double>& temperature_k) const {
        const cure::WindowReading reading = cure::read_window(cure::StayTrace(time_s_, temperature_k), readings_.curves().window);
        if (!reading.is_cured()) return {reading.missing_s, false, false};
        // Of what was earned after it was cured a shorter hold could do without.
        const double spare_s = reading.reached_s ? std::max(reading.stay.until_s - *reading.reached_s, 0.0) : 0.0;
        return {-spare_s, true, false};
    }
    /// A mean over a minute is no steeper than the steepest step between samples: most members need no closer look.
    [[nodiscard]] bool has_step_steeper(const std::vector<double>& temperature_k, double rate_k_per_s) const {
        for (std::size_t i = 1; i < temperature_k.size(); ++i)
            if (temperature_k[i] - temperature_k[i - 1] > rate_k_per_s * (time_s_[i] - time_s_[i - 1])) return true;
        return false;
    }
    [[nodiscard]] bool too_fast(std::vector<double> temperature_k) const {
        const cure::Coating& coating = readings_.curves().coating;
        if (!has_step_steeper(temperature_k, *coating.largest_heating_rate_k_per_s)) return false;
        const Trace face{
            .name = {}, .role = TraceRole::zone, .time_s = time_s_, .temperature_k = std::move(temperature_k), .quality = {}};
        const auto rise = cure::rise_before_schedule(face, coating);
        return rise && rise->rate_k_per_s > *coating.largest_heating_rate_k_per_s + kRateRoundingKPerS;
    }

    const EnsembleReadings& readings_;
    std::vector<double> time_s_;
    bool asks_rate_;
    std::vector<const ZoneColumns*> coated_;
    std::vector<Ruling> rulings_;  ///< by member, then coated zone
};

/// Turns the rows and rulings of an ensemble into chances.
class Chances {
public:
    Chances(const thermal::EnsembleResult& result, const EnsembleReadings& readings, const MemberRulings& rulings,
            const PastHeat& past)
        : result_(result), readings_(readings), rulings_(rulings), past_(past) {}

    void add_zones(EnsemblePrediction& prediction) const {
        std::size_t coated = 0;
        for (const ZoneColumns& zone : readings_.zones()) prediction.zones.push_back(of(zone, zone.coated ? coated++ : 0));
    }
    [[nodiscard]] ItemChances of(const ItemColumns& item) const {
        ItemChances made{item.item, band_of(result_.quantiles, item.place), {}};
        for (std::size_t limit = 0; limit < item.limits.size(); ++limit)
            made.limit_passed.push_back(share([&](std::size_t i) { return item.passed(limit, result_.row(i)); }));
        made.any_limit_passed = share([&](std::size_t i) { return item.passed_any(result_.row(i)); });
        made.words = words([&](std::size_t i) { return item.words(result_.row(i)); });
        return made;
    }
    void add_joint(EnsemblePrediction& prediction) const {
        prediction.all_cured = share([&](std::size_t i) { return all_cured(i); });
        prediction.nothing_passed = share([&](std::size_t i) { return spared_chance(i) >= 1.0; });
        prediction.good = share([&](std::size_t i) { return all_cured(i) && spared_chance(i) >= 1.0; });
        prediction.chance = words([&](std::size_t i) {
                                return cure::MemberChance{all_cured(i) ? spared_chance(i) : 0.0, 0.0, 1.0};
                            }).good;
    }
    void add_subjects(EnsemblePrediction& prediction) const {
        const auto add = [&](const Phrase& name, const auto& spare_s) {
            SubjectChances made{name, {}};
            for (std::size_t i = 0; i < result_.member_count(); ++i) made.spare_s.push_back(spare_s(i));
            prediction.subjects.push_back(std::move(made));
        };
        for (const ZoneColumns* zone : rulings_.coated())
            add(Phrase::place(zone->zone), [&](std::size_t i) { return zone->over_bake.spare_s(result_.row(i)); });
        for (const ItemColumns& item : readings_.items())
            add(Phrase::place(item.item), [&](std::size_t i) { return item.spare_s(result_.row(i)); });
        for (const EarlierColumns& coat : readings_.earlier())
            add(coat.subject, [&](std::size_t i) { return coat.over_bake.spare_s(result_.row(i)); });
        // How it heated up no hold mends.
        for (const BondColumns& bond : readings_.bonds())
            add(bond.subject, [&](std::size_t i) { return strained(bond, i) ? -kNever_s : kNever_s; });
        for (std::size_t z = 0; z < rulings_.coated().size(); ++z)
            add(Phrase("heating rate of ").add_place(rulings_.coated()[z]->zone),
                [&](std::size_t i) { return rulings_.of(i, z).is_too_fast ? -kNever_s : kNever_s; });
    }

private:
    [[nodiscard]] ZoneChances of(const ZoneColumns& zone, std::size_t coated) const {
        ZoneChances made{zone.zone, zone.role, zone.coated, band_of(result_.quantiles, zone.place)};
        std::vector<double> peaks_k;
        for (std::size_t i = 0; i < result_.member_count(); ++i) peaks_k.push_back(result_.row(i)[zone.peak]);
        made.peak_low_k = thermal::quantile(peaks_k, kLevels[0]);
        made.peak_median_k = thermal::quantile(peaks_k, kLevels[1]);
        made.peak_high_k = thermal::quantile(peaks_k, kLevels[2]);
        if (!zone.coated) return made;
        const auto highest_k = readings_.curves().coating.absolute_maximum_k;
        made.cured = share([&](std::size_t i) { return rulings_.of(i, coated).is_cured; });
        made.too_hot = share([&](std::size_t i) { return highest_k && result_.row(i)[zone.peak] > *highest_k; });
        made.over_baked = share([&](std::size_t i) { return zone.over_bake.chance(result_.row(i)) >= 1.0 - 1e-9; });
        made.words = words([&](std::size_t i) {
            const double too_much = zone.over_bake.chance(result_.row(i));
            return cure::MemberChance{rulings_.of(i, coated).is_cured ? 1.0 - too_much : 0.0, too_much, 1.0};
        });
        for (std::size_t i = 0; i < result_.member_count(); ++i) made.lacking_s.push_back(rulings_.of(i, coated).lacking_s);
        return made;
    }
    template <class Event>
    [[nodiscard]] thermal::EventProbability share(Event&& event) const {
        std::size_t member = 0;
        return thermal::probability(result_, [&](Row) { return event(member++); });
    }
    template <class Member>
    [[nodiscard]] cure::WordProbabilities words(Member&& member) const {
        std::vector<cure::MemberChance> members;
        members.reserve(result_.member_count());
        for (std::size_t i = 0; i < result_.member_count(); ++i) members.push_back(member(i));
        return cure::ensemble_probabilities(members);
    }
    [[nodiscard]] bool all_cured(std::size_t member) const {
        for (std::size_t z = 0; z < rulings_.coated().size(); ++z)
            if (!rulings_.of(member, z).is_cured) return false;
        return true;
    }
    [[nodiscard]] bool strained(const BondColumns& bond, std::size_t member) const {
        return std::max(result_.row(member)[bond.warmer], result_.row(member)[bond.cooler]) > *past_.largest_difference_k;
    }
    /// That nothing had too much in a member: what hangs on the activation energy leaves the chance of the worst.
    [[nodiscard]] double spared_chance(std::size_t member) const {
        const Row row = result_.row(member);
        for (const ItemColumns& item : readings_.items())
            if (item.passed_any(row)) return 0.0;
        for (const BondColumns& bond : readings_.bonds())
            if (strained(bond, member)) return 0.0;
        double too_much = 0.0;
        for (std::size_t z = 0; z < rulings_.coated().size(); ++z) {
            if (rulings_.of(member, z).is_too_fast) return 0.0;
            too_much = std::max(too_much, rulings_.coated()[z]->over_bake.chance(row));
        }
        for (const EarlierColumns& coat : readings_.earlier()) too_much = std::max(too_much, coat.over_bake.chance(row));
        return std::max(1.0 - too_much, 0.0);
    }

    const thermal::EnsembleResult& result_;
    const EnsembleReadings& readings_;
    const MemberRulings& rulings_;
    const PastHeat& past_;
};

/// Bands end where the prediction that was asked for does, though members are followed for longer.
void end_bands(EnsemblePrediction& prediction, double end_s) {
    const auto last = std::upper_bound(prediction.time_s.begin(), prediction.time_s.end(), end_s + 1e-6);
    prediction.time_s.erase(last, prediction.time_s.end());
    const std::size_t count = prediction.time_s.size();
    const auto cut = [&](TemperatureBand& band) {
        for (std::vector<double>* quantile_k : {&band.low_k, &band.median_k, &band.high_k})
            if (quantile_k->size() > count) quantile_k->resize(count);
    };
    for (ZoneChances& zone : prediction.zones) cut(zone.band);
    for (ItemChances& item : prediction.items) cut(item.band);
}

}  // namespace

std::optional<double> ZoneChances::more_hold_s() const {
    if (lacking_s.empty()) return std::nullopt;
    // The next member up, so that nothing is read between one that will do and one that never does.
    std::vector<double> sorted_s = lacking_s;
    const auto at = static_cast<std::size_t>(std::ceil(cure::kSure * static_cast<double>(sorted_s.size() - 1)));
    std::nth_element(sorted_s.begin(), sorted_s.begin() + static_cast<std::ptrdiff_t>(at), sorted_s.end());
    return std::isfinite(sorted_s[at]) ? std::optional(std::max(sorted_s[at], 0.0)) : std::nullopt;
}

void EnsemblePredictOptions::check() const {
    predict.check();
    uncertainty.check();
    EnsembleProblems problems;
    problems.within("members", static_cast<double>(member_count), 1.0, 1e7);
    problems.within("largest-error", largest_error_k, 1e-6, 0.5);
    if (band_interval_s != 0.0) problems.within("band-interval", band_interval_s, 1.0, 24.0 * kSecondPerHour);
    problems.refuse();
}

bake::DrivenNetwork driven_by(const bake::Shell& shell, const bake::Booth& booth, const bake::Cycle& cycle,
                              const bake::PredictOptions& options) {
    const std::vector<bake::ResolvedStage> stages = bake::resolve(cycle, booth);
    bake::DrivenNetwork driven{bake::build_network(shell, booth, options, bake::booth_air_of(booth), stages.front().begin_k, {},
                                                   bake::doorway_loss_w_per_k(booth, stages)),
                               {}};
    driven.segments = bake::cycle_segments(driven.built, booth, cycle, stages, options.after_s);
    return driven;
}

EnsemblePrediction predict_ensemble(const bake::Shell& shell, const bake::Booth& booth, const bake::Cycle& cycle,
                                    const cure::Coating& coating, const std::vector<cure::HeatSensitiveItem>& items,
                                    const EnsemblePredictOptions& asked, const PastHeat& past) {
    asked.check();
    refuse_problems(shell, booth, coating, items);
    const EnsemblePredictOptions options = as_asked(asked);
    const bake::DrivenNetwork driven = driven_by(shell, booth, cycle, options.predict);
    EnsemblePrediction prediction = ensemble_of(driven, shell, booth, coating, items, options, past);
    if (prediction.is_complete)
        end_bands(prediction, driven.segments.back().end_s - options.predict.after_s + asked.predict.after_s);
    return prediction;
}

namespace {

/// Other numbers than those that are drawn of the bake.
constexpr std::uint64_t kProbeSeed = 0x70726f6265ULL;

thermal::MemberGenerator generator_of(const bake::MemberSpace& space, const EnsemblePredictOptions& options,
                                      const DrawnMembers& drawn) {
    return [&space, &options, &drawn](std::size_t index, thermal::EnsembleMember& member) {
        space.set(drawn.empty() ? space.draw(options.seed, index) : drawn[index], member);
        const double probe_standard_k = options.uncertainty.probe_k / bake::kDeviationsTo95;
        if (probe_standard_k == 0.0) return;
        thermal::draw_normals(options.seed ^ kProbeSeed, index, member.offset_k);
        for (double& offset_k : member.offset_k) offset_k *= probe_standard_k;
    };
}

}  // namespace

EnsemblePrediction ensemble_of(const bake::DrivenNetwork& driven, const bake::Shell& shell, const bake::Booth& booth,
                               const cure::Coating& coating, const std::vector<cure::HeatSensitiveItem>& items,
                               const EnsemblePredictOptions& options, const PastHeat& past, const DrawnMembers& drawn) {
    ensure(drawn.empty() || drawn.size() == options.member_count, "an ensemble has as many members as were drawn for it");
    const EnsembleReadings readings(driven.built, shell, coating, items, past);
    const bake::MemberSpace space(driven.built, shell, booth, options.uncertainty);
    // How the heat came on in a bake that is gone on with is past.
    const bool asks_rate = coating.largest_heating_rate_k_per_s && past.before == nullptr;
    thermal::EnsembleOptions how = thermal_options(options);
    MemberRulings rulings(readings, options.member_count, moments_s(driven.segments), asks_rate);
    how.observe = [&](std::size_t member, std::span<const float> trace_k) { rulings.note(member, trace_k); };
    const thermal::EnsembleResult result = thermal::solve_ensemble(driven.built.network, driven.segments, readings.watched(),
                                                                   generator_of(space, options, drawn), how);
    EnsemblePrediction prediction;
    prediction.is_complete = result.is_complete;
    if (!result.is_complete) return prediction;
    prediction.member_count = result.member_count();
    prediction.record = booth.record;
    prediction.time_s = result.quantiles.time_s;
    prediction.band_resolution_k = result.quantiles.resolution_k;
    prediction.statistics = result.statistics;
    const Chances chances(result, readings, rulings, past);
    chances.add_zones(prediction);
    for (const ItemColumns& item : readings.items()) prediction.items.push_back(chances.of(item));
    chances.add_subjects(prediction);
    chances.add_joint(prediction);
    return prediction;
}

namespace {

/// From the 5 % to the 95 % quantile of a normal distribution, in standard deviations.
constexpr double kDeviationsOfBand = 2.0 * 1.6448536269514722;

cure::Certainty predicted_certainty(const cure::WordProbabilities& words) {
    cure::Certainty certainty = cure::certainty_of(words);
    certainty.is_predicted = true;
    return certainty;
}

}  // namespace

std::string ensemble_origin(const EnsemblePrediction& ensemble) {
    return fmt::format("{} simulated bakes with the unknowns varied: films, thicknesses, links, air and start{}",
                       ensemble.member_count, ensemble.record ? "; " + bake::record_text(*ensemble.record) : "");
}

double TemperatureBand::plateau_standard_k() const {
    if (median_k.empty()) return 0.0;
    const double peak_k = *std::max_element(median_k.begin(), median_k.end());
    double sum_k = 0.0, count = 0.0;
    for (std::size_t i = 0; i < median_k.size(); ++i) {
        if (median_k[i] < peak_k - kPlateauK) continue;
        sum_k += (high_k[i] - low_k[i]) / kDeviationsOfBand;
        count += 1.0;
    }
    return sum_k / count;
}

void add_certainty(cure::BakeVerdict& verdict, const EnsemblePrediction& ensemble, std::string origin) {
    verdict.uncertainty_origin = std::move(origin);
    verdict.standard_uncertainty_k = 0.0;
    for (cure::ZoneVerdict& zone : verdict.zones) {
        const auto chances =
            std::find_if(ensemble.zones.begin(), ensemble.zones.end(), [&](const auto& one) { return one.zone == zone.zone; });
        if (zone.word == cure::Word::not_judged || chances == ensemble.zones.end() || !chances->coated) continue;
        cure::Certainty certainty = predicted_certainty(chances->words);
        const bool time_helps = certainty.best != cure::Word::over && chances->words.over < 1.0 - cure::kSure;
        const std::optional<double> more_s = chances->more_hold_s();
        if (certainty.too_close && time_helps && more_s.value_or(0.0) > 0.0) certainty.more_time_s = more_s;
        cure::settle(zone, std::move(certainty));
    }
    for (cure::ItemVerdict& item : verdict.items) {
        const auto chances =
            std::find_if(ensemble.items.begin(), ensemble.items.end(), [&](const auto& one) { return one.item == item.item; });
        if (item.word != cure::Word::not_judged && item.no_limit_known_of.empty() && chances != ensemble.items.end())
            cure::settle(item, predicted_certainty(chances->words));
    }
    verdict.chance = ensemble.chance;
    cure::sort_worst_first(verdict);
}

}  // namespace bakewright::plan
