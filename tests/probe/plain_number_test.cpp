// SPDX-License-Identifier: Apache-2.0
// Numbers of plain rows are read to the last bit as the standard library reads them.
#include "plain_number.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <bit>
#include <charconv>
#include <random>
#include <string>

using bakewright::probe::read_plain_number;

namespace {

/// @param text  with a decimal point
void check_as_from_chars(std::string text, char mark = '.') {
    CAPTURE(text);
    double expected = 0.0, value = 0.0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), expected);
    REQUIRE(error == std::errc());
    std::replace(text.begin(), text.end(), '.', mark);
    CHECK(read_plain_number(text.data(), text.data() + text.size(), mark, value) == end);
    CHECK(std::bit_cast<std::uint64_t>(value) == std::bit_cast<std::uint64_t>(expected));
}

}  // namespace

TEST_CASE("numbers of every length and with every number of decimals") {
    std::mt19937_64 random(20261128);
    for (int i = 0; i < 20000; ++i) {
        const int digits = static_cast<int>(random() % 20) + 1, decimals = static_cast<int>(random() % 20);
        std::string text = random() % 3 == 0 ? "-" : "";
        for (int k = 0; k < digits; ++k) text += static_cast<char>('0' + random() % 10);
        if (decimals > 0) text += '.';
        for (int k = 0; k < decimals; ++k) text += static_cast<char>('0' + random() % 10);
        check_as_from_chars(text, i % 2 == 0 ? '.' : ',');
    }
    // At the ends of what one division is enough for (Clinger 1990), and where only a correctly rounded reading is right.
    for (const char* text : {"0", "-0", "0.0", "-0.00", "999999999999999", "0.999999999999999", "1000000000000000",
                             "9007199254740993", "9007199254740993.0", "0.1", "0.3", "62.55", "1.5e3", "2E-7", "7."})
        check_as_from_chars(text);
}

TEST_CASE("what is no plain number is none, and what stands behind one is left there") {
    double value = 0.0;
    const auto end_of = [&](const std::string& text) -> long {
        const char* const end = read_plain_number(text.data(), text.data() + text.size(), '.', value);
        return end == nullptr ? -1 : end - text.data();
    };
    for (const char* text : {"", "-", "+1", ".5", "-.5", " 1", "nan", "inf", "1e999", "abc", "--1"}) {
        CAPTURE(text);
        CHECK(end_of(text) == -1);
    }
    CHECK(end_of("20.5,21.5") == 4);
    CHECK(value == 20.5);
    CHECK(end_of("20,5") == 2);
    CHECK(end_of("3 degC") == 1);
    CHECK(end_of("1.2.3") == 3);
}
