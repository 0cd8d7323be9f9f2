// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <doctest/doctest.h>

#include <filesystem>
#include <fstream>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/profile/check.hpp"
#include "bakewright/profile/read.hpp"

/// Small good profiles of every kind, and what the tests do with them. The numbers are invented.
namespace profile_texts {

inline constexpr std::string_view kMaterial = R"(kind = "material"
title = "mild steel"
density = "7850 kg/m3"
specific_heat = "470 J/kgK"
conductivity = "50 W/mK"
emissivity = 0.6
gauge = "steel"
[sources]
density = "handbook"
)";

inline constexpr std::string_view kCoating = R"(kind = "coating"
title = "clear"
basis = "part"
schedule = [
    { temperature = "50 degC", minimum = "60 min" },
    { temperature = "60 degC", minimum = "30 min", maximum = "2 h" },
]
floor = "45 degC"
absolute_maximum = "80 degC"
flash_off_minimum = "10 min"
flash_off_maximum = "30 min"
largest_heating_rate = "3 K/min"
activation_energy = { low = "30 kJ/mol", value = "55 kJ/mol", high = "75 kJ/mol" }
)";

inline constexpr std::string_view kBooth = R"(kind = "booth"
title = "booth"
volume = "300 m3"
air = "normal"
film = { low = "3 W/m2K", value = "5 W/m2K", high = "8 W/m2K" }
wall = "insulated"
wall_area = "250 m2"
wall_heat_capacity = "8 kJ/m2K"
wall_offset = "5 K"
vertical_profile = [
    { height = "0.3 m", offset = "-8 K" },
    { height = "3.2 m", offset = "8 K" },
]
largest_ramp = "2 K/min"
highest_setpoint = "80 degC"
high_limit = "95 degC"
burner = { power = "500 kW", turndown = 10 }
[controller]
kind = "on_off"
band = "3 K"
[ventilation.bake]
make_up = "2 m3/s"
film_factor = 1.0
burner_may_fire = true
)";

inline constexpr std::string_view kCycle = R"(kind = "cycle"
title = "clear"
[[stage]]
kind = "ramp"
setpoint = "65 degC"
rate = "2 K/min"
[[stage]]
kind = "hold"
duration = "45 min"
infrared = { zones = ["sill"], flux = "500 W/m2" }
)";

inline constexpr std::string_view kShell = R"(kind = "shell"
title = "van"
[[material]]
id = "steel"
title = "steel"
density = "7850 kg/m3"
specific_heat = "470 J/kgK"
conductivity = "50 W/mK"
emissivity = 0.6
gauge = "steel"
[[zone]]
name = "roof"
area = "20 m2"
height = "3 m"
layers = [
    { material = "steel", thickness = "18 gauge" },
    { gap = "20 mm" },
    { material = "steel", thickness = "1 mm" },
]
outer = { view = "booth", emissivity = 0.9, masking = "paper" }
inner = { view = "cavity", cavity = "interior" }
[[zone]]
name = "sill"
area = "9 m2"
height = "0.5 m"
layers = [{ material = "steel", thickness = "3 mm" }]
coated = false
[[link]]
from = "roof"
to = "sill"
conductance = "20 W/K"
[[link]]
from = "sill"
to = "roof"
contact = { area = "0.14 m2", length = "70 mm", material = "steel" }
[[cavity]]
name = "interior"
volume = "40 m3"
leakage = "4 per h"
[[item]]
name = "battery"
cavity = "interior"
mass = "14 kg"
specific_heat = "1000 J/kgK"
film = "5 W/m2K"
area = "0.4 m2"
limits = [{ temperature = "50 degC", allowed = "1 h" }, { temperature = "60 degC", allowed = "never", scope = "lifetime" }]
)";

/// The library that came with the program.
inline bakewright::profile::Library shipped_library() { return bakewright::profile::Library({BAKEWRIGHT_PROFILES}); }

/// The text with its first occurrence of a piece replaced; the piece must be there.
inline std::string with(std::string_view text, std::string_view piece, std::string_view replacement) {
    std::string result(text);
    const std::size_t at = result.find(piece);
    REQUIRE(at != std::string::npos);
    return result.replace(at, piece.size(), replacement);
}

/// A fresh folder that goes away with the object.
class Folder {
public:
    Folder() {
        std::string name = (std::filesystem::temp_directory_path() / "bakewright-profile-XXXXXX").string();
        REQUIRE(mkdtemp(name.data()) != nullptr);
        path_ = name;
    }
    ~Folder() {
        std::error_code ignored;
        std::filesystem::remove_all(path_, ignored);
    }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;

    [[nodiscard]] std::string path(std::string_view below = {}) const { return (path_ / below).string(); }
    std::string write(std::string_view below, std::string_view text) const {
        std::filesystem::create_directories((path_ / below).parent_path());
        std::ofstream(path_ / below, std::ios::binary) << text;
        return path(below);
    }

private:
    std::filesystem::path path_;
};

inline std::string all_texts(const std::vector<bakewright::Problem>& problems) {
    std::string text;
    for (const bakewright::Problem& problem : problems) text += problem.text() + "\n";
    return text;
}

/// A mistake made in a good profile, and where it must be told.
struct Mistake {
    std::string_view what;
    std::string_view piece;
    std::string_view replacement;
    int line;
    std::string_view told;  ///< must be in the message
};

/// The one problem of a profile with one mistake stands on its line and says what it should.
inline void check_one_problem(const std::vector<bakewright::Problem>& problems, const Mistake& mistake) {
    CAPTURE(mistake.what);
    const std::string texts = all_texts(problems);
    CAPTURE(texts);
    REQUIRE(problems.size() == 1);
    CHECK(problems.front().line == mistake.line);
    CHECK(problems.front().text().find(mistake.told) != std::string::npos);
}

}  // namespace profile_texts
