// SPDX-License-Identifier: Apache-2.0
// Readings of logs that are kept under a name. All are invented.
#include "bakewright/profile/saved_reading.hpp"

#include <doctest/doctest.h>

#include "bakewright/base/error.hpp"

using bakewright::InputError;
using bakewright::profile::saved_reading_from_toml;
using bakewright::profile::SavedReading;
using bakewright::profile::to_toml;

TEST_CASE("a saved reading comes back, repeated options and quotation marks too") {
    const SavedReading reading{
        "shop logger", 3, {{"thermocouple", "Roof=K"}, {"thermocouple", "T"}, {"map", "3/4\" rod=roof \\ skin"}}};
    const SavedReading back = saved_reading_from_toml(to_toml(reading), "book");
    CHECK(back.name == reading.name);
    CHECK(back.number == 3);
    CHECK(back.options == reading.options);
}

TEST_CASE("another text is no saved reading") {
    CHECK_THROWS_AS((void)saved_reading_from_toml("kind = \"cycle\"\nname = \"x\"\n", "book"), InputError);
    CHECK_THROWS_AS((void)saved_reading_from_toml("kind = \"log_reading\"\n", "book"), InputError);
    CHECK_THROWS_AS((void)saved_reading_from_toml("kind = \"log_reading\"\nname = \"x\"\n[[option]]\nname = \"air\"\n", "book"),
                    InputError);
}
