#include "bakewright/plan/ensemble.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>

#include "ensemble_members.hpp"
#include "ensemble_readings.hpp"

namespace bakewright::plan {
namespace {

using Row = std::span<const double>;
constexpr std::array kLevels{0.05, 0.5, 0.95};

class Problems {
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
    Problems problems;
    problems.add(bake::problems_in(shell));
    problems.add(bake::problems_in(booth));
    problems.add(cure::problems_in(coating));
    for (std::size_t i = 0; i < items.size(); ++i) problems.add(cure::problems_in(items[i], fmt::format("item[{}]", i)));
    problems.refuse();
}

thermal::EnsembleOptions thermal_options(const EnsemblePredictOptions& options) {
    thermal::EnsembleOptions made;
    made.member_count = options.member_count;
    made.output_interval_s = options.predict.output_interval_s;
    made.largest_error_k = options.largest_error_k;
    made.quantile_levels.assign(kLevels.begin(), kLevels.end());
    const double multiple = std::max(1.0, std::round(options.band_interval_s / options.predict.output_interval_s));
    made.quantile_interval_s = multiple * options.predict.output_interval_s;
    made.thread_count = options.thread_count;
    made.progress = options.progress;
    return made;
}

TemperatureBand band_of(const thermal::EnsembleQuantiles& quantiles, std::size_t place) {
    const auto at = [&](std::size_t level) {
        const std::span<const double> of = quantiles.of(place, level);
        return std::vector<double>(of.begin(), of.end());
    };
    return {at(0), at(1), at(2)};
}

/// Turns the rows of an ensemble into chances.
class Chances {
public:
    Chances(const thermal::EnsembleResult& result, const EnsembleReadings& readings, const cure::Coating& coating)
        : result_(result), readings_(readings), absolute_maximum_k_(coating.absolute_maximum_k) {}

    [[nodiscard]] ZoneChances of(const ZoneColumns& zone) const {
        ZoneChances made{zone.zone, zone.role, zone.coated, band_of(result_.quantiles, zone.place)};
        made.cured_by_time = share([&](Row row) { return zone.cured_by_time(row); });
        made.cured_by_dose = share([&](Row row) { return zone.cured_by_dose(row); });
        made.cured = share([&](Row row) { return zone.cured(row); });
        made.too_hot = share([&](Row row) { return too_hot(zone, row); });
        made.over_baked = share([&](Row row) { return zone.over_baked(row); });
        const std::vector<double> peaks_k = result_.column(zone.place, 0);
        made.peak_low_k = thermal::quantile(peaks_k, kLevels[0]);
        made.peak_median_k = thermal::quantile(peaks_k, kLevels[1]);
        made.peak_high_k = thermal::quantile(peaks_k, kLevels[2]);
        if (!zone.coated) return made;
        made.words = words([&](Row row) { return zone.words(row, too_hot(zone, row)); });
        made.more_hold_s = more_hold_s(zone);
        return made;
    }
    [[nodiscard]] ItemChances of(const ItemColumns& item) const {
        ItemChances made{item.item, band_of(result_.quantiles, item.place), {}, {}};
        for (std::size_t limit = 0; limit < item.limits.size(); ++limit)
            made.limit_passed.push_back(share([&](Row row) { return item.passed(limit, row); }));
        made.any_limit_passed = share([&](Row row) { return item.passed_any(row); });
        made.words = words([&](Row row) {
            return item.passed_any(row) ? cure::EnsembleMember{0.0, 1.0, 1.0} : cure::EnsembleMember{1.0, 0.0, 1.0};
        });
        return made;
    }
    void add_joint(EnsemblePrediction& prediction) const {
        const auto all = [this](Row row, auto&& is_cured) {
            return std::all_of(readings_.zones.begin(), readings_.zones.end(),
                               [&](const ZoneColumns& zone) { return !zone.coated || is_cured(zone, row); });
        };
        const auto by_time = [](const ZoneColumns& zone, Row row) { return zone.cured_by_time(row); };
        const auto by_any = [](const ZoneColumns& zone, Row row) { return zone.cured(row); };
        prediction.all_cured_by_time = share([&](Row row) { return all(row, by_time); });
        prediction.all_cured = share([&](Row row) { return all(row, by_any); });
        prediction.nothing_passed = share([&](Row row) { return nothing_passed(row); });
        prediction.good = share([&](Row row) { return all(row, by_any) && nothing_passed(row); });
    }

private:
    template <class Event>
    [[nodiscard]] thermal::EventProbability share(Event&& event) const {
        return thermal::probability(result_, event);
    }
    template <class Member>
    [[nodiscard]] cure::WordProbabilities words(Member&& member) const {
        std::vector<cure::EnsembleMember> members;
        members.reserve(result_.member_count());
        for (std::size_t i = 0; i < result_.member_count(); ++i) members.push_back(member(result_.row(i)));
        return cure::ensemble_probabilities(members);
    }
    [[nodiscard]] std::optional<double> more_hold_s(const ZoneColumns& zone) const {
        std::vector<double> missing_s;
        for (std::size_t i = 0; i < result_.member_count(); ++i) missing_s.push_back(zone.missing_s(result_.row(i)));
        // The next member up, so that nothing is read between one that will do and one that never does.
        const auto at = static_cast<std::size_t>(std::ceil(cure::kSure * static_cast<double>(missing_s.size() - 1)));
        std::nth_element(missing_s.begin(), missing_s.begin() + static_cast<std::ptrdiff_t>(at), missing_s.end());
        return std::isfinite(missing_s[at]) ? std::optional(missing_s[at]) : std::nullopt;
    }
    [[nodiscard]] bool too_hot(const ZoneColumns& zone, Row row) const {
        return zone.coated && absolute_maximum_k_ && row[zone.peak] > *absolute_maximum_k_;
    }
    [[nodiscard]] bool nothing_passed(Row row) const {
        return std::none_of(readings_.zones.begin(), readings_.zones.end(),
                            [&](const ZoneColumns& zone) { return too_hot(zone, row) || zone.over_baked(row); }) &&
               std::none_of(readings_.items.begin(), readings_.items.end(),
                            [&](const ItemColumns& item) { return item.passed_any(row); });
    }

    const thermal::EnsembleResult& result_;
    const EnsembleReadings& readings_;
    std::optional<double> absolute_maximum_k_;
};

}  // namespace

void EnsemblePredictOptions::check() const {
    predict.check();
    uncertainty.check();
    Problems problems;
    problems.within("members", static_cast<double>(member_count), 1.0, 1e7);
    problems.within("largest-error", largest_error_k, 1e-6, 0.5);
    problems.within("band-interval", band_interval_s, 1.0, 24.0 * kSecondPerHour);
    problems.refuse();
}

EnsemblePrediction predict_ensemble(const bake::Shell& shell, const bake::Booth& booth, const bake::Cycle& cycle,
                                    const cure::Coating& coating, const std::vector<cure::HeatSensitiveItem>& items,
                                    const EnsemblePredictOptions& options) {
    options.check();
    refuse_problems(shell, booth, coating, items);
    const std::vector<bake::ResolvedStage> stages = bake::resolve(cycle, booth);
    const bake::BuiltNetwork built =
        bake::build_network(shell, booth, options.predict, bake::booth_air_of(booth), stages.front().begin_k);
    const std::vector<thermal::Segment> segments = bake::cycle_segments(built, booth, cycle, stages, options.predict.after_s);
    const EnsembleReadings readings = readings_for(built, shell, coating, items);
    const MemberDraw draw(built, shell, booth, options);
    const thermal::EnsembleResult result =
        thermal::solve_ensemble(built.network, segments, readings.watched, std::cref(draw), thermal_options(options));
    EnsemblePrediction prediction;
    prediction.is_complete = result.is_complete;
    if (!result.is_complete) return prediction;
    prediction.member_count = result.member_count();
    prediction.time_s = result.quantiles.time_s;
    prediction.band_resolution_k = result.quantiles.resolution_k;
    prediction.statistics = result.statistics;
    const Chances chances(result, readings, coating);
    for (const ZoneColumns& zone : readings.zones) prediction.zones.push_back(chances.of(zone));
    for (const ItemColumns& item : readings.items) prediction.items.push_back(chances.of(item));
    chances.add_joint(prediction);
    return prediction;
}

}  // namespace bakewright::plan
