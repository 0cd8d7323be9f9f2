// SPDX-License-Identifier: Apache-2.0
#include "unknowns.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "bakewright/base/units.hpp"

namespace bakewright::tune {
namespace {

using bake::FactorKind;
using bake::LearnedKind;

constexpr double kLogBound = 1.8;  // factors from a sixth to six
constexpr double kBoundDeviations = 5.0;
constexpr double kTypicalK = celsius_to_kelvin(60.0);
/// A tape's lag, and how far it may be off: common practice, no source.
constexpr double kLagMean_s = 10.0, kLagStandard_s = 20.0, kLongestProbeLag_s = 300.0;
/// What first readings leave open of a shell's start; common practice.
constexpr double kStartStandard_k = 1.0;
constexpr double kShareStandard = 0.03, kLargestShare = 0.6;
/// What fans do for the film in a mode other than bake is a guess within a third either way; common practice.
constexpr double kModeStandard = 0.3;

struct TunableFactor {
    FactorKind factor;
    Tunable tunable;
};
constexpr TunableFactor kTunableFactors[]{{FactorKind::cavity_film, Tunable::cavities},
                                          {FactorKind::leakage, Tunable::cavities},
                                          {FactorKind::thickness, Tunable::masses},
                                          {FactorKind::link, Tunable::links},
                                          {FactorKind::vertical_profile, Tunable::vertical},
                                          {FactorKind::wall_offset, Tunable::walls},
                                          {FactorKind::wall_loss, Tunable::walls},
                                          {FactorKind::floor, Tunable::walls},
                                          {FactorKind::make_up, Tunable::air},
                                          {FactorKind::burner_power, Tunable::air}};

class UnknownCollector {
public:
    UnknownCollector(const TuneTask& task, const TuneOptions& options, const std::vector<BakeFacts>& bakes, double film_spread)
        : task_(task), options_(options), bakes_(bakes), film_spread_(film_spread) {}

    std::vector<Unknown> run() {
        for (const BakeFacts& bake : bakes_) add_films(bake);
        for (const BakeFacts& bake : bakes_) add_factors(bake);
        for (const BakeFacts& bake : bakes_) add_modes(bake);
        add_air_offset();
        for (std::size_t b = 0; b < bakes_.size(); ++b) add_start(b);
        for (std::size_t b = 0; b < bakes_.size(); ++b) add_air_probe(b);
        for (std::size_t b = 0; b < bakes_.size(); ++b) add_probes(b);
        return std::move(unknowns_);
    }

private:
    [[nodiscard]] bool wants(Tunable tunable) const { return options_.what.contains(tunable); }
    [[nodiscard]] bool is_probed(const std::string& name) const {
        return std::any_of(bakes_.begin(), bakes_.end(), [&](const BakeFacts& bake) {
            return std::find(bake.channels.begin(), bake.channels.end(), name) != bake.channels.end();
        });
    }

    /// Groups and fan modes have no title; of a link both ends have.
    [[nodiscard]] Phrase name_of(LearnedKind kind, const std::string& subject) const {
        Phrase name(std::string(word_of(kind)));
        if (!subject.empty()) name.add(" ");
        if (kind == LearnedKind::group_film || kind == LearnedKind::mode_film) return name.add(subject);
        if (kind != LearnedKind::link) return name.add_place(subject);
        for (const bake::Link& link : task_.shell.links)
            if (link.from + " " + link.to == subject) return name.add_place(link.from).add(" ").add_place(link.to);
        return name.add(subject);
    }

    void add(LearnedKind kind, const std::string& subject, double prior_standard) {
        for (const Unknown& known : unknowns_)
            if (known.kind == Unknown::Kind::learned && known.learned == kind && known.subject == subject) return;
        if (!(prior_standard > 0.0)) return;
        Unknown unknown;
        unknown.learned = kind;
        unknown.subject = subject;
        unknown.name = name_of(kind, subject);
        const bake::Learned& before = bake::is_of_booth(kind) ? task_.booth.learned : task_.shell.learned;
        unknown.prior_standard = prior_standard;
        const bool is_offset = kind == LearnedKind::air_offset;
        unknown.upper = is_offset ? kBoundDeviations * prior_standard : kLogBound;
        unknown.lower = -unknown.upper;
        const double value = before.value(kind, subject);
        unknown.start = std::clamp(is_offset ? value : std::log(value), 0.9 * unknown.lower, 0.9 * unknown.upper);
        unknowns_.push_back(std::move(unknown));
    }

    void add_films(const BakeFacts& bake) {
        const auto [low, high] = bake::film_band(task_.booth);
        const double band = std::log(high / low) / (2.0 * bake::kDeviationsTo95);
        for (const bake::NetworkFactor& factor : bake.built.factors) {
            if (factor.kind != FactorKind::film) continue;
            if (wants(Tunable::film)) add(LearnedKind::group_film, factor.film_group, std::max(band, kLeastFilmStandard));
            const bool is_zone = factor.film_group != bake::kBoothWallGroup;
            if (wants(Tunable::zones) && is_zone && is_probed(factor.subject))
                add(LearnedKind::zone_film, factor.subject, film_spread_);
        }
    }

    void add_factors(const BakeFacts& bake) {
        for (const bake::NetworkFactor& factor : bake.built.factors) {
            const auto asked = std::find_if(std::begin(kTunableFactors), std::end(kTunableFactors),
                                            [&](const TunableFactor& one) { return one.factor == factor.kind; });
            if (asked == std::end(kTunableFactors) || !wants(asked->tunable) || !has_effect(factor)) continue;
            add(*bake::learned_kind_of(factor.kind), factor.subject,
                bake::spread_of(factor.kind, task_.booth, options_.prior).mean());
        }
    }
    [[nodiscard]] bool has_effect(const bake::NetworkFactor& factor) const {
        switch (factor.kind) {
            case FactorKind::thickness:
                return is_probed(factor.subject);
            case FactorKind::link:
                return std::any_of(task_.shell.links.begin(), task_.shell.links.end(), [&](const bake::Link& link) {
                    return fmt::format("{} {}", link.from, link.to) == factor.subject &&
                           (is_probed(link.from) || is_probed(link.to));
                });
            case FactorKind::vertical_profile:
                return std::any_of(task_.booth.vertical_profile.begin(), task_.booth.vertical_profile.end(),
                                   [](const bake::VerticalOffset& row) { return row.offset_k != 0.0; });
            case FactorKind::wall_offset:
                return task_.booth.wall_offset_below_air_k() > 0.0;
            default:
                return true;
        }
    }

    void add_modes(const BakeFacts& bake) {
        if (!wants(Tunable::modes) || !bake.tells_modes || !bake.log.cycle) return;
        for (const bake::Stage& stage : bake.log.cycle->stages)
            if (const bake::FanMode mode = bake::fan_mode_of(stage.kind); mode != bake::FanMode::bake)
                add(LearnedKind::mode_film, std::string(word_of(mode)), kModeStandard);
    }

    void add_air_offset() {
        const bool any_driven = std::any_of(bakes_.begin(), bakes_.end(), [](const BakeFacts& bake) { return !bake.is_replay; });
        if (wants(Tunable::air) && any_driven)
            add(LearnedKind::air_offset, {}, 2.0 * options_.prior.air_k / bake::kDeviationsTo95);
    }

    void add_probe(Unknown::Kind kind, std::size_t bake, const std::string& channel, const char* what, double mean,
                   double standard, double lower, double upper) {
        unknowns_.push_back({kind,
                             {},
                             channel,
                             bake,
                             Phrase(what).add(channel.empty() ? "" : " of ").add_place(channel).add(", " + bakes_[bake].log.name),
                             mean,
                             mean,
                             standard,
                             lower,
                             upper});
    }
    void add_air_probe(std::size_t b) {
        const Trace* air = bakes_[b].log.traces.first(TraceRole::booth_air);
        if (!bakes_[b].is_replay || air == nullptr) return;
        const double standard_k = probe_standard_k(bakes_[b].log, air->name);
        add_probe(Unknown::Kind::air_probe, b, air->name, "offset", 0.0, standard_k, -kBoundDeviations * standard_k,
                  kBoundDeviations * standard_k);
    }
    void add_start(std::size_t b) {
        add_probe(Unknown::Kind::start, b, {}, "start", 0.0, kStartStandard_k, -kBoundDeviations * kStartStandard_k,
                  kBoundDeviations * kStartStandard_k);
    }
    void add_probes(std::size_t b) {
        const BakeFacts& bake = bakes_[b];
        for (std::size_t c = 0; c < bake.channels.size(); ++c) {
            const std::string& channel = bake.channels[c];
            const double standard_k = probe_standard_k(bake.log, channel);
            add_probe(Unknown::Kind::probe_offset, b, channel, "offset", 0.0, standard_k, -kBoundDeviations * standard_k,
                      kBoundDeviations * standard_k);
            if (!wants(Tunable::probes)) continue;
            add_probe(Unknown::Kind::probe_lag, b, channel, "lag", kLagMean_s, kLagStandard_s, 0.0, kLongestProbeLag_s);
            if (!bake.is_surface[c]) continue;
            // The record's share is the most that the probe reads; half of it is as good a guess as any.
            const probe::ProbeRecord* record = bake.log.probes ? bake.log.probes->find(channel) : nullptr;
            const double most = record != nullptr ? record->air_share : probe::usual_air_share(probe::Attachment::taped);
            add_probe(Unknown::Kind::probe_share, b, channel, "share of the air", most / 2.0,
                      std::max(most / 2.0, kShareStandard / 2.0), 0.0, kLargestShare);
        }
    }

    static constexpr double kLeastFilmStandard = 0.1;  // a band of no width is a slip, not knowledge

    const TuneTask& task_;
    const TuneOptions& options_;
    const std::vector<BakeFacts>& bakes_;
    double film_spread_;
    std::vector<Unknown> unknowns_;
};

}  // namespace

double Unknown::shown(double value) const noexcept { return is_factor() ? std::exp(value) : value; }

FitParameter Unknown::parameter() const { return {name.text(), start, lower, upper, prior_mean, prior_standard}; }

std::vector<Unknown> unknowns_for(const TuneTask& task, const TuneOptions& options, const std::vector<BakeFacts>& bakes,
                                  double film_spread) {
    return UnknownCollector(task, options, bakes, film_spread).run();
}

double probe_standard_k(const LoggedBake& bake, const std::string& channel) {
    const probe::ProbeRecord* record = bake.probes ? bake.probes->find(channel) : nullptr;
    if (record != nullptr)
        if (const auto standard_k = record->standard_uncertainty_k(kTypicalK)) return std::max(*standard_k, 0.05);
    return probe::standard_uncertainty_k(
        *probe::tolerance_k(probe::ThermocoupleType::k, probe::ToleranceClass::iec_2, kTypicalK));
}

}  // namespace bakewright::tune
