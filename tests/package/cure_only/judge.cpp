// SPDX-License-Identifier: Apache-2.0
// Judges a trace with nothing of bakewright but the component cure in sight.

#include "bakewright/cure/judge.hpp"

int main() {
    bakewright::cure::Coating coating;
    coating.id = coating.title = "clear";
    coating.basis = bakewright::cure::ScheduleBasis::part;
    coating.schedule = {{bakewright::celsius_to_kelvin(60.0), 1800.0, {}}};
    bakewright::Trace cold;
    cold.name = "roof";
    for (int minute = 0; minute <= 60; ++minute) {
        cold.time_s.push_back(60.0 * minute);
        cold.temperature_k.push_back(bakewright::celsius_to_kelvin(20.0));
    }
    return bakewright::cure::judge_zone(cold, coating).word == bakewright::cure::Word::under ? 0 : 1;
}
