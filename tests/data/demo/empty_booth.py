# SPDX-License-Identifier: Apache-2.0
"""A log of Larch County's empty north booth, invented: a heat balance of air, walls and floor under a controller, by its own equations.

usage: empty_booth.py > empty_booth.csv
"""
import math
import random

AMBIENT, SET = 13.0, 60.0
VOLUME, WALLS, FLOOR = 11 * 5 * 4.5, 2 * (11 + 5) * 4.5 + 55, 55.0
POWER, GAIN, INTEGRAL, LAG = 128e3, 16e3, 300.0, 25.0
AIR_J, WALL_J = 1.12e3 * VOLUME, 5.4e3 * WALLS
CONCRETE_W_PER_MK, CONCRETE_J_PER_M3K = 1.3, 2.0e6
DEPTHS = (0.005, 0.01, 0.02, 0.04, 0.08)  # slices of the slab [m]
FILM, FLOOR_FILM, LOSS, FRESH = 6.5, 4.0, 3.4, 1.0 * 1.23 * 1007
air = wall = sensor = AMBIENT
slab = [AMBIENT] * len(DEPTHS)
total = 0.0
random.seed(7)
rows = []
probes = {name: [AMBIENT, random.gauss(0, 0.5)] for name in ("Air mid", "Air 0.3 m", "Air 4.2 m", "Wall inside", "Floor", "Outside")}
for second in range(0, 5700):
    on = 300 <= second < 4200
    error = (SET if on else 0.0) - sensor
    power = 0.0
    if on:
        wanted = GAIN * error + total
        power = min(max(wanted, 0.0), POWER)
        if power == wanted:
            total += GAIN / INTEGRAL * error
    floor = slab[0]
    radiation = 4.5 * FLOOR * (wall - floor)
    to_wall, to_floor = FILM * WALLS * (air - wall), FLOOR_FILM * FLOOR * (air - 8.0 / 47 * (air - AMBIENT) - floor)
    air += (power - FRESH * (air - AMBIENT) - to_wall - to_floor) / AIR_J
    wall += (to_wall - LOSS * WALLS * (wall - AMBIENT) - radiation) / WALL_J
    into = [(to_floor + radiation) / FLOOR]
    for upper in range(len(DEPTHS) - 1):
        into.append(CONCRETE_W_PER_MK * (slab[upper] - slab[upper + 1]) / (0.5 * (DEPTHS[upper] + DEPTHS[upper + 1])))
    into.append(0.0)
    for slice_, depth in enumerate(DEPTHS):
        slab[slice_] += (into[slice_] - into[slice_ + 1]) / (CONCRETE_J_PER_M3K * depth)
    sensor += (air + 2.0 * (air - AMBIENT) / 47 - sensor) / LAG
    rise = (air - AMBIENT) / 47
    true = {"Air mid": air, "Air 0.3 m": air - 11 * rise, "Air 4.2 m": air + 6 * rise, "Wall inside": wall, "Floor": floor, "Outside": AMBIENT}
    for name, probe in probes.items():
        probe[0] += (true[name] - probe[0]) / 10.0
    if second % 10 == 0:
        rows.append((second, [probes[name][0] + probes[name][1] + random.gauss(0, 0.08) for name in true]))
print("Time (s)," + ",".join(name + " (°C)" for name in probes))
for second, values in rows:
    print(f"{second}," + ",".join(f"{value:.1f}" for value in values))
