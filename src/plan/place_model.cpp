// SPDX-License-Identifier: Apache-2.0
#include "place_model.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "bakewright/bake/build_network.hpp"
#include "bakewright/bake/members.hpp"
#include "bakewright/base/error.hpp"
#include "bakewright/cure/rule.hpp"
#include "bakewright/plan/task.hpp"
#include "bakewright/thermal/ensemble.hpp"
#include "driven.hpp"

namespace bakewright::plan {
namespace {

constexpr double kSampleEveryS = 60.0;
constexpr double kNumberStep = 0.3;  // by which a number is moved to see what it does, in standard deviations
constexpr double kLargestErrorK = 0.01;

/// What a number is, for people: names of the profiles, as tuning tells them.
std::string name_of(const bake::DrawnNumber& number) {
    using Kind = bake::DrawnNumber::Kind;
    const auto with = [&](std::string_view what) {
        return number.subject.empty() ? std::string(what) : std::string(what) + " " + number.subject;
    };
    switch (number.kind) {
        case Kind::air:
            return "air against set point";
        case Kind::outside:
            return "air outside the booth";
        case Kind::start:
            return "start of the shell";
        case Kind::film_group:
            return with(word_of(bake::LearnedKind::group_film));
        case Kind::factor:
            if (number.factor == bake::FactorKind::doorway) return "open doors";
            if (const auto kind = bake::learned_kind_of(number.factor)) return with(word_of(*kind));
            return number.subject;
        case Kind::learned:
            return number.subject;
        case Kind::own_air:
            return "air along " + number.subject;
        case Kind::surroundings:
            return "walls, ceiling and floor";
        case Kind::surface:
            return with("probe on");
    }
    return {};
}

/// The spread that a number has over all sizes of the model's own errors, as a share of that of the widest.
double share_of_widest(const bake::MemberSpace& space, const bake::DrawnNumber& number) {
    if (!number.is_discrepancy()) return 1.0;
    double mean_square = 0.0;
    for (const bake::DiscrepancySize& size : space.sizes()) mean_square += size.weight * std::pow(space.shrunk(number, size), 2);
    return std::sqrt(mean_square);
}

bool is_place(const bake::TraceOrigin& origin, const bake::Booth& booth) {
    // Walls that follow the air at a stated distance are no balance: a probe there would read what the booth's profile says.
    if (origin.role == TraceRole::booth_wall) return bake::booth_surface_of(origin.name) && !booth.states_wall_offset();
    return true;
}

thermal::EnsembleOptions solve_options(std::size_t member_count, std::size_t thread_count) {
    thermal::EnsembleOptions options;
    options.output_interval_s = options.quantile_interval_s = kSampleEveryS;
    options.largest_error_k = kLargestErrorK;
    options.quantile_levels.clear();
    options.keeps_traces = true;
    options.precision = thermal::Precision::in_doubles;
    options.member_count = member_count;
    options.thread_count = thread_count;
    return options;
}

}  // namespace

const PlaceModel::Place* PlaceModel::find(const std::string& name) const {
    const auto found = std::find_if(places.begin(), places.end(), [&](const Place& one) { return one.name == name; });
    return found == places.end() ? nullptr : &*found;
}

PlaceModel place_model(const PlaceTask& task, const PlaceOptions& options) {
    const bake::DrivenNetwork driven = driven_by(task.shell, task.booth, task.cycle, options.predict);
    const bake::MemberSpace space(driven.built, task.shell, task.booth, options.uncertainty);
    const std::vector<std::string> coated = task.shell.coated_place_names();
    PlaceModel made;
    std::vector<thermal::WatchedPlace> watched;
    for (const bake::TraceOrigin& origin : driven.built.origins) {
        if (!is_place(origin, task.booth)) continue;
        if (origin.role == TraceRole::booth_air) made.air = static_cast<Eigen::Index>(made.places.size());
        watched.push_back({origin.name, origin.at, {}});
        made.places.push_back({origin.name, origin.role, stands_in(coated, origin.name), {}, {}});
    }
    const std::size_t count = space.numbers().size() + 1;
    const auto moved = [&](std::size_t index, thermal::EnsembleMember& member) {
        std::vector<double> normals(space.numbers().size(), 0.0);
        if (index > 0) normals[index - 1] = kNumberStep;
        space.set(normals, member);
    };
    const thermal::EnsembleResult result = thermal::solve_ensemble(driven.built.network, driven.segments, watched, moved,
                                                                   solve_options(count, options.thread_count));
    const std::size_t moments = result.quantiles.time_s.size();
    for (std::size_t p = 0; p < made.places.size(); ++p) {
        PlaceModel::Place& place = made.places[p];
        place.temperature_k.resize(static_cast<Eigen::Index>(moments));
        place.slope_k.resize(static_cast<Eigen::Index>(moments), static_cast<Eigen::Index>(count - 1));
        for (std::size_t t = 0; t < moments; ++t) {
            const float* of_members = &result.trace_k[(p * moments + t) * count];
            const auto row = static_cast<Eigen::Index>(t);
            place.temperature_k[row] = of_members[0];
            for (std::size_t n = 0; n + 1 < count; ++n)
                place.slope_k(row, static_cast<Eigen::Index>(n)) =
                    (static_cast<double>(of_members[n + 1]) - static_cast<double>(of_members[0])) / kNumberStep *
                    share_of_widest(space, space.numbers()[n]);
        }
    }
    for (const bake::DrawnNumber& number : space.numbers()) made.numbers.push_back(name_of(number));
    return made;
}

/// The series is made independent row by row, (s_i - r s_i-1) / sqrt(1 - r^2) (Prais & Winsten 1954, from memory); the offset is
/// taken out by Sherman & Morrison, Ann. Math. Stat. 21 (1950) 124.
PlaceReadings::PlaceReadings(const PlaceModel::Place& place, double residual_k, double residual_time_s) {
    const Eigen::Index moments = place.slope_k.rows(), numbers = place.slope_k.cols();
    const double alike = residual_time_s > 0.0 ? std::exp(-kSampleEveryS / residual_time_s) : 0.0;
    PlaceMatrix white(moments, numbers + 1);
    white << place.slope_k, PlaceMatrix::Ones(moments, 1);
    const double fresh = std::sqrt(1.0 - alike * alike);
    for (Eigen::Index row = moments - 1; row > 0; --row)
        white.row(row) = (white.row(row) - alike * white.row(row - 1)).eval() / fresh;
    information_ = white.transpose() * white / (residual_k * residual_k);
}

PlaceMatrix PlaceReadings::rows(double offset_k) const {
    constexpr double kMissedTrace = 1e-3;  // nobody misses it beside a prior of one
    const Eigen::Index numbers = information_.cols() - 1;
    const Eigen::VectorXd with_offset = information_.col(numbers).head(numbers);
    const double offset_k2 = offset_k * offset_k;
    PlaceMatrix information = information_.topLeftCorner(numbers, numbers);
    information -= with_offset * with_offset.transpose() * (offset_k2 / (1.0 + offset_k2 * information_(numbers, numbers)));
    return rows_of(std::move(information), kMissedTrace);
}

namespace {

constexpr std::size_t kDraws = 512;  // from which it is read who decides: good to 2 %
constexpr std::uint64_t kDrawSeed = 1;
constexpr double kLeastSpreadK = 0.3;  // through which a rate is read: a reading's own scatter

/// Something that may decide: how much is wanted there on the best guess, and how that hangs on the numbers.
struct Decider {
    double wanted = 0.0;
    Eigen::RowVectorXd slope;
};

/// How often each of them is the one that wants most.
std::vector<double> shares_of_deciding(const std::vector<Decider>& deciders) {
    std::vector<double> shares(deciders.size(), 0.0);
    std::vector<double> normals(static_cast<std::size_t>(deciders.front().slope.size()));
    for (std::size_t draw = 0; draw < kDraws; ++draw) {
        thermal::draw_normals(kDrawSeed, draw, normals);
        const Eigen::Map<const Eigen::VectorXd> z(normals.data(), static_cast<Eigen::Index>(normals.size()));
        std::size_t most = 0;
        double most_wanted = -std::numeric_limits<double>::infinity();
        for (std::size_t i = 0; i < deciders.size(); ++i) {
            const double wanted = deciders[i].wanted + deciders[i].slope.dot(z);
            if (wanted <= most_wanted) continue;
            most_wanted = wanted;
            most = i;
        }
        shares[most] += 1.0 / static_cast<double>(kDraws);
    }
    return shares;
}

PlaceMatrix rows_weighed(const std::vector<Decider>& deciders, const std::vector<double>& shares) {
    PlaceMatrix rows(static_cast<Eigen::Index>(deciders.size()), deciders.front().slope.size());
    for (std::size_t i = 0; i < deciders.size(); ++i)
        rows.row(static_cast<Eigen::Index>(i)) = std::sqrt(shares[i]) * deciders[i].slope;
    return rows;
}

/// The rate of cure and its slope at a temperature that is known so well: means over a normal distribution. They are smooth where
/// the sheet's rate begins at once.
struct SmoothRate {
    double per_s = 0.0, per_s_k = 0.0;
};
SmoothRate smooth_rate(const cure::CureWindow& window, double temperature_k, double standard_k) {
    constexpr int kSide = 10;
    constexpr double kStep = 0.3;
    SmoothRate made;
    double weights = 0.0;
    for (int i = -kSide; i <= kSide; ++i) {
        const double z = kStep * i, weight = std::exp(-0.5 * z * z);
        const double required_s = window.required_s(temperature_k + standard_k * z);
        const double rate = std::isfinite(required_s) ? 1.0 / required_s : 0.0;
        weights += weight;
        made.per_s += weight * rate;
        made.per_s_k += weight * rate * z / standard_k;  // Stein, Ann. Stat. 9 (1981) 1135: E f' = E f z / s
    }
    made.per_s /= weights;
    made.per_s_k /= weights;
    return made;
}

/// What each coated zone wants of hold; zones that never earn anything have no part in it.
std::vector<Decider> needs_of_hold(const PlaceModel& model, const cure::Coating& coating) {
    const cure::CureWindow window(coating);
    const bool is_by_air = coating.basis == cure::ScheduleBasis::booth_air;
    std::vector<Decider> needs;
    for (const PlaceModel::Place& zone : model.places) {
        if (!zone.is_coated) continue;
        const PlaceModel::Place& read = is_by_air ? model.places[static_cast<std::size_t>(model.air)] : zone;
        double credit = 0.0, rate_per_s = 0.0, peak_k = 0.0;
        Eigen::RowVectorXd slope = Eigen::RowVectorXd::Zero(read.slope_k.cols());
        for (Eigen::Index t = 0; t < read.temperature_k.size(); ++t) {
            const double standard_k = std::max(read.slope_k.row(t).norm(), kLeastSpreadK);
            const SmoothRate rate = smooth_rate(window, read.temperature_k[t], standard_k);
            credit += rate.per_s * kSampleEveryS;
            slope += rate.per_s_k * kSampleEveryS * read.slope_k.row(t);
            if (read.temperature_k[t] <= peak_k) continue;
            peak_k = read.temperature_k[t];
            rate_per_s = rate.per_s;
        }
        if (!(rate_per_s > 0.0)) continue;
        needs.push_back({(1.0 - credit) / rate_per_s, -slope / rate_per_s});
        if (is_by_air) break;  // all zones are judged by the same air
    }
    return needs;
}

struct ItemCloseness {
    std::string item;
    Decider closeness;  ///< below 0: so many kelvins under the limit
};

std::vector<ItemCloseness> item_closeness(const PlaceModel& model, const PlaceTask& task) {
    std::vector<ItemCloseness> margins;
    for (const cure::HeatSensitiveItem& item : task.items) {
        const PlaceModel::Place* place = model.find(item.name);
        double lowest_k = std::numeric_limits<double>::infinity();
        for (const cure::ExposureLimit& limit : item.limits)
            if (cure::changes_word(limit)) lowest_k = std::min(lowest_k, limit.temperature_k);
        if (place == nullptr || !std::isfinite(lowest_k)) continue;
        Eigen::Index at = 0;
        const double peak_k = place->temperature_k.maxCoeff(&at);
        margins.push_back({item.name, {peak_k - lowest_k, place->slope_k.row(at)}});
    }
    return margins;
}

/// The course of every coated zone, all zones and moments alike.
PlaceMatrix course_rows(const PlaceModel& model) {
    PlaceMatrix squares = PlaceMatrix::Zero(model.places.front().slope_k.cols(), model.places.front().slope_k.cols());
    double count = 0.0;
    for (const PlaceModel::Place& place : model.places) {
        if (!place.is_coated) continue;
        squares += place.slope_k.transpose() * place.slope_k / static_cast<double>(place.slope_k.rows());
        count += 1.0;
    }
    if (count > 0.0) squares /= count;
    const double missed = 1e-10 * squares.trace();
    return rows_of(std::move(squares), missed);
}

}  // namespace

std::optional<PlaceMatrix> asked_rows(const PlaceModel& model, const PlaceTask& task, ProbeAim aim) {
    if (aim == ProbeAim::learning) return course_rows(model);
    std::vector<Decider> deciders;
    if (aim == ProbeAim::items)
        for (ItemCloseness& margin : item_closeness(model, task)) deciders.push_back(std::move(margin.closeness));
    else
        deciders = needs_of_hold(model, *task.coating);
    if (deciders.empty()) return std::nullopt;
    const std::vector<double> alike(deciders.size(), 1.0 / static_cast<double>(deciders.size()));
    return rows_weighed(deciders, aim == ProbeAim::cure ? alike : shares_of_deciding(deciders));
}

std::string weakest_item(const PlaceModel& model, const PlaceTask& task) {
    std::string weakest;
    double most = -std::numeric_limits<double>::infinity();
    for (const ItemCloseness& margin : item_closeness(model, task)) {
        const double in_deviations = margin.closeness.wanted / std::max(margin.closeness.slope.norm(), kLeastSpreadK);
        if (in_deviations <= most) continue;
        most = in_deviations;
        weakest = margin.item;
    }
    return weakest;
}

}  // namespace bakewright::plan
