// SPDX-License-Identifier: Apache-2.0
#include "bakewright/services/live_outlook.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <span>
#include <string>
#include <string_view>
#include <tuple>
#include <utility>

#include "bakewright/base/units.hpp"
#include "bakewright/cure/judge.hpp"
#include "bakewright/cure/readings.hpp"
#include "bakewright/cure/rule.hpp"
#include "bakewright/services/estimated.hpp"
#include "bakewright/services/live_judging.hpp"
#include "bakewright/thermal/ensemble.hpp"

namespace bakewright::services {
namespace {

using report::LiveState;

/// Of heat off the first minute is looked for so long before all are cured with the heat on: what is earned while it cools.
constexpr double kEarnedCoolingS = 32.0 * kSecondPerMinute;
/// Without a minute for heat off the curves are drawn so far ahead.
constexpr double kAheadDrawnS = 60.0 * kSecondPerMinute;

std::string limit_text(const cure::ExposureLimit& limit) {
    const std::string level = format_temperature(limit.temperature_k, Units{});
    return limit.allowed_s > 0.0 ? format_duration(limit.allowed_s) + " at " + level : level;
}

/// A place's course, a moment a minute, up to a moment to come.
report::LiveCurve curve_of(const tune::ForecastTraces& traces, std::size_t place, double until_s) {
    const auto stride =
        static_cast<std::size_t>(std::max(1.0, std::round(kSecondPerMinute / (traces.time_s[1] - traces.time_s[0]))));
    report::LiveCurve curve{.name = traces.names[place], .role = traces.roles[place]};
    for (std::size_t t = 0; t < traces.time_s.size() && traces.time_s[t] <= until_s; t += stride) {
        std::vector<double> kelvin;
        for (std::size_t m = 0; m < traces.member_count; ++m) kelvin.push_back(traces.of(place, m)[t]);
        const report::LiveBand band = band_of(std::move(kelvin));
        curve.time_s.push_back(traces.time_s[t]);
        curve.low_k.push_back(band.low), curve.median_k.push_back(band.median), curve.high_k.push_back(band.high);
    }
    return curve;
}

/// One update: what the forecast says, judged.
class Outlook {
public:
    Outlook(const StoredBake& bake, const tune::Forecast& forecast, LiveState& state)
        : bake_(bake),
          forecast_(forecast),
          sheet_{*bake.coating, coated_of(bake, forecast), items_of(bake, forecast)},
          window_(*bake.coating),
          state_(state) {}

    /// @return the members' courses with the heat on
    tune::ForecastTraces fill() {
        tune::ForecastTraces on = forecast_.traces({});
        const std::vector<JudgedMember> with_heat = judged_members(on, sheet_);
        const tune::ForecastTraces off = forecast_.traces(forecast_.now_s());
        const std::vector<JudgedMember> off_now = judged_members(off, sheet_);
        state_.is_known = true;
        fill_phase();
        state_.air_k = band_at(on, *air_of(on), forecast_.now_s());
        for (std::size_t z = 0; z < sheet_.coated.size(); ++z) add_zone(z, on, with_heat, off_now);
        for (std::size_t i = 0; i < sheet_.items.size(); ++i) add_item(i, on, with_heat, off_now);
        sort_places();
        state_.off_now = choice_of(forecast_.now_s(), off_now);
        if (state_.phase != bake::StageKind::cool) find_heat_off(with_heat, on);
        if (state_.heat_off)
            add_curves(forecast_.traces(state_.heat_off->off_s));
        else
            add_curves(state_.phase == bake::StageKind::cool ? off : on);
        add_remarks();
        return on;
    }

private:
    void fill_phase() {
        state_.phase = forecast_.phases().back().kind;
        state_.phase_since_s = forecast_.phases().back().from_s;
        state_.setpoint_k = forecast_.setpoint_k();
        state_.cycle_off_s = forecast_.cycle_off_s();
    }

    [[nodiscard]] report::LivePlace place_named(const std::string& name, const tune::ForecastTraces& on) const {
        const std::size_t place = *place_of(on, name);
        report::LivePlace made;
        made.name = name;
        made.role = on.roles[place];
        made.known_from = known_from(bake_, forecast_.estimate(), name);
        made.now_k = band_at(on, place, forecast_.now_s());
        return made;
    }

    void add_zone(std::size_t z, const tune::ForecastTraces& on, const std::vector<JudgedMember>& with_heat,
                  const std::vector<JudgedMember>& off_now) {
        report::LivePlace made = place_named(sheet_.coated[z], on);
        made.is_coated = true;
        made.credit = band_of(credits(on, judged_place(on, sheet_, z), forecast_.now_s(), window_));
        std::vector<double> good_s, over_s;
        for (const JudgedMember& member : with_heat) {
            good_s.push_back(member.good_s[z]);
            over_s.push_back(member.over_s[z]);
        }
        made.good = moment_of(good_s);
        const cure::WordProbabilities words = words_of_zone(off_now, z);
        made.off_now = cure::word_of(words);
        made.off_now_chance = words.good;
        const auto cured = std::count_if(good_s.begin(), good_s.end(), [&](double s) { return s <= forecast_.now_s(); });
        made.is_good =
            made.off_now == cure::Word::good && static_cast<double>(cured) >= cure::kSure * static_cast<double>(good_s.size());
        if (const auto most_k = bake_.coating->absolute_maximum_k)
            made.limit = limit_of(format_temperature(*most_k, Units{}), *most_k, over_s);
        else if (std::any_of(over_s.begin(), over_s.end(), [](double s) { return s < kNeverS; }))
            made.limit = limit_of("the sheet's longest time", 0.0, over_s);
        state_.places.push_back(std::move(made));
    }

    void add_item(std::size_t i, const tune::ForecastTraces& on, const std::vector<JudgedMember>& with_heat,
                  const std::vector<JudgedMember>& off_now) {
        report::LivePlace made = place_named(sheet_.items[i].name, on);
        std::vector<double> passed_s;
        for (const JudgedMember& member : with_heat) passed_s.push_back(member.passed_s[i]);
        const cure::WordProbabilities words = words_of_item(off_now, i);
        made.off_now = sheet_.items[i].no_limit_known_of.empty() ? cure::word_of(words) : cure::Word::check;
        made.off_now_chance = words.good;
        for (const cure::ExposureLimit& limit : sheet_.items[i].limits)
            if (cure::changes_word(limit) && (!made.limit || limit.temperature_k < made.limit->temperature_k))
                made.limit = limit_of(limit_text(limit), limit.temperature_k, passed_s);
        state_.places.push_back(std::move(made));
    }

    /// Zones last to be good first, then items nearest to a limit first.
    void sort_places() {
        const auto key = [](const report::LivePlace& place) {
            const double late = place.is_coated ? -place.good.median_s.value_or(kNeverS)
                                                : (place.limit ? place.limit->earliest_s.value_or(kNeverS) : kNeverS);
            const double less = place.is_coated ? place.credit->median : -place.now_k.high;
            return std::tuple(!place.is_coated, late, less, std::string_view(place.name));
        };
        std::sort(state_.places.begin(), state_.places.end(),
                  [&](const auto& one, const auto& other) { return key(one) < key(other); });
    }

    [[nodiscard]] report::LiveChoice choice_of(double off_s, const std::vector<JudgedMember>& members) const {
        report::LiveChoice made{off_s, chance_of(members), cure::Word::good, {}, {}};
        std::vector<double> all_good_s;
        std::map<std::string, std::size_t> last;
        for (const JudgedMember& member : members) {
            all_good_s.push_back(member.all_good_s());
            const auto slowest = std::max_element(member.good_s.begin(), member.good_s.end());
            if (slowest != member.good_s.end()) ++last[sheet_.coated[static_cast<std::size_t>(slowest - member.good_s.begin())]];
        }
        made.all_good_s = moment_quantile(std::move(all_good_s), kBandHigh);
        std::size_t most = 0;
        for (const auto& [zone, times] : last)
            if (times > most) most = times, made.last_zone = zone;
        const auto worse = [&](cure::Word word) {
            if (cure::word_rank(word) < cure::word_rank(made.word)) made.word = word;
        };
        for (std::size_t z = 0; z < sheet_.coated.size(); ++z) worse(cure::word_of(words_of_zone(members, z)));
        for (std::size_t i = 0; i < sheet_.items.size(); ++i)
            worse(sheet_.items[i].no_limit_known_of.empty() ? cure::word_of(words_of_item(members, i)) : cure::Word::check);
        if (!flash_off_.empty() || made.chance < cure::kSure) worse(cure::Word::check);
        return made;
    }

    /// The first whole minute at which heat off leaves all kSure of good: cured by bisection, the rest judged there.
    void find_heat_off(const std::vector<JudgedMember>& with_heat, const tune::ForecastTraces& on) {
        std::vector<double> cured_s;
        for (const JudgedMember& member : with_heat) cured_s.push_back(member.all_good_s());
        const std::optional<double> latest_s = moment_quantile(cured_s, sure_level(cured_s.size()));
        if (!latest_s) {
            state_.why_no_heat_off = no_heat_off_text(on.time_s.back() - forecast_.now_s());
            return;
        }
        const double now_min = std::ceil(forecast_.now_s() / kSecondPerMinute);
        double high_min = std::max(now_min, std::ceil(*latest_s / kSecondPerMinute));
        double low_min = std::max(now_min, std::floor((*latest_s - kEarnedCoolingS) / kSecondPerMinute));
        if (state_.off_now && is_cured_off(forecast_.now_s())) high_min = low_min = now_min;
        while (high_min - low_min >= 1.0) {
            const double middle_min = std::floor((low_min + high_min) / 2.0);
            if (is_cured_off(middle_min * kSecondPerMinute))
                high_min = middle_min;
            else
                low_min = middle_min + 1.0;
        }
        const double off_s = std::max(forecast_.now_s(), high_min * kSecondPerMinute);
        const report::LiveChoice choice = choice_of(off_s, judged_members(forecast_.traces(off_s), sheet_));
        if (choice.chance >= cure::kSure) {
            state_.heat_off = choice;
            return;
        }
        state_.why_no_heat_off = fmt::format(
            "with heat off in {} every zone would be cured, but something may pass a limit or get too much: {:.0f} % sure",
            format_duration(off_s - forecast_.now_s()), std::floor(100.0 * choice.chance));
    }
    [[nodiscard]] bool is_cured_off(double off_s) const {
        const std::vector<double> moments_s = all_cured_s(forecast_.traces(off_s), sheet_);
        return moment_quantile(moments_s, sure_level(moments_s.size())).has_value();
    }

    /// Of the air and every place; without a minute for heat off no further than an hour.
    void add_curves(const tune::ForecastTraces& traces) {
        const double until_s = state_.heat_off ? traces.time_s.back() : forecast_.now_s() + kAheadDrawnS;
        for (std::size_t place = 0; place < traces.names.size(); ++place) {
            const auto is_it = [&](const report::LivePlace& one) { return one.name == traces.names[place]; };
            if (traces.roles[place] == TraceRole::booth_air || std::any_of(state_.places.begin(), state_.places.end(), is_it))
                state_.curves.push_back(curve_of(traces, place, until_s));
        }
    }

    void add_remarks() {
        const tune::Estimate& estimate = forecast_.estimate();
        if (!estimate.is_conditioned) state_.remarks.push_back("the readings tell nothing of the shell yet: " + estimate.why_not);
        for (const std::string& remark : flash_off_) state_.remarks.push_back("CHECK: " + remark);
        if (!state_.cycle_off_s && state_.phase != bake::StageKind::cool)
            state_.remarks.emplace_back("no cycle is known: the heat is taken to stay as it is");
        for (const cure::HeatSensitiveItem& item : sheet_.items) {
            if (std::any_of(item.limits.begin(), item.limits.end(),
                            [](const auto& limit) { return limit.scope == cure::ExposureScope::lifetime; }))
                state_.remarks.push_back(Phrase("the lifetime limit of ")
                                             .add_place(item.name)
                                             .add(" counts this bake alone here; `judge --shell` counts all"));
            if (!item.no_limit_known_of.empty())
                state_.remarks.push_back(Phrase("CHECK: nobody has said how hot ").add_place(item.name).add(" may get"));
        }
    }

    const StoredBake& bake_;
    const tune::Forecast& forecast_;
    LiveSheet sheet_;
    cure::CureWindow window_;
    LiveState& state_;
    std::vector<std::string> flash_off_ = flash_off_remarks();

    [[nodiscard]] std::vector<std::string> flash_off_remarks() const {
        std::vector<std::string> remarks;
        const Trace* air = bake_.traces.first(TraceRole::booth_air);
        const auto on_s = air == nullptr ? std::nullopt : cure::heat_on_s(*air);
        if (!on_s) return remarks;
        for (const cure::HeatWarning& warning : cure::flash_off_warnings(*on_s, *bake_.coating))
            remarks.push_back(warning.reason);
        return remarks;
    }
};

}  // namespace

std::vector<std::string> coated_of(const StoredBake& bake, const tune::Forecast& forecast) {
    // Not those of the log alone: skin over posts has no probe and is the last to cure.
    std::vector<std::string> coated = bake.shell->shell.coated_place_names();
    const auto& origins = forecast.estimate().bakes.front().driven.built.origins;
    std::erase_if(coated, [&](const std::string& zone) {
        return std::none_of(origins.begin(), origins.end(), [&](const auto& one) { return one.name == zone; });
    });
    return coated;
}
std::vector<cure::HeatSensitiveItem> items_of(const StoredBake& bake, const tune::Forecast& forecast) {
    std::vector<cure::HeatSensitiveItem> items = bake.item_limits();
    const auto& origins = forecast.estimate().bakes.front().driven.built.origins;
    std::erase_if(items, [&](const cure::HeatSensitiveItem& item) {
        return std::none_of(origins.begin(), origins.end(), [&](const auto& one) { return one.name == item.name; });
    });
    return items;
}

std::string no_heat_off_text(double ahead_s) {
    return fmt::format("some zone is not sure to be good within {} of heat like this", format_duration(ahead_s));
}

tune::ForecastTraces fill_state(LiveState& state, const StoredBake& bake, const tune::Forecast& forecast) {
    return Outlook(bake, forecast, state).fill();
}

}  // namespace bakewright::services
