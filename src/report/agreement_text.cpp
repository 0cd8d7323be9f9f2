#include "bakewright/report/agreement_text.hpp"

#include <fmt/core.h>
#include <fmt/ranges.h>

#include "bakewright/report/elapsed.hpp"
#include "bakewright/report/plain_text.hpp"
#include "bakewright/report/tables.hpp"
#include "json_records.hpp"
#include "numbers.hpp"

namespace bakewright::report {
namespace {

/// Reading between samples errs by less in any prediction that is kept often enough.
constexpr double kWorthTellingK = 0.05;

/// Rounded down, so that "100" is all of them.
std::string percent_inside(const tune::ChannelAgreement& channel) {
    return fmt::format("{}", channel.samples > 0 ? 100 * channel.inside / channel.samples : 0);
}

}  // namespace

Table agreement_table(const tune::Agreement& agreement, const Units& units) {
    const std::string kelvin = difference_symbol(units);
    Table table({{.head = "Channel", .may_wrap = true},
                 {.head = "Inside\n%", .align = Align::right},
                 {.head = "Probe\n" + kelvin, .align = Align::right},
                 {.head = "Attach.\n" + kelvin, .align = Align::right},
                 {.head = "Model\nbelow\n" + kelvin, .align = Align::right},
                 {.head = "Model\nabove\n" + kelvin, .align = Align::right},
                 {.head = "Beyond\n" + kelvin, .align = Align::right},
                 {.head = "at\nh:mm", .align = Align::right}});
    for (const tune::ChannelAgreement& channel : agreement.channels) {
        const bool any_beyond = channel.inside < channel.samples;
        table.add({one_line(channel.channel), Cell(percent_inside(channel), channel.agrees() ? Mark::none : Mark::strong),
                   difference_number(channel.probe_k, units), difference_number(channel.attachment_k, units),
                   difference_number(channel.below_k, units), difference_number(channel.above_k, units),
                   any_beyond ? difference_number(channel.largest_excess_k, units) : std::string("none"),
                   any_beyond ? elapsed_text(channel.largest_excess_at_s) : std::string("n/a")});
    }
    return table;
}

std::vector<std::string> agreement_sentences(const tune::Agreement& agreement, const Units& units) {
    if (agreement.channels.empty()) return {};
    std::vector<std::string> apart;
    double interpolation_k = 0.0;
    for (const tune::ChannelAgreement& channel : agreement.channels) {
        interpolation_k = std::max(interpolation_k, channel.interpolation_k);
        if (!channel.agrees()) apart.push_back(channel.channel);
    }
    std::vector<std::string> sentences;
    sentences.push_back(
        apart.empty() ? fmt::format("All {} channels agree within what probe and model may be off.", agreement.channels.size())
                      : fmt::format("{} of {} channels agree within what probe and model may be off. Not: {}.",
                                    agreement.channels.size() - apart.size(), agreement.channels.size(), fmt::join(apart, ", ")));
    sentences.emplace_back(
        "Inside are samples at which prediction and log can be of one temperature, where the probe is off by up to its tolerance "
        "and its attachment's error on the unsafe side, and the model by up to the band that holds 90 % of its members. A "
        "channel "
        "agrees where 95 % of its samples are inside. Beyond: prediction hotter than the log where positive.");
    if (interpolation_k >= kWorthTellingK)
        sentences.push_back(fmt::format("Reading the prediction between its samples errs by up to {}, which is allowed for too.",
                                        format_temperature_difference(interpolation_k, units, 2)));
    sentences.push_back(fmt::format("Probes: {}.", agreement.probes_origin));
    sentences.push_back(fmt::format("Model: {}.", agreement.model_origin));
    return sentences;
}

std::string agreement_text(const tune::Agreement& agreement, const TextOptions& options) {
    const std::string table = table_block(kAgreementCaption, agreement_table(agreement, options.units), options);
    if (table.empty()) return {};
    return table + "\n" + list_text("What that says", agreement_sentences(agreement, options.units), options);
}

}  // namespace bakewright::report
