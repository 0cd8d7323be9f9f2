// SPDX-License-Identifier: Apache-2.0
#include "bakewright/plan/remedies.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <functional>

#include "bakewright/bake/cold_places.hpp"
#include "bakewright/base/error.hpp"

namespace bakewright::plan {
namespace {

/// Copies of what a change may touch.
struct Changed {
    bake::Shell shell;
    bake::Booth booth;
    std::vector<cure::HeatSensitiveItem> items;
    PlanOptions options;
};

class RemedyFinder {
public:
    RemedyFinder(const PlanTask& task, const PlanOptions& options) : task_(task), options_(options) {}

    void try_change(RemedyKind kind, const std::string& subject, const std::function<void(Changed&)>& change) {
        Changed changed{task_.shell, task_.booth, task_.items, options_};
        changed.options.progress = {};
        change(changed);
        const Plan plan =
            plan_cycle({changed.shell, changed.booth, task_.coating, changed.items, task_.so_far, task_.before}, changed.options);
        Remedy remedy{kind, subject, plan.feasible, 0.0, 0.0, 0.0, std::nullopt};
        if (plan.feasible) {
            const Candidate& best = *plan.chosen;
            remedy.setpoint_k = best.setpoint_k;
            remedy.hold_s = *best.hold_s;
            remedy.booth_time_s = best.booth_time_s;
        } else if (plan.coolest_that_cures && plan.hottest_that_spares) {
            remedy.gap_k =
                plan.candidates[*plan.coolest_that_cures].setpoint_k - plan.candidates[*plan.hottest_that_spares].setpoint_k;
        }
        found_.push_back(std::move(remedy));
    }

    /// The shell without a zone, and that zone alone with air on both faces; times are of the two bakes together.
    void try_apart(const std::string& name) {
        Changed rest{task_.shell, task_.booth, task_.items, options_}, panel{{}, task_.booth, {}, options_};
        rest.options.progress = panel.options.progress = {};
        const auto zone = std::find_if(rest.shell.zones.begin(), rest.shell.zones.end(),
                                       [&](const bake::Zone& one) { return one.name == name; });
        panel.shell.id = name;
        panel.shell.zones = {*zone};
        panel.shell.zones.front().inner = zone->outer;
        rest.shell.zones.erase(zone);
        std::erase_if(rest.shell.links, [&](const bake::Link& link) { return link.from == name || link.to == name; });
        // What heat may spoil of the zone itself goes with it.
        for (const cure::HeatSensitiveItem& item : task_.items)
            if (item.name == name) panel.items.push_back(item);
        std::erase_if(rest.items, [&](const cure::HeatSensitiveItem& item) { return item.name == name; });
        const Plan both[] = {plan_cycle({rest.shell, rest.booth, task_.coating, rest.items}, rest.options),
                             plan_cycle({panel.shell, panel.booth, task_.coating, panel.items}, panel.options)};
        Remedy remedy{RemedyKind::bake_apart, name, both[0].feasible && both[1].feasible, 0.0, 0.0, 0.0, std::nullopt};
        if (remedy.feasible) {
            remedy.setpoint_k = both[0].chosen->setpoint_k;
            remedy.hold_s = *both[0].chosen->hold_s;
            remedy.booth_time_s = both[0].chosen->booth_time_s + both[1].chosen->booth_time_s;
        }
        found_.push_back(std::move(remedy));
    }

    [[nodiscard]] std::vector<Remedy> take() {
        const auto rank = [](const Remedy& a, const Remedy& b) {
            if (a.feasible != b.feasible) return a.feasible;
            return a.feasible ? a.booth_time_s < b.booth_time_s : a.gap_k.value_or(HUGE_VAL) < b.gap_k.value_or(HUGE_VAL);
        };
        std::stable_sort(found_.begin(), found_.end(), rank);
        return std::move(found_);
    }

private:
    const PlanTask& task_;
    const PlanOptions& options_;
    std::vector<Remedy> found_;
};

bake::Zone* zone_in(bake::Shell& shell, const std::string& name) {
    const auto found = std::find_if(shell.zones.begin(), shell.zones.end(), [&](const auto& zone) { return zone.name == name; });
    return found == shell.zones.end() ? nullptr : &*found;
}

const bake::Zone* zone_in(const bake::Shell& shell, const std::string& name) {
    const auto found = std::find_if(shell.zones.begin(), shell.zones.end(), [&](const auto& zone) { return zone.name == name; });
    return found == shell.zones.end() ? nullptr : &*found;
}

/// A coated zone that no item is fixed to, with others beside it. What earlier coats had is kept by zone of the whole shell.
bool can_be_apart(const PlanTask& task, const std::string& zone) {
    const auto is_fixed_there = [&](const bake::Item& item) {
        return item.place == bake::Item::Place::zone && item.where == zone;
    };
    return task.so_far == nullptr && task.before == nullptr && task.shell.coated_zone_names().size() > 1 &&
           std::none_of(task.shell.items.begin(), task.shell.items.end(), is_fixed_there);
}

void change_air(Changed& changed, const std::string& zone, double share) {
    bake::Zone* at = zone_in(changed.shell, zone);
    if (at == nullptr) return;
    at->outer.film_w_per_m2_k = share * at->outer.film_w_per_m2_k.value_or(changed.booth.film_coefficient().value);
}

void take_out(Changed& changed, const std::string& name) {
    std::erase_if(changed.shell.items, [&](const bake::Item& item) { return item.name == name; });
    std::erase_if(changed.items, [&](const cure::HeatSensitiveItem& item) { return item.name == name; });
}

void shield(Changed& changed, const std::string& name) {
    for (bake::Item& item : changed.shell.items)
        if (item.name == name) item.conductance_w_per_k *= kShieldShare;
}

void add_for_zone(RemedyFinder& finder, const bake::Shell& shell, const std::string& name) {
    finder.try_change(RemedyKind::baffle_zone, name, [&](Changed& c) { change_air(c, name, kBaffleShare); });
    // Paint that is to cure cannot be covered.
    if (const bake::Zone* zone = zone_in(shell, name); zone != nullptr && !zone->coated)
        finder.try_change(RemedyKind::mask_zone, name,
                          [&](Changed& c) { zone_in(c.shell, name)->outer.masking = bake::Masking::paper; });
}

void add_for_items(RemedyFinder& finder, const bake::Shell& shell, const Candidate& cures) {
    for (const cure::ItemVerdict& bad : cures.bad_items) {
        if (zone_in(shell, bad.item) != nullptr) {
            add_for_zone(finder, shell, bad.item);
            continue;
        }
        const auto item =
            std::find_if(shell.items.begin(), shell.items.end(), [&](const auto& one) { return one.name == bad.item; });
        if (item == shell.items.end()) continue;
        if (item->place == bake::Item::Place::zone) {
            add_for_zone(finder, shell, item->where);
            continue;
        }
        finder.try_change(RemedyKind::take_out, bad.item, [&](Changed& c) { take_out(c, bad.item); });
        finder.try_change(RemedyKind::shield_item, bad.item, [&](Changed& c) { shield(c, bad.item); });
    }
}

/// The zone that is not cured at the highest set point that spares everything.
std::string last_zone(const Plan& plan) {
    const std::optional<std::size_t> at = plan.hottest_that_spares ? plan.hottest_that_spares : std::optional<std::size_t>();
    const Candidate& candidate = at ? plan.candidates[*at] : plan.candidates.back();
    return candidate.bad_zones.empty() ? std::string() : candidate.bad_zones.front().zone;
}

}  // namespace

std::vector<Remedy> remedies(const PlanTask& task, const PlanOptions& options, const Plan& plan) {
    RemedyFinder finder(task, options);
    if (options.longest_hold_s < kLongestRemedyHoldS)
        finder.try_change(RemedyKind::longer_hold, {}, [](Changed& c) { c.options.longest_hold_s = kLongestRemedyHoldS; });
    if (plan.coolest_that_cures) add_for_items(finder, task.shell, plan.candidates[*plan.coolest_that_cures]);
    // More air at a strip is more air at its zone.
    const std::string zone = plan.candidates.empty() ? std::string() : bake::zone_of_place(task.shell, last_zone(plan));
    if (!zone.empty()) {
        finder.try_change(RemedyKind::fan_at_zone, zone, [&](Changed& c) { change_air(c, zone, kFanShare); });
        if (can_be_apart(task, zone)) finder.try_apart(zone);
    }
    const auto& profile = task.booth.vertical_profile;
    if (std::any_of(profile.begin(), profile.end(), [](const auto& row) { return row.offset_k != 0.0; }))
        finder.try_change(RemedyKind::stir_air, {}, [](Changed& c) {
            for (bake::VerticalOffset& row : c.booth.vertical_profile) row.offset_k *= kStirredShare;
        });
    const auto is_strained = [](const Candidate& one) { return one.difference_is_too_large; };
    if (std::any_of(plan.candidates.begin(), plan.candidates.end(), is_strained) && options.ramp_k_per_s > kSlowestRampKPerS)
        finder.try_change(RemedyKind::slower_ramp, {}, [](Changed& c) { c.options.slowest_ramp_k_per_s = kSlowestRampKPerS; });
    if (options.predict.start_temperature_k < kWarmestStartK)
        finder.try_change(RemedyKind::warm_start, {}, [](Changed& c) {
            c.options.predict.start_temperature_k = std::min(c.options.predict.start_temperature_k + kWarmStartK, kWarmestStartK);
        });
    return finder.take();
}

namespace {

bool is_loose(const bake::Shell& shell, const std::string& name) {
    return std::any_of(shell.items.begin(), shell.items.end(),
                       [&](const bake::Item& item) { return item.name == name && item.place != bake::Item::Place::zone; });
}

void refuse_unknown(const bake::Shell& shell, const std::vector<std::string>& keep) {
    std::vector<std::string> known;
    for (const bake::Item& item : shell.items) known.push_back(item.name);
    for (const std::string& name : keep) {
        if (stands_in(known, name)) continue;
        throw InputError(Problem{
            {}, 0, "keep", fmt::format("'{}' is not an item of shell '{}'{}", name, shell.id, did_you_mean(name, known))});
    }
}

class Keeper {
public:
    Keeper(const PlanTask& task, const PlanOptions& options, const std::vector<std::string>& keep)
        : task_(task), options_(options), keep_(keep) {}

    PlanWithout run() {
        PlanWithout found = without({});
        while (!found.plan.feasible && found.plan.complete) {
            std::vector<std::string> out = found.out;
            for (const std::string& name : in_the_way(found)) out.push_back(name);
            if (out.size() == found.out.size()) return found;
            found = without(out);
        }
        return put_back(std::move(found));
    }

private:
    [[nodiscard]] PlanWithout without(const std::vector<std::string>& out) const {
        PlanWithout made{{}, out, task_.shell, task_.items};
        std::erase_if(made.shell.items, [&](const bake::Item& item) { return stands_in(out, item.name); });
        std::erase_if(made.items, [&](const cure::HeatSensitiveItem& item) { return stands_in(out, item.name); });
        PlanTask task{made.shell, task_.booth, task_.coating, made.items, task_.so_far, task_.before};
        made.plan = plan_cycle(task, options_);
        return made;
    }

    /// The loose items that are not GOOD where every zone is cured; of the coolest such set point.
    [[nodiscard]] std::vector<std::string> in_the_way(const PlanWithout& found) const {
        std::vector<std::string> names;
        // Where the cycle works on best-guess values and is not sure enough: what most often stands against it.
        if (found.plan.likeliest_obstacle) {
            const std::string name = found.plan.likeliest_obstacle->text();
            if (is_loose(task_.shell, name) && !stands_in(keep_, name)) names.push_back(name);
        }
        if (!found.plan.coolest_that_cures) return names;
        for (const cure::ItemVerdict& item : found.plan.candidates[*found.plan.coolest_that_cures].bad_items)
            if (is_loose(task_.shell, item.item) && !stands_in(keep_, item.item) && !stands_in(names, item.item))
                names.push_back(item.item);
        return names;
    }

    [[nodiscard]] PlanWithout put_back(PlanWithout found) const {
        if (!found.plan.feasible || found.out.size() < 2) return found;
        for (const std::string& name : std::vector<std::string>(found.out)) {
            std::vector<std::string> fewer = found.out;
            std::erase(fewer, name);
            PlanWithout tried = without(fewer);
            if (tried.plan.feasible) found = std::move(tried);
        }
        return found;
    }

    const PlanTask& task_;
    const PlanOptions& options_;
    const std::vector<std::string>& keep_;
};

}  // namespace

PlanWithout plan_keeping(const PlanTask& task, const PlanOptions& options, const std::vector<std::string>& keep) {
    refuse_unknown(task.shell, keep);
    return Keeper(task, options, keep).run();
}

}  // namespace bakewright::plan
