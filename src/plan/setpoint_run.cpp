// SPDX-License-Identifier: Apache-2.0
#include "setpoint_run.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "bakewright/bake/build_network.hpp"
#include "bakewright/base/error.hpp"
#include "bakewright/plan/candidate.hpp"
#include "bakewright/plan/margins.hpp"
#include "bakewright/thermal/solve.hpp"

namespace bakewright::plan {
namespace {

/// Moments closer than this are one.
constexpr double kSameMomentS = 1e-6;

/// Weights of the polynomial through some moments, at one moment (Lagrange).
std::array<double, 4> weights(std::span<const double> at_s, double time_s) {
    std::array<double, 4> weight{};
    for (std::size_t i = 0; i < at_s.size(); ++i) {
        weight[i] = 1.0;
        for (std::size_t j = 0; j < at_s.size(); ++j)
            if (j != i) weight[i] *= (time_s - at_s[j]) / (at_s[i] - at_s[j]);
    }
    return weight;
}

}  // namespace

Course::Course(const bake::BuiltNetwork& built, const thermal::Network& network, std::vector<thermal::Segment> segments,
               const bake::PredictOptions& options)
    : segments_(std::move(segments)), nodes_(built.network.node_count()) {
    const thermal::SolveOptions how{.relative_tolerance = options.relative_tolerance,
                                    .absolute_tolerance_k = options.absolute_tolerance_k,
                                    .output_interval_s = options.output_interval_s,
                                    .with_accounts = false};
    const double span_s = segments_.back().end_s - segments_.front().begin_s;
    const std::size_t moments = static_cast<std::size_t>(span_s / options.output_interval_s) + segments_.size() + 2;
    time_s_.reserve(moments);
    node_k_.reserve(moments * nodes_);
    thermal::solve(network, segments_, how, [&](double time_s, std::span<const double> node_k, std::span<const double>) {
        time_s_.push_back(time_s);
        node_k_.insert(node_k_.end(), node_k.begin(), node_k.end());
    });
}

std::vector<double> Course::nodes_at(double time_s, double from_s) const {
    const auto first = std::lower_bound(time_s_.begin(), time_s_.end(), from_s - kSameMomentS);
    const auto after = std::lower_bound(first, time_s_.end(), time_s - kSameMomentS);
    ensure(after != time_s_.end(), "a course is asked for a moment it holds");
    const auto row = [&](std::ptrdiff_t index) { return node_k_.begin() + index * static_cast<std::ptrdiff_t>(nodes_); };
    const std::ptrdiff_t at = after - time_s_.begin();
    if (std::abs(*after - time_s) <= kSameMomentS) return {row(at), row(at + 1)};
    const std::ptrdiff_t low = first - time_s_.begin(), high = std::ssize(time_s_);
    const std::ptrdiff_t begin = std::max(low, std::min(at - 2, high - 4)), end = std::min(begin + 4, high);
    const auto weight =
        weights(std::span(time_s_).subspan(static_cast<std::size_t>(begin), static_cast<std::size_t>(end - begin)), time_s);
    std::vector<double> node_k(nodes_, 0.0);
    for (std::ptrdiff_t m = begin; m < end; ++m)
        for (std::size_t n = 0; n < nodes_; ++n)
            node_k[n] += weight[static_cast<std::size_t>(m - begin)] * row(m)[static_cast<std::ptrdiff_t>(n)];
    return node_k;
}

double Course::place_k(const bake::TraceOrigin& origin, std::span<const double> node_k, double time_s) const {
    const thermal::Following& at = origin.at;
    const double place_k =
        at.place.kind == thermal::Place::Kind::node ? node_k[at.place.index] : boundary_k(at.place.index, time_s);
    return at.at_k(place_k);
}

void Course::add_to(Trace& trace, const bake::TraceOrigin& origin, double until_s) const {
    const double last_s = trace.time_s.empty() ? -HUGE_VAL : trace.time_s.back();
    const auto first = std::upper_bound(time_s_.begin(), time_s_.end(), last_s + kSameMomentS);
    const auto end = std::upper_bound(first, time_s_.end(), until_s + kSameMomentS);
    trace.time_s.insert(trace.time_s.end(), first, end);
    trace.temperature_k.reserve(trace.time_s.size());
    const thermal::Following& at = origin.at;
    for (auto i = static_cast<std::size_t>(first - time_s_.begin()); i < static_cast<std::size_t>(end - time_s_.begin()); ++i) {
        const bool is_node = at.place.kind == thermal::Place::Kind::node;
        const double there_k = is_node ? node_k_[i * nodes_ + at.place.index] : boundary_k(at.place.index, time_s_[i]);
        trace.temperature_k.push_back(at.at_k(there_k));
    }
}

double Course::boundary_k(std::size_t index, double time_s) const {
    const auto ends_before = [](const thermal::Segment& segment, double moment_s) { return segment.end_s < moment_s; };
    auto segment = std::lower_bound(segments_.begin(), segments_.end(), time_s, ends_before);
    if (segment == segments_.end()) --segment;
    const double share = (time_s - segment->begin_s) / (segment->end_s - segment->begin_s);
    return segment->boundary_begin_k[index] + share * (segment->boundary_end_k[index] - segment->boundary_begin_k[index]);
}

namespace {

using bake::StageKind;

/// The ramp stays this much under what the coating allows, so that the solver's last digits do not pass the limit.
constexpr double kRampInHand = 0.99;

bake::Stage stage(StageKind kind, double setpoint_k, double duration_s) {
    bake::Stage made;
    made.kind = kind;
    made.setpoint_k = setpoint_k;
    made.duration_s = duration_s;
    return made;
}

double up_to_whole_minutes_s(double time_s) { return std::ceil(time_s / kSecondPerMinute - 1e-9) * kSecondPerMinute; }

/// A zone's air may rise faster than the booth's reference air; its face never rises faster than its air.
double largest_air_gain(const bake::Shell& shell, const bake::Booth& booth) {
    double gain = 1.0;
    for (const bake::Zone& zone : shell.zones)
        gain = std::max(gain, 1.0 + booth.vertical_offset_k(zone.height_m) / booth.rise_of_full_offset_k());
    return gain;
}

double length_s(const std::vector<bake::Stage>& stages) {
    double sum_s = 0.0;
    for (const bake::Stage& part : stages) sum_s += *part.duration_s;
    return sum_s;
}

}  // namespace

CycleShape::CycleShape(const PlanTask& task, const PlanOptions& options)
    : start_air_k_(task.booth.ambient_k),
      wait_s_(options.wait_s),
      purge_s_(options.purge_s),
      flash_off_s_(planned_flash_off_s(task.coating, options)),
      ramp_k_per_s_(std::min(options.ramp_k_per_s, task.booth.largest_ramp_k_per_s)),
      // The booth cools no faster than it heats: common practice.
      fall_k_per_s_(task.booth.largest_ramp_k_per_s),
      falls_as_it_rose_(options.largest_difference_k.has_value()),
      steps_(options.steps),
      second_holds_(options.second_holds) {
    if (task.coating.largest_heating_rate_k_per_s)
        ramp_k_per_s_ = std::min(
            ramp_k_per_s_, kRampInHand * *task.coating.largest_heating_rate_k_per_s / largest_air_gain(task.shell, task.booth));
    slowest_ramp_k_per_s_ = std::min(options.slowest_ramp_k_per_s.value_or(ramp_k_per_s_), ramp_k_per_s_);
}

std::vector<double> CycleShape::ramps_to_try() const {
    std::vector<double> ramps{ramp_k_per_s_};
    while (ramps.back() - kRampStepKPerS > slowest_ramp_k_per_s_ - 1e-12) ramps.push_back(ramps.back() - kRampStepKPerS);
    return ramps;
}

void CycleShape::go_to(std::vector<bake::Stage>& stages, double setpoint_k, double rate_k_per_s) const {
    const double from_k = stages.empty() ? start_air_k_ : *stages.back().setpoint_k;
    const double length_s = up_to_whole_minutes_s(std::abs(setpoint_k - from_k) / rate_k_per_s);
    if (length_s > 0.0) stages.push_back(stage(StageKind::ramp, setpoint_k, length_s));
}

std::vector<bake::Stage> CycleShape::until_hold(const Settings& set) const {
    std::vector<bake::Stage> stages;
    if (wait_s_ > 0.0) stages.push_back(stage(StageKind::cool, start_air_k_, wait_s_));
    if (flash_off_s_ > 0.0) stages.push_back(stage(StageKind::flash_off, start_air_k_, flash_off_s_));
    // Last before the burner may light.
    if (purge_s_ > 0.0) stages.push_back(stage(StageKind::purge, start_air_k_, purge_s_));
    for (const Step& step : steps_) {
        go_to(stages, step.setpoint_k, set.ramp_k_per_s);
        stages.push_back(stage(StageKind::hold, step.setpoint_k, step.hold_s));
    }
    go_to(stages, set.setpoint_k, set.ramp_k_per_s);
    return stages;
}

std::vector<bake::Stage> CycleShape::heat(const Settings& set) const {
    std::vector<bake::Stage> stages = until_hold(set);
    stages.push_back(stage(StageKind::hold, set.setpoint_k, set.hold_s));
    for (const Step& step : second_holds_) {
        go_to(stages, step.setpoint_k, set.ramp_k_per_s);
        stages.push_back(stage(StageKind::hold, step.setpoint_k, step.hold_s));
    }
    return stages;
}

bake::Cycle CycleShape::cycle(const Settings& set, double cool_s) const {
    bake::Cycle made;
    made.id = "planned";
    made.title = "planned cycle";
    made.start_k = start_air_k_;
    made.stages = heat(set);
    const double down_s = fall_s(set);
    if (down_s > 0.0) made.stages.push_back(stage(StageKind::cool, start_air_k_, down_s));
    const double rest_s = up_to_whole_minutes_s(cool_s) - down_s;
    if (rest_s > 0.0) made.stages.push_back(stage(StageKind::cool, start_air_k_, rest_s));
    return made;
}

double CycleShape::fall_s(const Settings& set) const {
    const double from_k = second_holds_.empty() ? set.setpoint_k : second_holds_.back().setpoint_k;
    // Where a difference is limited the air goes down no faster than it went up: a thin skin leads its laminate both ways.
    return up_to_whole_minutes_s(std::abs(from_k - start_air_k_) / (falls_as_it_rose_ ? set.ramp_k_per_s : fall_k_per_s_));
}

std::size_t CycleShape::hold_index(const Settings& set) const { return until_hold(set).size(); }

double CycleShape::begin_of_hold_s(const Settings& set) const { return length_s(until_hold(set)); }

double CycleShape::begin_of_cool_s(const Settings& set) const { return length_s(heat(set)); }

namespace {

std::vector<bake::TraceOrigin> judged_places(const bake::BuiltNetwork& built, const PlanTask& task,
                                             const std::vector<std::string>& coated) {
    std::vector<bake::TraceOrigin> places;
    const std::vector<BondedPair> bonds = bonded_pairs(task.shell);
    for (const bake::TraceOrigin& origin : built.origins) {
        const bool is_item = std::any_of(task.items.begin(), task.items.end(),
                                         [&](const cure::HeatSensitiveItem& item) { return item.name == origin.name; });
        const bool has_coat =
            task.so_far != nullptr && std::any_of(task.so_far->coats.begin(), task.so_far->coats.end(),
                                                  [&](const CoatSoFar& coat) { return coat.zone == origin.name; });
        const bool is_bonded = std::any_of(bonds.begin(), bonds.end(), [&](const BondedPair& pair) {
            return pair.metal == origin.name || pair.laminate == origin.name;
        });
        if (origin.role == TraceRole::booth_air || is_item || has_coat || is_bonded || stands_in(coated, origin.name))
            places.push_back(origin);
    }
    return places;
}

}  // namespace

SearchModel::SearchModel(const PlanTask& task, const PlanOptions& options)
    : task_(task),
      options_(options),
      shape_(task, options),
      built_(bake::build_network(task.shell, task.booth, options.predict, bake::booth_air_of(task.booth), shape_.start_air_k())),
      coated_(task.shell.coated_place_names()),
      watched_(judged_places(built_, task, coated_)) {}

bake::Prediction SearchModel::predict(const bake::Cycle& cycle) const {
    bake::PredictOptions fine = options_.predict;
    fine.output_interval_s = std::min(fine.output_interval_s, 10.0);
    fine.after_s = kSecondPerHour;
    return bake::predict(task_.shell, task_.booth, cycle, fine);
}

SetpointRun::SetpointRun(const SearchModel& model, const Settings& set)
    : model_(model), set_(set), begin_of_hold_s_(model.shape().begin_of_hold_s(set)), network_(model.built().network) {
    if (!model.can_go_on()) return;
    std::vector<thermal::Segment> heat = segments(set);
    heat.resize(model.shape().hold_index(set) + 1);
    heat_up_.emplace(model.built(), network_, std::move(heat), model.options().predict);
}

std::vector<thermal::Segment> SetpointRun::segments(const Settings& set) const {
    const bake::Cycle cycle = model_.shape().cycle(set, kFollowedCoolS);
    const bake::Booth& booth = model_.task().booth;
    return bake::cycle_segments(model_.built(), booth, cycle, bake::resolve(cycle, booth), 0.0);
}

void SetpointRun::begin(double hold_s) {
    baked_.set = set_;
    baked_.set.hold_s = hold_s;
    baked_.begin_of_cool_s = model_.shape().begin_of_cool_s(baked_.set);
    const auto& watched = model_.watched();
    baked_.traces.traces.resize(watched.size());
    for (std::size_t i = 0; i < watched.size(); ++i) {
        Trace& trace = baked_.traces.traces[i];
        trace.name = watched[i].name;
        trace.role = watched[i].role;
        trace.time_s.clear();
        trace.temperature_k.clear();
        if (const Trace* had = had_before(watched[i].name)) trace = *had;
        if (heat_up_) heat_up_->add_to(trace, watched[i], begin_of_hold_s_ + hold_s);
    }
}

const Trace* SetpointRun::had_before(const std::string& name) const {
    return model_.task().before == nullptr ? nullptr : model_.task().before->find(name);
}

const Baked& SetpointRun::bake(double hold_s) {
    begin(hold_s);
    if (heat_up_)
        go_on(hold_s);
    else
        solve_whole(hold_s);
    return baked_;
}

const Baked& SetpointRun::heat(double hold_s) {
    if (!heat_up_) return bake(hold_s);
    begin(hold_s);
    const double end_s = begin_of_hold_s_ + hold_s;
    const std::vector<double> node_k = heat_up_->nodes_at(end_s, begin_of_hold_s_);
    for (std::size_t i = 0; i < model_.watched().size(); ++i) {
        Trace& trace = baked_.traces.traces[i];
        if (!trace.time_s.empty() && trace.time_s.back() >= end_s - 1e-6) continue;
        trace.time_s.push_back(end_s);
        trace.temperature_k.push_back(heat_up_->place_k(model_.watched()[i], node_k, end_s));
    }
    return baked_;
}

void SetpointRun::go_on(double hold_s) {
    const double end_of_hold_s = begin_of_hold_s_ + hold_s;
    const std::vector<double> node_k = heat_up_->nodes_at(end_of_hold_s, begin_of_hold_s_);
    for (std::size_t i = 0; i < node_k.size(); ++i) network_.set_start(i, node_k[i]);
    std::vector<thermal::Segment> rest = segments(baked_.set);
    rest.erase(rest.begin(), rest.begin() + static_cast<std::ptrdiff_t>(model_.shape().hold_index(set_)) + 1);
    const Course course(model_.built(), network_, std::move(rest), model_.options().predict);
    for (std::size_t i = 0; i < model_.watched().size(); ++i)
        course.add_to(baked_.traces.traces[i], model_.watched()[i], HUGE_VAL);
    note_stored(course.nodes_at(baked_.begin_of_cool_s, end_of_hold_s));
}

void SetpointRun::solve_whole(double hold_s) {
    const Course course(model_.built(), model_.built().network, segments(baked_.set), model_.options().predict);
    for (std::size_t i = 0; i < model_.watched().size(); ++i)
        course.add_to(baked_.traces.traces[i], model_.watched()[i], HUGE_VAL);
    note_stored(course.nodes_at(baked_.begin_of_cool_s, begin_of_hold_s_ + hold_s));
}

void SetpointRun::note_stored(std::span<const double> node_k) {
    const auto& nodes = model_.built().network.nodes();
    stored_j_ = stored_in_booth_j_ = 0.0;
    for (std::size_t i = 0; i < nodes.size(); ++i) {
        const auto& of_booth = model_.built().booth_nodes;
        const bool is_booth = std::find(of_booth.begin(), of_booth.end(), i) != of_booth.end();
        (is_booth ? stored_in_booth_j_ : stored_j_) += nodes[i].heat_capacity_j_per_k * (node_k[i] - nodes[i].start_k);
    }
}

double SetpointRun::cool_s() {
    const double cooled_s = std::ceil(cooled_after_s() / kSecondPerMinute - 1e-9) * kSecondPerMinute;
    return std::max(cooled_s, model_.shape().fall_s(baked_.set));
}

bake::Cycle SetpointRun::cycle(double hold_s) {
    static_cast<void>(bake(hold_s));
    return model_.shape().cycle(baked_.set, cool_s());
}

EnsemblePrediction SetpointRun::ensemble(const bake::Cycle& cycle, const Confidence& confidence) const {
    return model_.ensemble(cycle, confidence, 1);  // set points go side by side
}

EnsemblePrediction SearchModel::ensemble(const bake::Cycle& cycle, const Confidence& confidence, std::size_t thread_count) const {
    EnsemblePredictOptions asked;
    asked.member_count = confidence.member_count;
    asked.seed = confidence.seed;
    asked.uncertainty = confidence.uncertainty;
    asked.predict = options_.predict;
    asked.thread_count = thread_count;
    asked.band_interval_s = 0.0;
    return predict_ensemble(task_.shell, task_.booth, cycle, task_.coating, task_.items, asked,
                            {task_.so_far, task_.before, options_.largest_difference_k});
}

double SetpointRun::cooled_after_s() const {
    const double handling_k = model_.options().handling_k;
    double latest_s = baked_.begin_of_cool_s;
    for (const std::string& name : model_.coated()) {
        const Trace& trace = *baked_.traces.find(name);
        std::size_t i = trace.size();
        while (i > 0 && trace.temperature_k[i - 1] <= handling_k) --i;
        if (i > 0) latest_s = std::max(latest_s, trace.time_s[std::min(i, trace.size() - 1)]);
    }
    return latest_s - baked_.begin_of_cool_s;
}

}  // namespace bakewright::plan
