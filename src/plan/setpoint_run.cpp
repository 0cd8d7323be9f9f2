#include "setpoint_run.hpp"

#include <algorithm>
#include <cmath>

#include "plan_task.hpp"

namespace bakewright::plan {
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

BakeModel::BakeModel(const PlanTask& task, const PlanOptions& options)
    : task_(task),
      options_(options),
      shape_(task, options),
      built_(bake::build_network(task.shell, task.booth, options.predict, bake::booth_air_of(task.booth), shape_.start_air_k())),
      coated_(task.shell.coated_zone_names()),
      watched_(judged_places(built_, task, coated_)) {}

bake::Prediction BakeModel::predict(const bake::Cycle& cycle) const {
    bake::PredictOptions fine = options_.predict;
    fine.output_interval_s = std::min(fine.output_interval_s, 10.0);
    fine.after_s = kSecondPerHour;
    return bake::predict(task_.shell, task_.booth, cycle, fine);
}

SetpointRun::SetpointRun(const BakeModel& model, const Settings& set)
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
    stored_j_ = 0.0;
    for (std::size_t i = 0; i < nodes.size(); ++i) stored_j_ += nodes[i].heat_capacity_j_per_k * (node_k[i] - nodes[i].start_k);
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

EnsemblePrediction BakeModel::ensemble(const bake::Cycle& cycle, const Confidence& confidence, std::size_t thread_count) const {
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
