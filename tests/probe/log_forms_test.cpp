// SPDX-License-Identifier: Apache-2.0
// The forms in which logs come, made by rule: each is read rightly, asked about, or refused with a reason; none is misread in
// silence. Every file here holds the same invented bake; what a form changes is only how it is written.
#include "log_forms.hpp"

using namespace log_forms;

namespace {

/// Words, numbers and gaps where a reading should be.
void add_cells(std::vector<Form>& forms) {
    const auto with = [](const std::string& word, int at, int count) {
        return Table{"Time (s),Air (°C),Roof (°C)\n",
                     {seconds(), number(air_c), [=](int i) { return i >= at && i < at + count ? word : number(roof_c)(i); }}}
            .text();
    };
    for (const std::string word : {"----", "*****", "+OVER", "O/C", "LLLL", "no sensor", "#######", "HHHH", "Err 3", "E01",
                                   "n.a.", "<low", "?", "keine Messung", "=NA()"})
        for (const int at : {0, 17, kRows - 1})
            forms.push_back({fmt::format("'{}' in row {}", word, at), with(word, at, at == 17 ? 3 : 1)});
    for (const std::string value : {"850.0625", "0.0", "85", "-0.1", "-127", "1370", "9999", "6", "2e3", "185.0"})
        for (const int at : {0, 17, kRows - 1}) forms.push_back({fmt::format("{} in row {}", value, at), with(value, at, 1)});
    for (const std::string value : {"850.0625", "0.0", "-0.1"}) forms.push_back({value + " for five rows", with(value, 15, 5)});
    ReadOptions missing;
    missing.missing_words = {"25.0"};
    forms.push_back({"--missing 25.0", with("25.0", 17, 1), Outcome::right, 0.06, kRows, missing});
    forms.push_back({"a spoilt number", with("2o.5", 17, 1), Outcome::refused});
    forms.push_back({"a note among numbers", with("door opened", 17, 1)});
    forms.push_back(
        {"a controller's output",
         Table{"Time (s),Air,Roof,Loop 1\n",
               {seconds(), number(air_c), number(roof_c), [](int i) { return i < 20       ? "100"
                                                                             : i % 3 == 0 ? "0"
                                                                                          : "37.5"; }}}
             .text(),
         Outcome::asked});
}

/// Lines that are no readings.
void add_lines(std::vector<Form>& forms) {
    const Table plain{"Time (s),Air (°F),Roof (°F)\n", {seconds(), number(air_c, true), number(roof_c, true)}};
    for (const std::string event : {"Door opened", "** burner on **", "Event: burner on", "Burner on,stage 2", "20,Burner on",
                                    "Burner on,stage 2,ok", ",door open,"})
        for (const int at : {0, 1, 2, 17})
            forms.push_back({fmt::format("'{}' before row {}", event, at),
                             plain.text([=](int i) { return i == at ? event + "\n" : std::string(); }), Outcome::refused});
    forms.push_back({"the headings again", plain.text([&](int i) { return i == 17 ? plain.head : std::string(); })});
    forms.push_back(
        {"other headings", plain.text([](int i) { return i == 17 ? "Time (s),Roof (°F),Air (°F)\n" : ""; }), Outcome::refused});
    forms.push_back(
        {"other units", plain.text([](int i) { return i == 17 ? "Time (s),Air (°C),Roof (°C)\n" : ""; }), Outcome::refused});
    forms.push_back({"a summary", plain.text() + "Max,140.0,136.4\nMin,68.0,68.0\nAverage,120.1,110.0\n"});
    forms.push_back({"a summary with a heading", plain.text() + "Statistics,Air,Roof\nMax,140.0,136.4\n"});
    forms.push_back({"a logger started anew", plain.text() + plain.row(0) + plain.row(1), Outcome::refused});
    forms.push_back({"two tables", plain.text() + "\nTime (s),Humidity (%)\n0,40\n10,41\n", Outcome::refused});
    forms.push_back({"zero bytes behind the rows", plain.text() + std::string(512, '\0')});
    forms.push_back({"zero bytes behind a cut row", plain.text().substr(0, plain.text().size() - 3) + std::string(512, '\0'),
                     Outcome::right, 0.06, kRows - 1});
    forms.push_back({"a number cut short in the last row", plain.text().substr(0, plain.text().size() - 4)});
    forms.push_back({"doubled tabs", Table{"Time (s)\t\tAir (°F)\t\tRoof (°F)\n", plain.cells, "\t\t"}.text()});
    forms.push_back({"doubled tabs below single ones", Table{"Time (s)\tAir (°F)\tRoof (°F)\n", plain.cells, "\t\t"}.text(),
                     Outcome::refused});
    forms.push_back({"spaces behind commas", Table{"Time (s), Air (°F), Roof (°F)\n", plain.cells, ", "}.text()});
    forms.push_back({"a comma at the end", Table{"Time (s),Air (°F),Roof (°F),\n", plain.cells, ",", ",\n"}.text()});
}

/// Ways of writing when a row was.
void add_times(std::vector<Form>& forms) {
    const auto with = [](const std::string& heading, Cell time, const std::string& above = {}) {
        return Table{above + heading + ";Air (°C);Roof (°C)\n", {std::move(time), number(air_c), number(roof_c)}, ";"}.text();
    };
    for (const std::string pattern : {"2026-11-DTH:M:S",
                                      "2026-11-D H:M:S",
                                      "D.11.2026 H:M:S",
                                      "11/D/2026 H:M:S",
                                      "D/11/2026 H:M:S",
                                      "D Nov 2026 H:M:S",
                                      "Nov D, 2026 H:M:S",
                                      "D. November 2026 H:M:S",
                                      "D. Dezember 2026 H:M:S",
                                      "D M\xC3\xA4rz 2026 H:M:S",
                                      "D mai 2026 H:M:S",
                                      "D d\xC3\xA9"
                                      "cembre 2026 H:M:S",
                                      "D ao\xC3\xBBt 2026 H:M:S",
                                      "D de noviembre de 2026 H:M:S",
                                      "D ene 2026 H:M:S",
                                      "D mei 2026 H:M:S",
                                      "D okt 2026 H:M:S",
                                      "D maart 2026 H:M:S",
                                      "2026-11-D H:M:S CET",
                                      "2026-11-D H:M:S EST",
                                      "2026-11-D H:M:S MEZ",
                                      "2026-11-D H:M:S UTC",
                                      "2026-11-D H:M:S+01:00",
                                      "H:M:S",
                                      "202611DTHMS",
                                      "26/11/D H:M:S",
                                      "26-11-D H:M:S",
                                      "D/11/26 H:M:S",
                                      "11/D/26 H:M:S",
                                      "2026/11/D H:M:S",
                                      "H:M:S D.11.2026"})
        forms.push_back({"time " + pattern, with("Time", clock(pattern)), Outcome::refused});
    ReadOptions year_first;
    year_first.time_form = TimeForm::date_year_first;
    forms.push_back({"yy/mm/dd, said", with("Time", clock("26/11/D H:M:S")), Outcome::right, 0.06, kRows, year_first});
    const auto count = [](double first, double per_s, int digits) -> Cell {
        return [=](int i) { return fmt::format("{:.{}f}", first + per_s * kStepS * i, digits); };
    };
    forms.push_back({"epoch s", with("Time", count(1.79e9, 1.0, 0))});
    forms.push_back({"epoch ms", with("Time", count(1.79e12, 1e3, 0))});
    forms.push_back({"epoch us", with("Time", count(1.79e15, 1e6, 0))});
    forms.push_back({"epoch ns", with("Time", count(1.79e18, 1e9, 0))});
    forms.push_back({"serial days", with("Time", count(46000.5, 1.0 / 86400.0, 8))});
    forms.push_back({"minutes", with("Time (min)", count(0.0, 1.0 / 60.0, 5))});
    forms.push_back({"hours", with("Time (h)", count(0.0, 1.0 / 3600.0, 7))});
    forms.push_back({"milliseconds", with("Time (ms)", count(0.0, 1e3, 0))});
    const auto thousands = [](std::string mark) -> Cell {
        return [=](int i) {
            const int s = 800 + static_cast<int>(kStepS) * i;
            return s < 1000 ? fmt::format("{}", s) : fmt::format("{}{}{:03}", s / 1000, mark, s % 1000);
        };
    };
    for (const std::string mark : {",", "'", " ", "\xC2\xA0"})
        forms.push_back({"thousands '" + mark + "'", with("Time (s)", thousands(mark))});
    forms.push_back({"d.hh:mm:ss", with("Elapsed", [](int i) {
                         const int s = 86400 - 200 + static_cast<int>(kStepS) * i;
                         return fmt::format("{}.{:02}:{:02}:{:02}", s / 86400, s / 3600 % 24, s / 60 % 60, s % 60);
                     })});
    forms.push_back({"h:mm:ss elapsed", with("Elapsed", [](int i) { return fmt::format("0:{:02}:{:02}", i / 6, i % 6 * 10); })});
    const auto date_once = [](bool on_change) -> Cell {
        return [=](int i) {
            return i == 0 ? std::string("24.11.2026") : on_change && i == 20 ? std::string("25.11.2026") : std::string();
        };
    };
    for (const bool on_change : {false, true})
        forms.push_back(
            {on_change ? "date on change" : "date in the first row",
             Table{"Date;Time;Air (°C);Roof (°C)\n", {date_once(on_change), clock("H:M:S"), number(air_c), number(roof_c)}, ";"}
                 .text()});
    forms.push_back({"a date in the first row of the same column",
                     with("Time", [](int i) { return (i == 0 ? "24.11.2026 " : "") + clock("H:M:S")(i); })});
    forms.push_back(
        {"interval and start above, no time column",
         Table{"Start: 24.11.2026 23:56:40\nInterval: 10 s\nAir (°C);Roof (°C)\n", {number(air_c), number(roof_c)}, ";"}.text(),
         Outcome::refused});
}

}  // namespace

TEST_CASE("no form of cells, lines and times is misread in silence") {
    std::vector<Form> forms;
    add_cells(forms);
    add_lines(forms);
    add_times(forms);
    CHECK(forms.size() >= 150);
    check_forms(forms);
}
