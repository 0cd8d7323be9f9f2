#include "recorder.hpp"

#include <algorithm>

namespace bakewright::bake {
namespace {

/// A burner counts as flat out from this share of its power on, and as out below this share.
constexpr double kFlatOut = 0.99;
constexpr double kOut = 1e-6;

}  // namespace

Recorder::Recorder(const BuiltNetwork& built, const Booth& booth, std::span<const thermal::Segment> segments, double interval_s)
    : built_(built), booth_(booth), segments_(segments) {
    const double span_s = segments.back().end_s - segments.front().begin_s;
    const auto moments = static_cast<std::size_t>(span_s / interval_s) + segments.size() + 2;
    for (const TraceOrigin& origin : built.origins) {
        traces_.traces.push_back({origin.name, origin.role, {}, {}, {}});
        traces_.traces.back().time_s.reserve(moments);
        traces_.traces.back().temperature_k.reserve(moments);
    }
}

void Recorder::operator()(double time_s, std::span<const double> node_k, std::span<const double> account_j) {
    while (segment_ + 1 < segments_.size() && time_s > segments_[segment_].end_s) ++segment_;
    for (std::size_t i = 0; i < built_.origins.size(); ++i) {
        const thermal::Following& at = built_.origins[i].at;
        const double place_k =
            at.place.kind == thermal::Place::Kind::node ? node_k[at.place.index] : boundary_k(at.place.index, time_s);
        traces_.traces[i].time_s.push_back(time_s);
        traces_.traces[i].temperature_k.push_back(at.at_k(place_k));
    }
    if (built_.booth && !last_account_j_.empty()) watch_burner(time_s, account_j[built_.booth->burner]);
    last_s_ = time_s;
    last_node_k_.assign(node_k.begin(), node_k.end());
    last_account_j_.assign(account_j.begin(), account_j.end());
}

void Recorder::watch_burner(double time_s, double burner_j) {
    const double span_s = time_s - last_s_;
    const double power_w = (burner_j - last_account_j_[built_.booth->burner]) / span_s;
    largest_power_w_ = std::max(largest_power_w_, power_w);
    if (power_w >= kFlatOut * booth_.burner_power_w) full_power_s_ += span_s;
    const bool is_steady = booth_.controller.kind == Controller::Kind::proportional_integral ||
                           booth_.controller.kind == Controller::Kind::burner_limited;
    const double least_w = booth_.burner_power_w / booth_.burner_turndown;
    if (is_steady && power_w > kOut * booth_.burner_power_w && power_w < least_w) pulsing_s_ += span_s;
}

HeatAccount Recorder::heat() const {
    HeatAccount heat;
    heat.convection_j = last_account_j_[built_.convection];
    heat.radiation_j = last_account_j_[built_.radiation];
    heat.infrared_j = last_account_j_[built_.infrared];
    heat.stored_j = stored_j(false);
    heat.closure_j = heat.convection_j + heat.radiation_j + heat.infrared_j - heat.stored_j;
    return heat;
}

BoothRun Recorder::booth_run(const std::vector<thermal::HeaterSwitch>& switches) const {
    using Kind = thermal::HeaterSwitch::Kind;
    BoothRun run;
    run.burner_j = last_account_j_[built_.booth->burner];
    run.fresh_air_j = -last_account_j_[built_.booth->make_up];
    run.wall_loss_j = last_account_j_[built_.booth->wall_loss];
    run.shell_j = last_account_j_[built_.convection] + last_account_j_[built_.radiation];
    run.stored_j = stored_j(true);
    run.closure_j = run.burner_j - run.fresh_air_j - run.wall_loss_j - run.shell_j - run.stored_j;
    run.largest_power_w = largest_power_w_;
    run.full_power_s = full_power_s_;
    run.pulsing_s = pulsing_s_;
    run.starts = static_cast<std::size_t>(
        std::count_if(switches.begin(), switches.end(), [](const auto& one) { return one.kind == Kind::on; }));
    const auto trip = std::find_if(switches.begin(), switches.end(), [](const auto& one) { return one.kind == Kind::tripped; });
    if (trip != switches.end()) run.tripped_s = trip->time_s;
    return run;
}

bool Recorder::is_booth_node(std::size_t node) const {
    if (!built_.booth) return false;
    const BuiltBooth& booth = *built_.booth;
    return node == booth.air.index || node == booth.wall.index || node == booth.sensor.index;
}

double Recorder::stored_j(bool in_booth) const {
    double stored_j = 0.0;
    for (std::size_t i = 0; i < last_node_k_.size(); ++i) {
        const thermal::Network::Node& node = built_.network.nodes()[i];
        if (is_booth_node(i) == in_booth) stored_j += node.heat_capacity_j_per_k * (last_node_k_[i] - node.start_k);
    }
    return stored_j;
}

double Recorder::boundary_k(std::size_t index, double time_s) const {
    const thermal::Segment& segment = segments_[segment_];
    const double share = (time_s - segment.begin_s) / (segment.end_s - segment.begin_s);
    return segment.boundary_begin_k[index] + share * (segment.boundary_end_k[index] - segment.boundary_begin_k[index]);
}

}  // namespace bakewright::bake
