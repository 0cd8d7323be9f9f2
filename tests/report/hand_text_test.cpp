// SPDX-License-Identifier: Apache-2.0
#include "bakewright/report/hand_text.hpp"

#include <doctest/doctest.h>

#include "bakewright/base/units.hpp"
#include "bakewright/report/json.hpp"

using namespace bakewright;
using namespace bakewright::report;
using book::CureTestResult;
using book::HandNoteKind;

namespace {

HandRow reading(double read_c, std::optional<double> logged_c, bool is_doubt) {
    HandRow row;
    row.note.uid = "0123456789abcdef0123456789abcdef";
    row.note.zone = "roof_skin";
    row.note.method = "infrared";
    row.note.time_s = 2520.0;
    row.note.value = celsius_to_kelvin(read_c);
    row.note.uncertainty = 2.0;
    if (logged_c) row.logged_k = celsius_to_kelvin(*logged_c);
    row.is_doubt = is_doubt;
    return row;
}

HandRow soft_test() {
    HandRow row;
    row.note.uid = "1123456789abcdef0123456789abcdef";
    row.note.zone = "door";
    row.note.kind = HandNoteKind::cure_test;
    row.note.method = "thumb";
    row.note.time_s = 18.0 * 3600.0;
    row.note.found = CureTestResult::soft;
    row.word = cure::Word::good;
    row.is_doubt = true;
    return row;
}

HandRow thick_film() {
    HandRow row;
    row.note.uid = "2123456789abcdef0123456789abcdef";
    row.note.zone = "door";
    row.note.kind = HandNoteKind::film_build;
    row.note.method = "magnetic";
    row.note.value = 80e-6;
    row.sheet_least_m = 40e-6;
    row.sheet_most_m = 60e-6;
    row.is_doubt = true;
    return row;
}

}  // namespace

TEST_CASE("notes by hand stand beside what they are held against") {
    const std::string text = hand_table({reading(61.0, 63.5, false), soft_test(), thick_film()}, Units{}).text({.width = 160});
    for (const char* part : {"61.0 °C ± 4.0", "log 63.5 °C", "at 0:42", "soft", "judged GOOD", "18 h after", "80 µm",
                             "sheet 40 µm to 60 µm", "01234567"})
        CHECK_MESSAGE(text.find(part) != std::string::npos, part << " in\n" << text);
    const Units us{TemperatureUnit::fahrenheit, LengthUnit::inch};
    const std::string inches = hand_table({reading(61.0, {}, false), thick_film()}, us).text({.width = 160});
    CHECK(inches.find("141.8 °F") != std::string::npos);
    CHECK(inches.find("mil") != std::string::npos);
}

TEST_CASE("only what speaks against the verdict is asked about") {
    CHECK(hand_questions({reading(61.0, 63.5, false)}, Units{}).empty());
    const std::vector<std::string> questions = hand_questions({reading(51.0, 63.5, true), soft_test(), thick_film()}, Units{});
    REQUIRE(questions.size() == 3);
    CHECK(questions[0].find("its probe read 63.5 °C") != std::string::npos);
    CHECK(questions[1].find("was soft, though its readings say GOOD") != std::string::npos);
    CHECK(questions[2].find("80 µm, the sheet asks for 40 µm to 60 µm") != std::string::npos);
}

TEST_CASE("the JSON of a note has SI values under the keys of its kind alone") {
    const Json document = document_of(std::vector<HandRow>{reading(61.0, 63.5, false), soft_test(), thick_film()});
    CHECK(document["format"] == "bakewright.hand-notes");
    const Json& notes = document["notes"];
    CHECK(notes[0]["temperature_k"] == celsius_to_kelvin(61.0));
    CHECK(notes[0]["at_s"] == 2520.0);
    CHECK(notes[0]["film_build_m"].is_null());
    CHECK(notes[0]["found"].is_null());
    CHECK(notes[1]["found"] == "soft");
    CHECK(notes[1]["after_bake_s"] == 64800.0);
    CHECK(notes[1]["at_s"].is_null());
    CHECK(notes[1]["word"] == "GOOD");
    CHECK(notes[2]["film_build_m"] == 80e-6);
    CHECK(notes[2]["temperature_k"].is_null());
}

TEST_CASE("how often GOOD was soft is counted with how much it may still be") {
    const std::string text =
        soft_table({{"clear", cure::Word::good, 20, 1, 0.216}, {"", cure::Word::under, 3, 3, 1.0}}).text({.width = 100});
    for (const char* part : {"clear", "GOOD", "20", "5", "22", "none kept", "UNDER", "100"})
        CHECK_MESSAGE(text.find(part) != std::string::npos, part << " in\n" << text);
}
