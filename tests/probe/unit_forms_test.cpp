// SPDX-License-Identifier: Apache-2.0
// The forms in which logs come, made by rule: each is read rightly, asked about, or refused with a reason; none is misread in
// silence. Every file here holds the same invented bake; what a form changes is only how it is written.
#include "log_forms.hpp"

using namespace log_forms;

namespace {

/// Ways in which °F and °C are written; X is the letter, W the scale's name.
void add_units(std::vector<Form>& forms) {
    const std::vector<std::string> spellings = {"(°X)",
                                                "[°X]",
                                                "°X",
                                                ", °X",
                                                "/ °X",
                                                "(deg X)",
                                                "(deg. X)",
                                                "deg X",
                                                "deg. X",
                                                "degX",
                                                "(degX)",
                                                "_degX",
                                                "Degrees X",
                                                "degrees X",
                                                "(Degrees X)",
                                                "(*X)",
                                                "*X",
                                                "('X)",
                                                "(oX)",
                                                "(^X)",
                                                "(ºX)",
                                                "(˚X)",
                                                "(Â°X)",
                                                "(X)",
                                                "[X]",
                                                "(°X) avg",
                                                "°X Avg",
                                                ", °X (serial 4711)",
                                                "°X 12",
                                                "(°X) max. of 10 s",
                                                "W",
                                                "(W)",
                                                "Degrees W",
                                                "(deg W)",
                                                "(DEG X)",
                                                "DEG. X",
                                                "(X°)",
                                                "Temp X",
                                                "Temperature X",
                                                "Temp (°X)",
                                                "temp_X",
                                                "TempX",
                                                "(&deg;X)",
                                                "(\xC3\xB8X)",
                                                "(\xC2\xA1X)",
                                                "/°X",
                                                "{°X}"};
    for (const std::string& spelling : spellings)
        for (const char letter : {'F', 'C'}) {
            std::string unit;
            for (const char c : spelling) {
                if (c == 'X')
                    unit += letter;
                else if (c == 'W')
                    unit += letter == 'F' ? "Fahrenheit" : "Celsius";
                else
                    unit += c;
            }
            const std::string joint = unit[0] == ',' || unit[0] == '_' ? "" : " ";
            const bool quoted = unit[0] == ',';
            const auto heading = [&](const std::string& name) {
                return quoted ? "\"" + name + unit + "\"" : name + joint + unit;
            };
            forms.push_back({"heading " + heading("Roof"),
                             table("Time (s)," + heading("Air") + "," + heading("Roof") + "\n", letter == 'F')});
            if (quoted) continue;
            const std::string bare = unit[0] == '_' || unit[0] == '/' ? unit.substr(1) : unit;
            forms.push_back(
                {"units row " + bare, table(fmt::format("Time,Air,Roof\ns,{0},{0}\n", bare), letter == 'F'), Outcome::asked});
        }
    // Something that looks like a unit and is not known: never taken for an assumed one.
    for (const std::string unit : {"(#F)", "(°)", "(deg)", "(°R)", "F", "(degrees)",
                                   "(\xC3\x98"
                                   "F)"})
        forms.push_back({"unexplained " + unit, table(fmt::format("Time (s),Air {0},Roof {0}\n", unit), true), Outcome::asked});
    forms.push_back({"no unit, degC", table("Time (s),Air,Roof\n", false)});
    forms.push_back({"no unit, degF", table("Time (s),Air,Roof\n", true), Outcome::asked});
    forms.push_back({"two units in a heading", table("Time (s),Air (°C/°F),Roof (°C/°F)\n", true), Outcome::asked});
    forms.push_back({"heading against units row", table("Time (s),Air (°C),Roof (°C)\ns,°F,°F\n", true), Outcome::asked});
    for (const std::string line : {"Units: °F", "Unit;Deg F", "Temperature (°F)", "Temperature unit = F", "Einheit: Fahrenheit"})
        forms.push_back({"line above: " + line, table(line + "\nTime (s),Air,Roof\n", true)});
    forms.push_back({"set point above", table("Set point 150 °F\nTime (s),Air,Roof\n", true), Outcome::asked});
    forms.push_back({"units row above the headings", table("s,°F,°F\nTime,Air,Roof\n", true)});
    forms.push_back(
        {"degC and one degF channel",
         Table{"Time (s),Air (°C),Sill (°C),Roof (°C)\n", {seconds(), number(air_c), number(roof_c), number(roof_c, true)}}
             .text(),
         Outcome::asked});
    forms.push_back({"one degF channel, no units",
                     Table{"Time (s),Air,Roof\n", {seconds(), number(air_c), number(roof_c, true)}}.text(), Outcome::asked});
    forms.push_back({"K that is a type", table("Time (s),Air (K),Roof (K)\n", false), Outcome::asked});
    forms.push_back({"type K", table("Time (s),Air Type K,Roof Type K\n", false)});
    forms.push_back({"lettered bays", table("Time (s),Bay A,Roof Bay F\n", true), Outcome::asked});
    const auto milli = [](double (*value)(int)) -> Cell {
        return [=](int i) { return fmt::format("{:.0f}", 1000.0 * value(i)); };
    };
    forms.push_back({"milli-degrees", Table{"Time (s),Air (m°C),Roof (m°C)\n", {seconds(), milli(air_c), milli(roof_c)}}.text()});
    const auto tenth = [](double (*value)(int)) -> Cell { return [=](int i) { return fmt::format("{:.0f}", 10.0 * value(i)); }; };
    const std::string tenths = Table{"Time (s),Air (0.1 °C),Roof (0.1 °C)\n", {seconds(), tenth(air_c), tenth(roof_c)}}.text();
    forms.push_back({"tenths, said", tenths, Outcome::asked});
    ReadOptions scaled;
    scaled.channel_scales = {{"2", 0.1}, {"3", 0.1}};
    scaled.temperature_unit = TemperatureUnit::celsius;
    forms.push_back({"tenths, --scale", tenths, Outcome::right, 0.06, kRows, scaled});
    const auto text = [](std::string word) -> Cell { return [=](int) { return word; }; };
    for (const bool f : {true, false})
        forms.push_back({fmt::format("label, value, unit {}", f ? "F" : "C"),
                         Table{"Time (s),Name,Value,Unit,Name,Value,Unit\n",
                               {seconds(), text("Air"), number(air_c, f), text(f ? "F" : "C"), text("Roof"), number(roof_c, f),
                                text(f ? "F" : "C")}}
                             .text(),
                         Outcome::refused});
    forms.push_back(
        {"a column of units",
         Table{"Time (s),Air,Roof,Unit\n", {seconds(), number(air_c, true), number(roof_c, true), text("°F")}}.text()});
    forms.push_back({"units behind numbers", Table{"Time (s),Air,Roof\n",
                                                   {seconds(), [](int i) { return fmt::format("{:.1f} °F", in_f(air_c(i))); },
                                                    [](int i) { return fmt::format("{:.1f} °F", in_f(roof_c(i))); }}}
                                                 .text()});
}

}  // namespace

TEST_CASE("no way of writing a unit is misread in silence") {
    std::vector<Form> forms;
    add_units(forms);
    CHECK(forms.size() >= 150);
    check_forms(forms);
}
