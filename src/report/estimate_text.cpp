// SPDX-License-Identifier: Apache-2.0
#include "bakewright/report/estimate_text.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "bakewright/base/format.hpp"
#include "bakewright/report/plain_text.hpp"
#include "json_records.hpp"

namespace bakewright::report {
namespace {

/// An offset that is surer than its own error and larger than this is worth taking off [K]; common practice, no source.
constexpr double kWorthK = 0.5;

/// What it does, behind its name.
std::string fault_words(probe::FaultKind kind, double from_s, double amount, const Units& units) {
    using probe::FaultKind;
    const std::string since = format_duration(from_s);
    switch (kind) {
        case FaultKind::dead:
            return "never moves, though the air around it heats up";
        case FaultKind::frozen:
            return fmt::format("stands still from {} after the start", since);
        case FaultKind::reversed:
            return fmt::format("falls by {} while the air rises: its wires look the wrong way round",
                               format_temperature_difference(amount, units));
        case FaultKind::wrong_unit:
            return "reads another unit than the rest: degrees Fahrenheit among Celsius, or the other way";
        case FaultKind::wrong_type:
            return fmt::format("rises {:.2f} times as far as it can: the logger looks set to another type of thermocouple",
                               amount);
        case FaultKind::noisy:
            return fmt::format("scatters by {} where the others are quiet", format_temperature_difference(amount, units));
        case FaultKind::drift:
            return fmt::format("wanders off by {} an hour", format_temperature_difference(amount, units));
        case FaultKind::step:
            return fmt::format("jumps by {} at {} after the start, which no zone can",
                               format_temperature_difference(amount, units), since);
        case FaultKind::loose:
            return fmt::format("looks loose from {} after the start on: it reads {:.0f} % of the way to the air", since,
                               100.0 * amount);
        case FaultKind::exchanged:
            break;
    }
    return "looks exchanged with another";
}

std::string fault_text(const tune::ChannelFinding& channel, const Units& units) {
    const tune::ProbeFault& fault = *channel.fault;
    const std::string name = one_line(channel.channel);
    if (fault.kind == probe::FaultKind::exchanged) return fmt::format("{} and {} look exchanged", name, one_line(fault.with));
    return name + " " + fault_words(fault.kind, fault.from_s, fault.amount, units);
}

/// What a person does about it. @param is_left_out  whether it is left out meanwhile
std::string to_do(probe::FaultKind kind, bool is_left_out) {
    using probe::FaultKind;
    const std::string out = is_left_out ? "left out; " : "";
    switch (kind) {
        case FaultKind::dead:
            return out + "look at its wire and at the logger's input";
        case FaultKind::frozen:
            return "what stands still does not count; look at the logger";
        case FaultKind::reversed:
            return out + "exchange its two wires; of this log nothing can be saved";
        case FaultKind::wrong_unit:
            return out + "import the log again with --channel-unit";
        case FaultKind::wrong_type:
            return out + "set the logger to the type that is on the wire; of this log nothing can be saved";
        case FaultKind::noisy:
            return "keep: it counts for less; keep its wire away from fans and mains";
        case FaultKind::drift:
            return out + "try it in an ice bath, and replace it where it is off";
        case FaultKind::step:
            return (is_left_out ? "left out from there; " : "") + std::string("look at its plug and wire");
        case FaultKind::loose:
            return (is_left_out ? "left out from there; " : "") + std::string("fasten it better next time");
        case FaultKind::exchanged:
            break;
    }
    return "both left out; import the log again with their names exchanged in --map";
}

std::string healthy_text(const tune::ChannelFinding& channel, const Units& units) {
    const bool is_off = std::abs(channel.offset_k) > kWorthK && std::abs(channel.offset_k) > 2.0 * channel.offset_standard_k;
    const std::string off = is_off ? fmt::format("reads {} {}, give or take {}: an ice and a warm bath would tell",
                                                 format_temperature_difference(std::abs(channel.offset_k), units),
                                                 channel.offset_k > 0.0 ? "high" : "low",
                                                 format_temperature_difference(channel.offset_standard_k, units))
                                   : std::string("keep");
    return fmt::format("{}: {}. Left out, it was foretold within {}", one_line(channel.channel), off,
                       format_temperature_difference(channel.foretold_within_k, units));
}

Json json_of(const tune::ProbeFault& fault) {
    return {{"kind", word_of(fault.kind)},
            {"from_s", fault.from_s},
            {"amount", fault.amount},
            {"with", fault.with},
            {"statistic", fault.statistic}};
}

Json json_of(const tune::ChannelFinding& channel) {
    return {{"channel", channel.channel},
            {"offset_k", channel.offset_k},
            {"offset_standard_k", channel.offset_standard_k},
            {"air_share", number_or_null(channel.air_share)},
            {"lag_s", number_or_null(channel.lag_s)},
            {"residual_k", channel.residual_k},
            {"foretold_within_k", channel.foretold_within_k},
            {"fitted", channel.is_fitted},
            {"fault", channel.fault ? json_of(*channel.fault) : Json(nullptr)}};
}

}  // namespace

std::string known_from_sentence(const cure::BakeVerdict& verdict) {
    const auto count = [&](cure::KnownFrom from) {
        return std::ranges::count(verdict.zones, std::optional(from), &cure::ZoneVerdict::known_from);
    };
    const auto measured = count(cure::KnownFrom::measured) + count(cure::KnownFrom::measured_and_modelled);
    const auto estimated = count(cure::KnownFrom::estimated);
    if (measured + estimated == 0) return {};
    if (estimated == 0) return fmt::format("{} {} measured.", measured, measured == 1 ? "zone" : "zones");
    if (measured == 0) return fmt::format("No zone measured: {} estimated from the booth's air and the model.", estimated);
    return fmt::format("{} {} measured, {} estimated from the other probes and the model.", measured,
                       measured == 1 ? "zone" : "zones", estimated);
}

std::string fault_sentence(const tune::ChannelFinding& channel, const Units& units) {
    return fmt::format("{}: {}", fault_text(channel, units), to_do(channel.fault->kind, true));
}

std::vector<std::string> channel_fault_sentences(const std::vector<probe::ChannelFault>& faults, const Units& units) {
    std::vector<std::string> lines;
    for (const probe::ChannelFault& fault : faults)
        lines.push_back(fmt::format("{} {}: {}.", one_line(fault.channel),
                                    fault_words(fault.kind, fault.from_s, fault.amount, units), to_do(fault.kind, false)));
    return lines;
}

std::string fault_question(const tune::ChannelFinding& channel, const Units& units) {
    return fmt::format("probe {}. --believe-probes counts it all the same", fault_sentence(channel, units));
}

std::vector<std::string> probe_sentences(const tune::Estimate& estimate, const Units& units) {
    std::vector<std::string> lines;
    for (const tune::ChannelFinding& channel : estimate.channels)
        if (channel.fault) lines.push_back(fault_sentence(channel, units) + ".");
    for (const tune::ChannelFinding& channel : estimate.channels)
        if (!channel.fault) lines.push_back(healthy_text(channel, units) + ".");
    return lines;
}

Json json_of(const tune::Estimate& estimate) {
    Json channels = Json::array();
    for (const tune::ChannelFinding& channel : estimate.channels) channels.push_back(json_of(channel));
    return {{"conditioned", estimate.is_conditioned},
            {"why_not", estimate.why_not},
            {"unknowns", estimate.unknowns},
            {"readings", estimate.readings},
            {"channels", std::move(channels)}};
}

}  // namespace bakewright::report
