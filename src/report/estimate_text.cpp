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

std::string fault_text(const tune::ChannelFinding& channel, const Units& units) {
    const tune::ProbeFault& fault = *channel.fault;
    const std::string name = one_line(channel.channel), since = format_duration(fault.from_s);
    switch (fault.kind) {
        case tune::ProbeFault::Kind::step:
            return fmt::format("{} jumps by {} at {} after the start, which no zone can", name,
                               format_temperature_difference(fault.amount, units), since);
        case tune::ProbeFault::Kind::loose:
            return fmt::format("{} looks loose from {} after the start on: it reads {:.0f} % of the way to the air", name, since,
                               100.0 * fault.amount);
        case tune::ProbeFault::Kind::exchanged:
            break;
    }
    return fmt::format("{} and {} look exchanged", name, one_line(fault.with));
}

std::string to_do(const tune::ProbeFault& fault) {
    switch (fault.kind) {
        case tune::ProbeFault::Kind::step:
            return "left out from there; look at its plug and wire";
        case tune::ProbeFault::Kind::loose:
            return "left out from there; fasten it better next time";
        case tune::ProbeFault::Kind::exchanged:
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

std::string_view kind_text(tune::ProbeFault::Kind kind) {
    switch (kind) {
        case tune::ProbeFault::Kind::step:
            return "step";
        case tune::ProbeFault::Kind::loose:
            return "loose";
        case tune::ProbeFault::Kind::exchanged:
            break;
    }
    return "exchanged";
}

Json json_of(const tune::ProbeFault& fault) {
    return {{"kind", kind_text(fault.kind)},
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

std::string fault_question(const tune::ChannelFinding& channel, const Units& units) {
    return fmt::format("probe {}: {}. --believe-probes counts it all the same", fault_text(channel, units),
                       to_do(*channel.fault));
}

std::vector<std::string> probe_sentences(const tune::Estimate& estimate, const Units& units) {
    std::vector<std::string> lines;
    for (const tune::ChannelFinding& channel : estimate.channels)
        if (channel.fault) lines.push_back(fmt::format("{}: {}.", fault_text(channel, units), to_do(*channel.fault)));
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
