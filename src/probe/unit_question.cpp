// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "bakewright/base/units.hpp"
#include "reading.hpp"

namespace bakewright::probe {
namespace {

// What a paint shop and a bake may be, in degC. Common practice, no source.
constexpr double kColdestShopC = 3.0, kHottestShopC = 45.0, kHottestBakeC = 100.0, kColdestBakeC = 38.0;
constexpr double kFreezingF = 32.0;
// A body and the air around it are at one temperature before the heat comes.
constexpr double kFarK = 15.0, kNearK = 5.0;

/// A channel of temperatures with what its numbers are, before units.
struct Asked {
    const Column* column = nullptr;
    LogChannel* channel = nullptr;
    double first = 0.0, least = 0.0, most = 0.0;
    bool any = false;  ///< it has a usable sample

    [[nodiscard]] bool is_assumed() const { return channel->found == "assumed"; }
};

/// As the file writes it: what kelvin add in the last digits is rounded away.
double number_of(double temperature_k, TemperatureUnit unit) {
    const double celsius = temperature_k - kCelsiusZeroK;
    const double number = unit == TemperatureUnit::celsius      ? celsius
                          : unit == TemperatureUnit::fahrenheit ? celsius * 1.8 + kFreezingF
                                                                : temperature_k;
    return std::round(number * 1e6) / 1e6;
}

double fahrenheit_in_c(double number) { return (number - kFreezingF) / 1.8; }

std::string_view start_words(double c) {
    return c < kColdestShopC ? "near freezing" : c <= kHottestShopC ? "a shop's temperature" : "hot already";
}
std::string_view peak_words(double c) {
    return c < kColdestBakeC ? "no bake" : c <= kHottestBakeC ? "a low bake" : "hotter than a low bake";
}

std::string preview(std::string_view unit, double first_c, double most_c) {
    return fmt::format("as {} it starts at {:.1f} °C ({}) and peaks at {:.1f} °C ({})", unit, first_c, start_words(first_c),
                       most_c, peak_words(most_c));
}

std::string previews(const Asked& asked) {
    std::string text =
        preview("°C", asked.first, asked.most) + "; " + preview("°F", fahrenheit_in_c(asked.first), fahrenheit_in_c(asked.most));
    if (asked.first > 250.0) text += "; " + preview("K", asked.first - kCelsiusZeroK, asked.most - kCelsiusZeroK);
    return text;
}

/// Nothing but degC makes sense: as degF the log would begin near freezing and never come near a bake.
bool can_only_be_celsius(const Asked& asked) {
    return !asked.any || (asked.first >= kColdestShopC && fahrenheit_in_c(asked.first) < kColdestShopC &&
                          asked.most <= kHottestBakeC && asked.least != 0.0);
}

std::string how_to_answer(const std::string& name) {
    return fmt::format(
        "say which with --temperature-unit degC or degF, or for one column with --channel-unit \"{0}=degF\" "
        "(degC, degF, K; {0}=none where it is not a temperature)",
        name);
}

std::string names_text(const std::vector<const Asked*>& group) {
    constexpr std::size_t kShown = 6;
    std::string text;
    for (std::size_t i = 0; i < std::min(kShown, group.size()); ++i)
        text += fmt::format("{}{}", i == 0 ? "" : ", ", group[i]->channel->name);
    return group.size() > kShown ? text + fmt::format(" and {} more", group.size() - kShown) : text;
}

/// Asks once for all of a group, with the numbers of the first that has any.
void ask(const std::vector<const Asked*>& group, const std::string& why, const Reading& the) {
    if (group.empty()) return;
    const auto with_values = std::find_if(group.begin(), group.end(), [](const Asked* one) { return one->any; });
    const Asked& shown = with_values == group.end() ? *group.front() : **with_values;
    std::string text = why;
    if (shown.any) text += fmt::format(". Read {}{}", previews(shown), group.size() > 1 ? " (" + shown.channel->name + ")" : "");
    the.problems.add(the.layout.heading_line, names_text(group), fmt::format("{}; {}", text, how_to_answer(shown.channel->name)));
}

/// Headings that hold something like a unit: one question for each such word.
void ask_about_headings(const std::vector<Asked>& all, const Reading& the) {
    std::vector<std::string> words;
    for (const Asked& one : all)
        if (one.is_assumed() && !one.column->unexplained.empty() &&
            std::find(words.begin(), words.end(), one.column->unexplained) == words.end())
            words.push_back(one.column->unexplained);
    for (const std::string& word : words) {
        std::vector<const Asked*> group;
        for (const Asked& one : all)
            if (one.is_assumed() && one.column->unexplained == word) group.push_back(&one);
        ask(group, fmt::format("'{}' may be a unit and was not understood", word), the);
    }
}

void ask_about_numbers(const std::vector<Asked>& all, const Reading& the) {
    std::vector<const Asked*> units, outputs;
    for (const Asked& one : all) {
        if (!one.is_assumed() || !one.column->unexplained.empty() || can_only_be_celsius(one)) continue;
        const bool is_share = one.least == 0.0 && one.most <= 100.0;
        (is_share ? outputs : units).push_back(&one);
    }
    ask(units, "the file gives no unit, and more than one makes sense", the);
    ask(outputs, "the file gives no unit, and the numbers go down to 0: a controller's output in %, or temperatures", the);
}

/// Medians of the first samples of all channels but one, each found without looking at all of them again.
class OthersFirst {
public:
    OthersFirst(const std::vector<Asked>& all, const std::vector<double>& first_c) {
        for (std::size_t i = 0; i < all.size(); ++i)
            if (all[i].any) sorted_c_.push_back(first_c[i]);
        std::sort(sorted_c_.begin(), sorted_c_.end());
    }
    /// @param own_c  the first sample of the channel that does not count
    [[nodiscard]] double median_c(double own_c) const {
        if (sorted_c_.size() < 2) return std::nan("");
        const std::size_t middle = (sorted_c_.size() - 1) / 2;
        return own_c <= sorted_c_[middle] ? sorted_c_[middle + 1] : sorted_c_[middle];
    }

private:
    std::vector<double> sorted_c_;
};

/// One channel in degF under a heading that says degC, or the other way about: before the heat comes all are at one temperature.
void ask_about_misfits(const std::vector<Asked>& all, const std::vector<double>& first_c, const Reading& the) {
    const OthersFirst others(all, first_c);
    for (std::size_t i = 0; i < all.size(); ++i) {
        const Asked& one = all[i];
        const bool is_told = !one.is_assumed() && one.channel->found != "option" && !one.column->thermocouple;
        if (!is_told || !one.any || names_air(one.channel->name)) continue;
        const TemperatureUnit unit = one.column->unit.value_or(TemperatureUnit::celsius);
        if (unit == TemperatureUnit::kelvin) {
            if (one.most < 200.0)
                the.problems.add(the.layout.heading_line, one.channel->name,
                                 fmt::format("read in K it would be {:.1f} to {:.1f} °C, which no bake is: is the K a type of "
                                             "thermocouple? Say its unit with --channel-unit \"{}=degC\" (degC, degF, K)",
                                             one.least - kCelsiusZeroK, one.most - kCelsiusZeroK, one.channel->name));
            continue;
        }
        const double others_c = others.median_c(first_c[i]);
        const bool is_celsius = unit == TemperatureUnit::celsius;
        const double otherwise_c = is_celsius ? fahrenheit_in_c(one.first) : one.first;
        const bool in_shop = others_c >= kColdestShopC && others_c <= kHottestShopC;
        if (!in_shop || std::abs(first_c[i] - others_c) < kFarK || std::abs(otherwise_c - others_c) > kNearK) continue;
        the.problems.add(
            the.layout.heading_line, one.channel->name,
            fmt::format("the heading says {}, and then it starts at {:.1f} °C while the others start at {:.1f} °C; read "
                        "in {} it starts at {:.1f} °C: say its unit with --channel-unit \"{}=degF\" or degC",
                        is_celsius ? "°C" : "°F", first_c[i], others_c, is_celsius ? "°F" : "°C", otherwise_c,
                        one.channel->name));
    }
}

void remark_assumed(std::vector<Asked>& all, const Reading& the) {
    std::vector<const Asked*> assumed;
    for (Asked& one : all) {
        if (!one.is_assumed()) continue;
        one.channel->unit = "°C";
        assumed.push_back(&one);
    }
    if (assumed.empty()) return;
    the.reading.remarks.push_back(
        fmt::format("the file gives no unit for {}: read as °C, since °F would begin near freezing", names_text(assumed)));
}

}  // namespace

void settle_units(std::span<const Column> columns, std::span<const double> first_k, const Reading& the) {
    std::vector<Asked> all;
    std::vector<double> first_c;
    for (std::size_t c = 0; c < columns.size(); ++c) {
        LogChannel& channel = the.reading.channels[c];
        if (channel.quantity != Quantity::temperature) continue;
        const double here_k = first_k[all.size()];
        Asked& one = all.emplace_back(Asked{&columns[c], &channel, 0.0, 0.0, 0.0, !std::isnan(here_k)});
        first_c.push_back(here_k - kCelsiusZeroK);
        if (!one.any) continue;
        const TemperatureUnit unit = columns[c].unit.value_or(TemperatureUnit::celsius);
        one.first = number_of(here_k, unit);
        one.least = number_of(channel.least_k, unit);
        one.most = number_of(channel.most_k, unit);
    }
    ask_about_headings(all, the);
    ask_about_numbers(all, the);
    ask_about_misfits(all, first_c, the);
    the.problems.throw_if_any();
    remark_assumed(all, the);
}

}  // namespace bakewright::probe
