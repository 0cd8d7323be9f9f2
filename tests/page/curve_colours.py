#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Whether the strong curves of the page are told from each other by people with any colour vision, in both themes.

usage: curve_colours.py PROJECT

Every two of the curves' tones, and paper, stay 15 apart by CIEDE2000, seen as they are and with simulated vision.
Sources: simulation by Machado, Oliveira & Fernandes, IEEE Trans. Vis. Comput. Graph. 15 (2009) 1291, severity 1, on linear RGB
(matrices from memory); difference by Sharma, Wu & Dalal, Color Res. Appl. 30 (2005) 21; the pair of its table 1, row 1, is checked.
"""

import itertools
import math
import pathlib
import re
import sys

LEAST = 15.0
VISION = {
    "normal": ((1, 0, 0), (0, 1, 0), (0, 0, 1)),
    "protan": ((0.152286, 1.052583, -0.204868), (0.114503, 0.786281, 0.099216), (-0.003882, -0.048116, 1.051998)),
    "deutan": ((0.367322, 0.860646, -0.227968), (0.280085, 0.672501, 0.047413), (-0.011820, 0.042940, 0.968881)),
    "tritan": ((1.255528, -0.076749, -0.178779), (-0.078411, 0.930809, 0.147602), (0.004733, 0.691367, 0.303900)),
}


def linear(tone):
    values = [int(tone[i:i + 2], 16) / 255 for i in (1, 3, 5)]
    return [v / 12.92 if v <= 0.04045 else ((v + 0.055) / 1.055) ** 2.4 for v in values]


def lab(rgb):
    x, y, z = (sum(m * c for m, c in zip(row, rgb)) for row in
               ((0.4124564, 0.3575761, 0.1804375), (0.2126729, 0.7151522, 0.0721750), (0.0193339, 0.1191920, 0.9503041)))
    f = [t ** (1 / 3) if t > 216 / 24389 else (24389 / 27 * t + 16) / 116 for t in (max(0, x) / 0.95047, max(0, y), max(0, z) / 1.08883)]
    return 116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])


def difference(one, other):
    (l1, a1, b1), (l2, a2, b2) = one, other
    mean_c = (math.hypot(a1, b1) + math.hypot(a2, b2)) / 2
    g = 0.5 * (1 - math.sqrt(mean_c ** 7 / (mean_c ** 7 + 25 ** 7)))
    a1, a2 = a1 * (1 + g), a2 * (1 + g)
    c1, c2 = math.hypot(a1, b1), math.hypot(a2, b2)
    h1, h2 = (math.degrees(math.atan2(b, a)) % 360 for a, b in ((a1, b1), (a2, b2)))
    apart = (h2 - h1 + 180) % 360 - 180 if c1 * c2 else 0
    mean_h = (h1 + h2 if c1 * c2 == 0 else (h1 + h2) / 2 if abs(h1 - h2) <= 180 else (h1 + h2 + 360) / 2 % 360)
    dl, dc, dh = l2 - l1, c2 - c1, 2 * math.sqrt(c1 * c2) * math.sin(math.radians(apart / 2))
    ml, mc = (l1 + l2) / 2, (c1 + c2) / 2
    t = (1 - 0.17 * math.cos(math.radians(mean_h - 30)) + 0.24 * math.cos(math.radians(2 * mean_h)) +
         0.32 * math.cos(math.radians(3 * mean_h + 6)) - 0.20 * math.cos(math.radians(4 * mean_h - 63)))
    sl = 1 + 0.015 * (ml - 50) ** 2 / math.sqrt(20 + (ml - 50) ** 2)
    sc, sh = 1 + 0.045 * mc, 1 + 0.015 * mc * t
    turn = -2 * math.sqrt(mc ** 7 / (mc ** 7 + 25 ** 7)) * math.sin(math.radians(60 * math.exp(-(((mean_h - 275) / 25) ** 2))))
    return math.sqrt((dl / sl) ** 2 + (dc / sc) ** 2 + (dh / sh) ** 2 + turn * (dc / sc) * (dh / sh))


def tones(text):
    found = dict(re.findall(r"--(curve-[a-z]+|ink|paper): (#[0-9a-f]{6});", text))
    found["curve-air"] = found["ink"]
    return {name: tone for name, tone in found.items() if name != "ink"}


def main(project):
    assert abs(difference((50, 2.6772, -79.7751), (50, 0, -82.7485)) - 2.0425) < 5e-5, "the difference is not CIEDE2000"
    css = pathlib.Path(project, "src/page/web/page.css").read_text(encoding="utf-8")
    light, dark = css.split("@media (prefers-color-scheme: dark)")[:2]
    faults = 0
    for theme, text in (("light", light), ("dark", dark)):
        found = tones(text)
        assert len(found) == 7, f"{theme}: {sorted(found)}"
        for vision, matrix in VISION.items():
            seen = {name: lab([min(1, max(0, sum(m * c for m, c in zip(row, linear(tone))))) for row in matrix]) for name, tone in found.items()}
            apart = {pair: difference(seen[pair[0]], seen[pair[1]]) for pair in itertools.combinations(sorted(seen), 2)}
            closest = min(apart, key=apart.get)
            print(f"{theme}, {vision}: closest {closest[0]} and {closest[1]}, {apart[closest]:.1f}")
            if apart[closest] < LEAST:
                faults += 1
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))
