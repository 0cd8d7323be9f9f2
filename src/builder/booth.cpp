// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <regex>

#include "bakewright/base/error.hpp"
#include "bakewright/builder/warm_up.hpp"
#include "bakewright/profile/read.hpp"
#include "said.hpp"

/// A booth of five questions: how large, which walls, which air, what heats it, what its controller reads.
namespace bakewright::builder {
namespace {

constexpr double kSprayAirMPerS = 0.25;    // over the floor, while spraying; common practice
constexpr double kFreshAirShare = 0.10;    // of it while baking; published training notes
constexpr double kRadiationWPerM2K = 1.0;  // that walls take beside the film while they are near the air's temperature

bool has(const std::string& words, std::initializer_list<const char*> all) {
    return std::ranges::any_of(all, [&](const char* word) { return words.find(word) != std::string::npos; });
}

Heard temperature(const std::string& text) {
    return heard(text, {.dimension = Dimension::temperature, .bare = "degC", .takes_bare = true});
}

class BoothMaker {
public:
    BoothMaker(const Said& said, Built& built) : said_(said), built_(built), booth_(built.booth) {}

    void make() {
        booth_.title = said_.text("title");
        add_size();
        add_walls();
        add_air();
        add_climate();
        add_heat();
        add_sensor();
    }

private:
    void source(const std::string& key, std::string text) { booth_.sources[key] = std::move(text); }
    void assume(const std::string& what, const std::string& value, const std::string& range, const std::string& find_out) {
        built_.assumed.push_back({what, value, range, "common practice, no source", find_out});
    }
    static double rounded(double value, double step) { return std::round(value / step) * step; }

    void add_size() {
        const std::vector<Heard> sizes = said_.hear("size", [](const std::string& text) { return heard_sizes(text, 3); });
        const double l = sizes[0].value, w = sizes[1].value, h = sizes[2].value;
        if (l < 1.0 || w < 1.0 || h < 1.0 || l * w * h > 2e4)
            Said::refuse("size", fmt::format("A booth of {} x {} x {} m inside?", shown(l), shown(w), shown(h)));
        height_m_ = h;
        booth_.size = bake::BoothSize{l, w, h};
        booth_.volume_m3 = booth_.size->volume_m3();
        booth_.wall_area_m2 = booth_.size->area_m2();
        source("size", "as said");
        const double spray_m3_per_s = rounded(kSprayAirMPerS * l * w, 0.001);
        for (const bake::FanMode mode : {bake::FanMode::flash_off, bake::FanMode::purge, bake::FanMode::cool}) {
            booth_.ventilation[static_cast<std::size_t>(mode)].make_up_m3_per_s = spray_m3_per_s;
            source(fmt::format("ventilation.{}", word_of(mode)), "common practice: 0.25 m/s over the floor, all of it fresh air");
        }
        for (const bake::FanMode mode : {bake::FanMode::purge, bake::FanMode::cool})
            booth_.ventilation[static_cast<std::size_t>(mode)].burner_may_fire = false;
        booth_.ventilation[static_cast<std::size_t>(bake::FanMode::bake)].make_up_m3_per_s =
            rounded(kFreshAirShare * kSprayAirMPerS * l * w, 1e-4);
        source("ventilation.bake", "published training notes: about 10 % fresh air while baking; 5 to 20 %");
        assume("fresh air while baking", fmt::format("{} m3/s", shown(kFreshAirShare * kSprayAirMPerS * l * w)),
               "half to twice as much", "the booth's papers, or the damper's setting");
        said_.tell("size",
                   fmt::format("{} m3, walls, ceiling and floor {} m2", shown(booth_.volume_m3), shown(booth_.wall_area_m2)));
    }

    struct Wall {
        bake::WallKind kind;
        double capacity_kj, low_loss, loss, high_loss;
        const char *title, *ranges;
    };

    void add_walls() {
        static constexpr Wall kSheet{bake::WallKind::single_skin, 5.0, 2.5, 4.0, 7.7, "a single sheet", "4 to 8 kJ/m2K"};
        static constexpr Wall kPanel{bake::WallKind::insulated, 8.0, 0.4, 0.6, 1.0, "insulated panels", "5 to 12 kJ/m2K"};
        static constexpr Wall kMasonry{bake::WallKind::single_skin, 60.0, 2.0, 3.0, 4.0, "brick or concrete", "45 to 90 kJ/m2K"};
        static constexpr Wall kUnknown{bake::WallKind::single_skin, 6.5, 0.4, 2.0, 7.7, "walls not known", "4 to 12 kJ/m2K"};
        const Wall wall = said_.hear("walls", [](const std::string& text) {
            const std::string words = plain_words(text);
            if (has(words, {"brick", "block", "concrete", "mason", "stone"})) return kMasonry;
            if (has(words, {"insul", "panel", "sandwich", "double"})) return kPanel;
            if (has(words, {"single", "sheet", "one skin", "curtain", "tin"})) return kSheet;
            if (has(words, {"know", "not sure", "?"}) || words.empty()) return kUnknown;
            throw NotUnderstood(
                fmt::format("Are the walls one sheet, insulated panel, or brick or concrete? '{}' says none of it.", text));
        });
        booth_.wall = wall.kind;
        booth_.wall_heat_capacity_j_per_m2_k = 1e3 * wall.capacity_kj;
        booth_.wall_loss_w_per_m2_k = Spread{wall.low_loss, wall.loss, wall.high_loss};
        const std::string from = fmt::format("{}; common practice, {}", wall.title, wall.ranges);
        for (const char* key : {"wall_heat_capacity", "wall_loss"}) source(key, from);
        assume("walls", fmt::format("{}: {:g} kJ/m2K, {:g} W/m2K", wall.title, wall.capacity_kj, wall.loss), wall.ranges,
               "look at the edge of a panel");
        said_.tell("walls", wall.title);
    }

    struct Profile {
        double low_k, high_k;
        const char* title;
    };

    void add_air() {
        const Profile profile = said_.hear("air_path", [&](const std::string& text) {
            const std::string words = plain_words(text);
            if (has(words, {"mix", "stir", "fan"})) return Profile{-3.0, 2.0, "mixing fans"};
            if (has(words, {"one spot", "one place", "spot"})) return Profile{-12.0, 10.0, "blown in at one place"};
            if (has(words, {"end", "cross", "length"})) return Profile{-6.0, 6.0, "from one end to the other"};
            if (has(words, {"side", "low duct"})) return Profile{-6.0, 7.0, "from the ceiling to low ducts at the sides"};
            if (has(words, {"ceiling", "down", "floor", "pit"}) || has(words, {"know"}) || words.empty())
                return Profile{booth_.wall == bake::WallKind::single_skin ? -10.0 : -8.0, 8.0, "from the ceiling to the floor"};
            throw NotUnderstood(
                fmt::format("Where does the air come in and go out? '{}' is not ceiling to floor, low sides, end to end, one "
                            "spot or mixing fans.",
                            text));
        });
        booth_.vertical_profile = {{0.3, profile.low_k}, {rounded(0.5 * height_m_, 0.01), 0.0}, {height_m_, profile.high_k}};
        if (!(booth_.vertical_profile[1].height_m > 0.3)) booth_.vertical_profile.erase(booth_.vertical_profile.begin());
        source("vertical_profile",
               fmt::format("{}; a booth engineer's published article has 15 to 20 degC between ceiling and floor; half to "
                           "one and a half times it",
                           profile.title));
        assume("air from floor to ceiling", fmt::format("{:+g} K low, {:+g} K high", profile.low_k, profile.high_k),
               "half to one and a half times", "a thermometer at knee height and one overhead, booth hot and empty");
        booth_.air = said_.hear("air_strength", [&](const std::string& text) {
            const std::string words = plain_words(text);
            if (has(words, {"still", "gentle", "straight", "weak", "low"})) return bake::AirStrength::gentle;
            if (has(words, {"out", "strong", "hard", "high"})) return bake::AirStrength::strong;
            if (has(words, {"flutter", "normal", "lean", "medium", "know"}) || words.empty()) return bake::AirStrength::normal;
            throw NotUnderstood(
                fmt::format("What does the strip do: hangs still, flutters, stands out? '{}' says none of it.", text));
        });
        const Spread film = bake::film_coefficient_of(booth_.air);
        assume("air strength", fmt::format("{}, {:g} W/m2K", word_of(booth_.air), film.value),
               fmt::format("{:g} to {:g} W/m2K", film.low, film.high),
               "hang a strip of paper by the vehicle, burner off, fans in bake");
    }

    void add_climate() {
        const Heard ambient = said_.hear("ambient", temperature);
        booth_.ambient_k = ambient.value;
        built_.style.as_typed["ambient"] = ambient.written;
        source("ambient", said_.is_said("ambient") ? "as said" : "assumed, common practice");
        const std::vector<std::string> parts = said_.hear("limits", [](const std::string& text) { return split(text, ",;"); });
        const Heard highest = said_.hear("limits", [&](const std::string&) {
            if (parts.empty()) throw NotUnderstood("What is the hottest setting? Write such as 80 °C.");
            return temperature(parts[0]);
        });
        booth_.highest_setpoint_k = highest.value;
        built_.style.as_typed["highest_setpoint"] = highest.written;
        source("highest_setpoint", said_.is_said("limits") ? "as said" : "assumed, common practice for paint booths");
        if (parts.size() < 2 || parts[1] == "-") return;
        const Heard trip = said_.hear("limits", [&](const std::string&) { return temperature(parts[1]); });
        if (trip.value < highest.value)
            Said::refuse("limits", "The high limit lies below the hottest setting. Write setting, then high limit.");
        booth_.high_limit_k = trip.value;
        built_.style.as_typed["high_limit"] = trip.written;
        source("high_limit", "as said");
    }

    [[nodiscard]] EmptyBooth empty() const {
        const double film = bake::film_coefficient_of(booth_.air).value + kRadiationWPerM2K;
        constexpr double kAirKgPerM3 = 1.2, kAirJPerKgK = 1007.0;
        return {bake::kAirHeatCapacityJPerM3K * booth_.volume_m3,
                booth_.wall_heat_capacity_j_per_m2_k * booth_.wall_area_m2,
                booth_.ventilation[static_cast<std::size_t>(bake::FanMode::bake)].make_up_m3_per_s * kAirKgPerM3 * kAirJPerKgK,
                booth_.wall_area_m2,
                film,
                booth_.wall_loss().value};
    }

    /// "15 min from cold to 60": the time, and the temperature it leads to.
    static std::optional<std::pair<Heard, Heard>> minutes_and_end(const std::string& text) {
        static const std::regex form(R"(^\s*(.+?)\s+(?:from cold\s+)?(?:to|until)\s+(.+?)\s*$)", std::regex::icase);
        std::smatch found;
        if (!std::regex_match(text, found, form) || text.find_first_of("kKbB") != std::string::npos) return std::nullopt;
        return std::pair{heard(found[1].str(), {.dimension = Dimension::time, .bare = "min", .takes_bare = true}),
                         temperature(found[2].str())};
    }

    void add_heat() {
        said_.hear("heat", [&](const std::string& text) {
            if (const auto timed = minutes_and_end(text)) {
                const double rise = timed->second.value - booth_.ambient_k;
                if (!(rise > 5.0)) throw NotUnderstood("How long from cold to which temperature? Write such as 15 min to 60 C.");
                booth_.burner_power_w = rounded(power_for_rise_w(empty(), rise, timed->first.value), 100.0);
                source("burner.power", fmt::format("from {:.0f} min to {} empty, by a heat balance of air and walls",
                                                   timed->first.value / 60.0, timed->second.written));
                assume("heater", fmt::format("{:.0f} kW from the minutes", booth_.burner_power_w / 1e3), "70 to 130 %",
                       "the burner's plate");
            } else if (has(plain_words(text), {"know", "not sure"})) {
                guess_power();
            } else {
                read_plate(text);
            }
            return 0;
        });
        const bool clicks = said_.hear("flame", [](const std::string& text) {
            const std::string words = plain_words(text);
            if (has(words, {"click", "on and off", "on off", "on/off", "stage"})) return true;
            if (has(words, {"grow", "modul", "shrink", "steady", "electric", "know"}) || words.empty()) return false;
            throw NotUnderstood(fmt::format("Does the flame grow and shrink, or click on and off? '{}' says neither.", text));
        });
        booth_.controller.kind = clicks ? bake::Controller::Kind::on_off : bake::Controller::Kind::proportional_integral;
        booth_.controller.band_k = 3.0;
        if (clicks) source("controller.band", "common practice, 1 to 6 K");
        // Full power at 8 K of error and no more than the usual gain: a small burner is opened no faster than a large one.
        if (!clicks) {
            booth_.controller.band_k = bake::Controller{}.band_k;
            booth_.controller.gain_w_per_k =
                std::max(100.0, rounded(std::min(booth_.controller.gain_w_per_k, booth_.burner_power_w / 8.0), 100.0));
            source("controller.gain", "common practice: full power at 8 K of error");
        }
        ask_about_heat();
    }

    void guess_power() {
        constexpr double kWPerM3 = 1000.0;
        booth_.burner_power_w = rounded(kWPerM3 * booth_.volume_m3, 1000.0);
        source("burner.power", fmt::format("{}: 1 kW for each m3, 0.4 to 1.7; common practice", kGuess));
        assume("heater", fmt::format("{:.0f} kW into the air", booth_.burner_power_w / 1e3), "0.4 to 1.7 kW for each m3",
               "the burner's plate, or a log of the empty booth");
        said_.tell("heat", fmt::format("not known: {:.0f} kW taken", booth_.burner_power_w / 1e3));
    }

    void read_plate(const std::string& text) {
        static const std::regex words_of_it(R"(\b(?:in|out|gas|oil|electric|input|output|fuel|heat|burner|plate)\b)",
                                            std::regex::icase);
        const std::string words = plain_words(text);
        const bool says_oil_flow = words.find("of oil") != std::string::npos;
        Heard power = heard(says_oil_flow ? text : plain_ends(std::regex_replace(text, words_of_it, "")),
                            {.dimension = Dimension::power, .bare = "kW"});
        constexpr double kFlue = 0.80;  // 0.70 to 0.90; common practice
        const bool says_in = std::regex_search(text, std::regex(R"(\b(?:in|input)\b)", std::regex::icase));
        const bool says_out = std::regex_search(text, std::regex(R"(\b(?:out|output|electric)\b)", std::regex::icase));
        const bool is_in = (power.is_fuel_in && !says_out) || says_in;
        booth_.burner_power_w = rounded(power.value * (is_in ? kFlue : 1.0), 100.0);
        source("burner.power",
               is_in
                   ? fmt::format("{} of fuel, 0.80 of it into the air (0.70 to 0.90, common practice, burner with a flue)", text)
                   : fmt::format("as said: {}, taken as heat into the air", text));
        assume("heater", fmt::format("{:.0f} kW into the air", booth_.burner_power_w / 1e3),
               is_in ? "0.70 to 0.90 of the fuel" : "0.80 of it, if the plate means fuel",
               "whether the burner's plate says input or output");
        said_.tell("heat", fmt::format("{:.0f} kW into the air{}{}", booth_.burner_power_w / 1e3,
                                       power.remark.empty() ? "" : "; ", power.remark));
    }
    static std::string plain_ends(const std::string& text) {
        const std::size_t from = text.find_first_not_of(" ,"), to = text.find_last_not_of(" ,");
        return from == std::string::npos ? std::string() : text.substr(from, to - from + 1);
    }

    void ask_about_heat() {
        constexpr double kLeastKwPerM3 = 0.15, kMostKwPerM3 = 3.0;
        const double per_m3 = booth_.burner_power_w / 1e3 / booth_.volume_m3;
        if (per_m3 < kLeastKwPerM3 || per_m3 > kMostKwPerM3)
            said_.doubt("heat", fmt::format("{:.0f} kW for {:.0f} m3? Booths of this size have about {:.0f} kW.",
                                            booth_.burner_power_w / 1e3, booth_.volume_m3, booth_.volume_m3));
        const double hottest_k = booth_.ambient_k + steady_rise_k(empty(), booth_.burner_power_w);
        if (hottest_k < booth_.highest_setpoint_k)
            said_.doubt("heat", fmt::format("With {:.0f} °C outside this heater holds about {:.0f} °C, and {:.0f} °C is the "
                                            "hottest setting. Is the power right?",
                                            kelvin_to_celsius(booth_.ambient_k), kelvin_to_celsius(hottest_k),
                                            kelvin_to_celsius(booth_.highest_setpoint_k)));
    }

    void add_sensor() {
        struct Place {
            double offset_k;
            const char *title, *range;
        };
        const Place place = said_.hear("sensor", [](const std::string& text) {
            const std::string words = plain_words(text);
            if (has(words, {"duct", "plenum", "inlet", "hot"})) return Place{5.0, "in the hot duct", "2 to 12 K"};
            if (has(words, {"exhaust", "outlet", "return"})) return Place{-4.0, "in the exhaust", "-8 to 0 K"};
            if (has(words, {"wall", "room", "booth"})) return Place{0.0, "on the wall", "-3 to 3 K"};
            if (has(words, {"part", "panel", "metal"}))
                return Place{0.0, "at the part, which is not modelled: taken as the booth's air", "-4 to 8 K"};
            if (has(words, {"know", "not sure"}) || words.empty()) return Place{0.0, "place not known", "-4 to 8 K"};
            throw NotUnderstood(fmt::format(
                "Where is the controller's sensor: on the wall, in the hot duct, in the exhaust? '{}' says none of it.", text));
        });
        booth_.controller.sensor_offset_k = place.offset_k;
        source("controller.sensor_offset", fmt::format("{}; {}, common practice", place.title, place.range));
        assume("controller's sensor", fmt::format("{}: reads {:+g} K", place.title, place.offset_k), place.range,
               "follow its wire");
        said_.tell("sensor", place.title);
    }

    const Said& said_;
    Built& built_;
    bake::Booth& booth_;
    double height_m_ = 0.0;
};

}  // namespace

Built build_booth(const std::string& id, const Answers& answers) {
    Built built;
    const Said said(profile::Kind::booth, answers, built);
    built.booth.id = id;
    BoothMaker(said, built).make();
    built.booth.answers = answers;
    built.text = profile::to_hand_toml(built.booth, built.style);
    const profile::Located<bake::Booth> again = profile::read_booth(built.text, id + ".toml");
    if (!again.problems.empty()) throw InputError(again.problems);
    ensure(again.record == built.booth, "a booth that was written reads back as the same");
    return built;
}

}  // namespace bakewright::builder
