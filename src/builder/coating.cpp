// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <regex>
#include <tuple>

#include "bakewright/base/error.hpp"
#include "bakewright/base/format.hpp"
#include "bakewright/profile/read.hpp"
#include "said.hpp"

/// A coating in the order in which a data sheet prints it. What the sheet does not print stays empty.
namespace bakewright::builder {
namespace {

constexpr double kUsualFloorK = celsius_to_kelvin(45.0);

struct SaidRow {
    Heard temperature, minutes;
};

/// "35 min at 60 C", "60 °C: 20-30 min", "30 min @ 140F": the degrees, and the time that is left.
SaidRow heard_row(const std::string& text) {
    static const std::regex degrees(
        R"((-?\d+(?:[.,]\d+)?(?:\s*(?:-|to)\s*\d+)?)\s*(?:deg(?:rees?)?\.?|°|º)?\s*(C|F|celsius|fahrenheit)\b)",
        std::regex::icase);
    static const std::regex bare(R"(^(.*?)\s*(?:\bat\b|@)\s*(-?\d+)\s*(?:deg|°)?\s*$)", std::regex::icase);
    static const std::regex idle(R"(\b(?:at|for|and|bake|hold|object|metal|air|temperature)\b|[@:])", std::regex::icase);
    std::smatch found;
    std::string time, temperature;
    if (std::regex_search(text, found, degrees)) {
        temperature = found[1].str() + (std::tolower(static_cast<unsigned char>(found[2].str()[0])) == 'f' ? " degF" : " degC");
        time = found.prefix().str() + " " + found.suffix().str();
    } else if (std::regex_match(text, found, bare)) {
        temperature = found[2];
        time = found[1];
    } else {
        throw NotUnderstood(fmt::format("I can't read '{}'. Write a time at a temperature, such as 35 min at 60 C.", text));
    }
    time = std::regex_replace(time, idle, " ");
    SaidRow row;
    row.minutes = heard(time, {.dimension = Dimension::time, .bare = "min", .takes_bare = true, .takes_longer = true});
    Expected degree{.dimension = Dimension::temperature, .bare = "degC", .takes_bare = true};
    row.temperature = heard(temperature, degree);
    if (row.temperature.low != row.temperature.high) {  // a range: the cooler end is what has to be reached
        row.temperature.value = row.temperature.low;
        row.temperature.written = si_text(row.temperature.low, Dimension::temperature);
        row.temperature.remark = fmt::format("of {} the lower counts", temperature);
    }
    return row;
}

std::vector<SaidRow> heard_rows(const std::string& text) {
    std::vector<SaidRow> rows;
    static const std::regex decimal(R"((\d),(\d))");
    for (const std::string& one : split(std::regex_replace(text, decimal, "$1.$2"), ";,\n")) rows.push_back(heard_row(one));
    if (rows.empty())
        throw NotUnderstood("The sheet's bake line is needed: without it there is no plan. Write such as 35 min at 60 C.");
    std::ranges::sort(rows, {}, [](const SaidRow& row) { return row.temperature.value; });
    for (std::size_t i = 1; i < rows.size(); ++i) {
        const SaidRow &cool = rows[i - 1], &hot = rows[i];
        if (cool.temperature.value == hot.temperature.value)
            throw NotUnderstood(fmt::format("Two times stand at {}. Which is the sheet's?", hot.temperature.written));
        if (!(hot.minutes.value < cool.minutes.value))
            throw NotUnderstood(fmt::format("{} needs {} and {} needs {}: a hotter bake takes less. Are they swapped?",
                                            cool.temperature.written, cool.minutes.written, hot.temperature.written,
                                            hot.minutes.written));
    }
    return rows;
}

class CoatingMaker {
public:
    CoatingMaker(const Said& said, Built& built) : said_(said), built_(built), coating_(built.coating) {}

    void make() {
        coating_.title = said_.text("title");
        add_schedule();
        add_basis();
        add_limits();
        add_times();
    }

private:
    void source(const std::string& key, const std::string& text) { coating_.sources[key] = "its data sheet, as typed: " + text; }

    /// A quantity that the sheet may leave out.
    std::optional<Heard> optional(const char* question, const std::string& text, const char* key, const Expected& expected) {
        if (text.empty() || text == "-") return std::nullopt;
        const Heard read = said_.hear(question, [&](const std::string&) { return heard(text, expected); });
        built_.style.as_typed[key] = read.written;
        source(key, text);
        said_.tell(question, fmt::format("{}{}", read.written, read.remark.empty() ? "" : " (" + read.remark + ")"));
        return read;
    }
    std::optional<Heard> optional(const char* question, const char* key, const Expected& expected) {
        return optional(question, said_.text(question), key, expected);
    }

    void add_schedule() {
        const std::vector<SaidRow> rows = said_.hear("bakes", heard_rows);
        std::string told;
        for (std::size_t i = 0; i < rows.size(); ++i) {
            coating_.schedule.push_back({rows[i].temperature.value, rows[i].minutes.value, {}});
            built_.style.as_typed[fmt::format("schedule[{}].temperature", i)] = rows[i].temperature.written;
            built_.style.as_typed[fmt::format("schedule[{}].minimum", i)] = rows[i].minutes.written;
            told += fmt::format("{}{} at {}", i == 0 ? "" : "; ", format_duration(rows[i].minutes.value),
                                format_temperature(rows[i].temperature.value, Units{}, 0));
            for (const std::string& remark : {rows[i].temperature.remark, rows[i].minutes.remark})
                if (!remark.empty()) told += " (" + remark + ")";
        }
        source("schedule", said_.text("bakes"));
        said_.tell("bakes", told);
        coating_.floor_k = std::min(kUsualFloorK, coating_.schedule.back().temperature_k);
        coating_.sources["floor"] =
            "assumed, common practice: under 45 degC no minutes count, or under the only row where that is cooler";
        built_.assumed.push_back(
            {"coating", "nothing counts under 45 °C", "", "common practice, no source", "ask the coating's maker"});
    }

    void add_basis() {
        coating_.basis = said_.hear("basis", [](const std::string& text) {
            const std::string words = plain_words(text);
            const auto has = [&](std::initializer_list<const char*> all) {
                return std::ranges::any_of(all, [&](const char* word) { return words.find(word) != std::string::npos; });
            };
            if (words.empty() || has({"not", "know", "say"})) return cure::ScheduleBasis::not_stated;
            if (has({"metal", "panel", "object", "part", "substrate", "surface"})) return cure::ScheduleBasis::part;
            if (has({"air", "oven", "booth", "ambient"})) return cure::ScheduleBasis::booth_air;
            throw NotUnderstood(fmt::format("Does the sheet mean the metal or the booth's air? '{}' says neither.", text));
        });
        if (coating_.basis == cure::ScheduleBasis::not_stated)
            built_.assumed.push_back(
                {"coating", "the sheet means the metal, the harder of the two", "", "", "ask the coating's maker"});
        else
            source("basis", said_.text("basis"));
    }

    void add_limits() {
        const Expected degrees{.dimension = Dimension::temperature, .bare = "degC", .takes_bare = true};
        if (const auto most = optional("never_above", "absolute_maximum", degrees)) {
            if (most->value < coating_.schedule.back().temperature_k)
                Said::refuse("never_above",
                             fmt::format("Never hotter than {}, but the sheet has a bake at {}. Which is right?", most->written,
                                         format_temperature(coating_.schedule.back().temperature_k, Units{}, 0)));
            coating_.absolute_maximum_k = most->value;
        }
        if (const auto rate = optional("heating_rate", rate_text(said_.text("heating_rate")), "largest_heating_rate",
                                       {.dimension = Dimension::heating_rate, .bare = "K/min", .takes_bare = true}))
            coating_.largest_heating_rate_k_per_s = rate->value;
        if (said_.is_said("film"))
            said_.hear("film", [&](const std::string& text) {
                std::string told;
                for (const std::string& part : split(text, ",;")) {
                    const Heard build = heard(part, {.dimension = Dimension::length, .bare = "um", .takes_bare = true});
                    told += fmt::format("{}{:.0f} to {:.0f} µm", told.empty() ? "" : ", ", 1e6 * build.low, 1e6 * build.high);
                }
                said_.tell("film", told + "; kept with the answers, no number of the bake follows from it");
                return 0;
            });
    }

    /// "2 C a minute" as parse_quantity() reads it.
    static std::string rate_text(const std::string& text) {
        static const std::regex per(R"(\s*(?:\ba\b|\bper\b|/)\s*min(?:ute)?\b)", std::regex::icase), degrees(R"(°)");
        return std::regex_replace(std::regex_replace(text, degrees, "deg"), per, "/min");
    }

    void add_times() {
        constexpr Expected kMinutes{.dimension = Dimension::time, .bare = "min", .takes_bare = true};
        constexpr Expected kHours{.dimension = Dimension::time, .bare = "h", .takes_bare = true};
        std::tie(coating_.flash_off_minimum_s, coating_.flash_off_maximum_s) =
            from_and_to("flash_off", "flash_off_minimum", "flash_off_maximum", kMinutes);
        std::tie(coating_.recoat_minimum_s, coating_.recoat_maximum_s) =
            from_and_to("recoat", "recoat_minimum", "recoat_maximum", kHours);
        const std::vector<std::string> after = split(said_.text("after"), ",;");
        const auto nth = [&](std::size_t i) { return i < after.size() ? after[i] : std::string(); };
        const auto value = [](const std::optional<Heard>& read) { return read ? std::optional(read->value) : std::nullopt; };
        coating_.sandable_after_s = value(optional("after", nth(0), "sandable_after", kHours));
        coating_.tape_free_after_s = value(optional("after", nth(1), "tape_free_after", kHours));
        coating_.polish_after_s = value(optional("after", nth(2), "polish_after", kHours));
    }

    /// "5 to 15 min": both ends; one time alone is the lower.
    std::pair<std::optional<double>, std::optional<double>> from_and_to(const char* question, const char* from_key,
                                                                        const char* to_key, const Expected& expected) {
        const std::string text = said_.text(question);
        if (text.empty() || text == "-") return {};
        static const std::regex between(R"(^\s*(?:from\s+)?(.+?)\s*(?:\bto\b|\buntil\b|-|–)\s*(.+?)\s*$)", std::regex::icase);
        std::smatch found;
        if (!std::regex_match(text, found, between)) {
            const auto one = optional(question, text, from_key, expected);
            return {one ? std::optional(one->value) : std::nullopt, std::nullopt};
        }
        const std::string upper = found[2];
        const std::size_t unit = upper.find_first_not_of("0123456789., ");
        const bool is_bare = found[1].str().find_first_not_of("0123456789., ") == std::string::npos;
        const std::string lower =
            is_bare && unit != std::string::npos ? found[1].str() + " " + upper.substr(unit) : found[1].str();
        const auto from = optional(question, lower, from_key, expected), to = optional(question, upper, to_key, expected);
        if (from && to && from->value > to->value)
            Said::refuse(question, fmt::format("'{}' runs from the longer to the shorter. Are they swapped?", text));
        said_.tell(question, text);
        return {from ? std::optional(from->value) : std::nullopt, to ? std::optional(to->value) : std::nullopt};
    }

    const Said& said_;
    Built& built_;
    cure::Coating& coating_;
};

}  // namespace

Built build_coating(const std::string& id, const Answers& answers) {
    Built built;
    const Said said(profile::Kind::coating, answers, built);
    built.coating.id = id;
    CoatingMaker(said, built).make();
    built.coating.answers = answers;
    built.text = profile::to_hand_toml(built.coating, built.style);
    const profile::Located<cure::Coating> again = profile::read_coating(built.text, id + ".toml");
    if (!again.problems.empty()) throw InputError(again.problems);
    ensure(again.record == built.coating, "a coating that was written reads back as the same");
    return built;
}

}  // namespace bakewright::builder
