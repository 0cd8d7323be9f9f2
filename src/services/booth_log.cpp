// SPDX-License-Identifier: Apache-2.0
#include "bakewright/services/booth_log.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <regex>

#include "bakewright/base/error.hpp"
#include "bakewright/builder/build.hpp"
#include "bakewright/builder/heard.hpp"
#include "bakewright/profile/edit.hpp"
#include "bakewright/profile/read.hpp"
#include "bakewright/profile/write.hpp"

namespace bakewright::services {
namespace {

/// What a channel of the log is.
struct Place {
    enum class Kind { none, air, walls, ceiling, floor, outside, setpoint } kind = Kind::none;
    std::optional<double> height_m{};
};

/// "air at 0.3 m", "Air 30 cm", "wall", "Set point"; nothing where the words say none of it.
std::optional<Place> place_from(const std::string& text) {
    using Kind = Place::Kind;
    const std::string words = " " + builder::plain_words(text) + " ";
    const auto has = [&](std::initializer_list<const char*> all) {
        return std::ranges::any_of(all, [&](const char* word) { return words.find(word) != std::string::npos; });
    };
    if (has({" set point", " setpoint", " set ", " sv ", " controller "})) return Place{Kind::setpoint};
    if (has({" outside", " shop ", " ambient", " hall ", " room "})) return Place{Kind::outside};
    if (has({" wall"})) return Place{Kind::walls};
    std::smatch found;
    static const std::regex height(R"(([0-9]+(?:[.,][0-9]+)?\s*(?:mm|cm|m|ft|in|'|")))", std::regex::icase);
    if (has({" air"}) || (has({" booth "}) && !has({" floor", " ceiling"}))) {
        Place place{Kind::air};
        if (std::regex_search(text, found, height))
            place.height_m = builder::heard(found[1].str(), {.dimension = Dimension::length}).value;
        return place;
    }
    if (has({" ceiling", " roof "})) return Place{Kind::ceiling};
    if (has({" floor"})) return Place{Kind::floor};
    return std::nullopt;
}

constexpr const char* kPlaces = "air, air at 0.3 m, wall, ceiling, floor, outside, set point";

Place place_said(const std::string& text) {
    try {
        if (const auto place = place_from(text)) return *place;
    } catch (const builder::NotUnderstood& reason) {
        refuse_option("--map", reason.what());
    }
    refuse_option("--map", fmt::format("'{}' is not a place of an empty booth; accepted are {}", text, kPlaces));
}

class RunMaker {
public:
    explicit RunMaker(const BoothLogTask& task) : task_(task) {
        run_.name = task.file.name;
        run_.setpoint_k = task.setpoint_k;
        run_.heat_on_s = task.heat_on_s;
        run_.heat_off_s = task.heat_off_s;
        run_.fans_change = task.fans_change;
    }

    tune::EmptyRun run() {
        const probe::ProbeLog log = probe::read_log(task_.file.bytes, task_.file.path, read_options(task_.reading));
        std::vector<std::pair<std::string, Place>> said;
        for (const std::string& text : task_.reading.texts("map")) {
            const auto [column, words] = assignment(text, "--map");
            said.emplace_back(column, place_said(words));
        }
        if (task_.reading.has("air")) said.emplace_back(task_.reading.text("air"), Place{Place::Kind::air});
        for (const auto& [column, place] : said)
            if (log.traces.find(column) == nullptr) {
                std::vector<std::string> names;
                for (const Trace& trace : log.traces.traces) names.push_back(trace.name);
                refuse_option("--map", fmt::format("'{}' is no temperature of {}; it has {}", column, task_.file.name,
                                                   fmt::join(names, ", ")));
            }
        for (const Trace& trace : log.traces.traces) {
            const auto found = std::ranges::find(said, trace.name, &std::pair<std::string, Place>::first);
            std::optional<Place> place;
            if (found != said.end())
                place = found->second;
            else if (task_.reading.texts("map").empty())
                place = place_from(trace.name);  // where somebody says what columns are, he says it of all
            if (place) put(trace, *place);
        }
        return std::move(run_);
    }

private:
    void put(const Trace& trace, const Place& place) {
        using Kind = Place::Kind;
        std::optional<Trace>* const one = place.kind == Kind::walls      ? &run_.walls
                                          : place.kind == Kind::ceiling  ? &run_.ceiling
                                          : place.kind == Kind::floor    ? &run_.floor
                                          : place.kind == Kind::outside  ? &run_.outside
                                          : place.kind == Kind::setpoint ? &run_.setpoint
                                                                         : nullptr;
        if (one == nullptr) {
            run_.air.push_back({place.height_m.value_or(-1.0), trace});
            return;
        }
        if (one->has_value())
            refuse_option("--map", fmt::format("'{}' and '{}' are the same place; name one of them", (*one)->name, trace.name));
        *one = trace;
    }

    const BoothLogTask& task_;
    tune::EmptyRun run_;
};

std::string text_of(double value, const FieldUnit& unit) {
    const std::string number = fmt::format("{:.4g}", unit.shown(value));
    return unit.name.empty() ? number : profile::text_value(fmt::format("{} {}", number, unit.name));
}

std::string without_learned(std::string text) {
    for (std::string before; before != text;) {
        before = text;
        text = profile::without_value(text, "learned[0]");
    }
    return profile::without_value(text, "learned_from");
}

/// A source stands under the number's whole key, in quotes or with dots: its line is put anew, or one is added under the heading.
std::string with_source(const std::string& text, const std::string& key, const std::string& source) {
    const std::string plain = std::regex_replace(key, std::regex(R"(\.)"), R"(\.)");
    const std::regex line(fmt::format(R"((^|\n)("?){}\2[ \t]*=[ \t]*"(?:[^"\\\n]|\\.)*")", plain));
    const std::string heading = "[sources]\n", put = fmt::format("\"{}\" = {}", key, profile::text_value(source));
    const std::size_t at = text.find(heading);
    if (at == std::string::npos) return text + (text.ends_with('\n') ? "\n" : "\n\n") + heading + put + "\n";
    const std::size_t from = at + heading.size() - 1, to = std::min(text.find("\n[", from), text.size());
    const std::string sources = text.substr(from, to - from);
    std::smatch found;
    if (!std::regex_search(sources, found, line)) return text.substr(0, from + 1) + put + "\n" + text.substr(from + 1);
    return text.substr(0, from) + found.prefix().str() + found[1].str() + put + found.suffix().str() + text.substr(to);
}

/// Puts one told number with its range behind it.
std::string with_number(const std::string& text, const tune::BoothNumber& number, double value) {
    const std::string put = profile::with_value(text, number.key, text_of(value, number.unit));
    const auto told = [&](double value_si) {
        const double shown = number.unit.shown(value_si);
        return std::abs(shown) >= 1000.0 ? fmt::format("{:.0f}", shown) : fmt::format("{:.3g}", shown);
    };
    return profile::with_remark(
        put, number.key,
        fmt::format("{} to {} {}, log of the empty booth", told(number.now.low), told(number.now.high), number.unit.name));
}

}  // namespace

tune::EmptyRun empty_run(const BoothLogTask& task) { return RunMaker(task).run(); }

std::string text_of_fit(const std::string& before, const std::string& id, const tune::EmptyBoothFit& fit) {
    const bake::Booth& booth = fit.booth;
    const profile::Located<bake::Booth> was = profile::read_booth(before, id + ".toml");
    if (!was.problems.empty()) throw InputError(was.problems);
    std::string text = without_learned(before);
    bool has_profile = false;
    for (const tune::BoothNumber& number : fit.numbers) {
        if (!number.is_told || number.key.starts_with("learned.")) continue;
        if (number.key == "vertical_profile") {
            has_profile = true;
        } else if (number.key == "wall_loss") {
            const Spread loss = booth.wall_loss();
            const auto part = [&](double value) { return text_of(value, number.unit); };
            text = profile::with_value(
                text, number.key,
                fmt::format("{{ low = {}, value = {}, high = {} }}", part(loss.low), part(loss.value), part(loss.high)));
        } else {
            text = with_number(text, number, number.now.value);
        }
        text = with_source(text, number.key, booth.sources.at(number.key));
    }
    if (has_profile) {
        std::string rows;
        for (const bake::VerticalOffset& row : booth.vertical_profile)
            rows += fmt::format("    {{ height = {}, offset = {} }},\n", text_of(row.height_m, unit::m),
                                text_of(row.offset_k, unit::k));
        text = profile::with_value(text, "vertical_profile", "[\n" + rows + "]");
    }
    if (was.record.controller.kind != booth.controller.kind) {
        text = profile::with_value(text, "controller.kind", profile::text_value(word_of(booth.controller.kind)));
        if (booth.controller.kind == bake::Controller::Kind::proportional_integral)
            text = profile::with_value(text, "controller.gain", text_of(booth.controller.gain_w_per_k, unit::w_per_k));
    }
    if (was.record.wall_offset_k)
        text = profile::without_value(profile::without_value(text, "wall_offset"), "sources.wall_offset");
    const std::string whole = profile::to_hand_toml(booth);
    const std::size_t learned = whole.find("[[learned]]");
    if (learned != std::string::npos) text += (text.ends_with('\n') ? "\n" : "\n\n") + whole.substr(learned);
    const profile::Located<bake::Booth> again = profile::read_booth(text, id + ".toml");
    if (!again.problems.empty()) throw InputError(again.problems);
    return text;
}

FittedBoothText fitted_booth(const std::string& text, const std::string& id, const BoothLogTask& task) {
    const profile::Located<bake::Booth> read = profile::read_booth(text, id + ".toml");
    if (!read.problems.empty()) throw InputError(read.problems);
    tune::EmptyRun run = empty_run(task);
    for (tune::AirAtHeight& one : run.air)
        if (one.height_m < 0.0) one.height_m = 0.5 * read.record.inside().height_m;
    const auto source = read.record.sources.find("burner.power");
    const bool is_guess = source != read.record.sources.end() && source->second.starts_with(builder::kGuess);
    FittedBoothText made{tune::fit_empty_booth(read.record, run, {.power_is_guess = is_guess}), {}};
    made.text = text_of_fit(text, id, made.fit);
    return made;
}

}  // namespace bakewright::services
