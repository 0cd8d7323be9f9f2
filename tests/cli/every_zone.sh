#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Every zone of a log from its probes: what is measured, estimated, asked about and left alone; judge and history say the same. All
# invented.
# shellcheck source-path=SCRIPTDIR source=support.sh
source "$(dirname "$0")/support.sh"

clear=(--shell library_van --booth stirred_insulated --coating clear_low_bake)
log=$project/tests/data/demo/clear_group_1.csv
field_of() { printf '%s' "$out" | python3 -c 'import json, sys; print(next(z[sys.argv[2]] for z in json.load(sys.stdin)["zones"] if z["zone"] == sys.argv[1]))' "$1" "$2"; }

of_channel() { printf '%s' "$out" | python3 -c 'import json, sys; print(next(c[sys.argv[2]] for c in json.load(sys.stdin)["estimate"]["channels"] if c["channel"] == sys.argv[1]))' "$1" "$2"; }

# within A B MOST: two numbers that lie no further apart.
within() { [ "$(python3 -c 'import sys; a, b, most = map(float, sys.argv[1:]); print(abs(a - b) <= most)' "$@")" = True ]; }

# changed NAME COLUMN FROM_MIN FORMULA: the demo's log with one column another function of its reading v and the air, from a minute on.
changed() {
    python3 - "$log" "$2" "$3" "$4" >"$1" <<'PY'
import csv, sys
path, column, since, formula = sys.argv[1:]
rows = list(csv.reader(open(path)))
at = rows[0].index(column)
for row in rows[2:]:
    if float(row[0]) >= float(since):
        row[at] = f"{eval(formula, {'v': float(row[at]), 'air': float(row[1])}):.1f}"
csv.writer(sys.stdout, lineterminator="\n").writerows(rows)
PY
}

# What each log says of the model's own errors: once a log, from its import on.
evidence() { python3 -c 'import sqlite3, sys; print(*sqlite3.connect(sys.argv[1]).execute("SELECT count(*) FROM document WHERE kind = ?", ("evidence",)).fetchone())' "$BAKEWRIGHT_BOOK"; }

run 0 import "$log" --title "of nothing known" --book bare.book
[ "$(BAKEWRIGHT_BOOK=bare.book evidence)" = 0 ] || fail "a log without shell and booth says something"
run 0 import "$log" "${clear[@]}" --title "as it was"
[ "$(evidence)" = 1 ] || fail "an imported log says $(evidence) times what the model's errors are"
run 0 import "$log" "${clear[@]}"
[ "$(evidence)" = 1 ] || fail "the same log says $(evidence) times what the model's errors are"
run 0 judge 1 --json
[ "$(field_of roof_skin known_from)" = "measured and modelled" ] || fail "roof_skin is $(field_of roof_skin known_from)"
[ "$(field_of side_lower known_from)" = estimated ] || fail "side_lower is $(field_of side_lower known_from)"
run 0 judge 1
says "7 zones measured, 12 estimated"
says "side_lower ~"
says "Left out, it was foretold within"
# The bare log tells nothing of the rest.
run 1 judge 1 --measured-only --json
[ "$(field_of side_lower word)" = "NOT JUDGED" ] || fail "a bare log says $(field_of side_lower word) of side_lower"
[ "$(field_of roof_skin known_from)" = measured ] || fail "roof_skin of a bare log is $(field_of roof_skin known_from)"
printf '%s' "$out" | grep -q '"estimate": null' || fail "a bare log has an estimate"

# A probe that jumps, and one that comes loose, is asked about with its moment; unless one believes it.
changed jump.csv front_cap 70 "v + 17"
run 0 import jump.csv "${clear[@]}" --title "a jump"
run 1 judge 2
says "front_cap jumps by 1"
says "at 1 h"
run 1 judge 2 --json
printf '%s' "$out" | grep -q '"kind": "step"' || fail "no step among the channels: $out"
run 0 judge 2 --json --believe-probes
printf '%s' "$out" | grep -q '"kind": "step"' && fail "a probe that is believed has a fault"
changed loose.csv door 40 "v + 0.4 * (air - v)"
run 0 import loose.csv "${clear[@]}" --title "loose"
run 1 judge 3
says "door looks loose"

# What the air did meanwhile is not known where it was not logged: no zone is estimated.
awk -F, 'NR < 3 || $1 < 50 || $1 > 60' "$log" >gap.csv
run 0 import gap.csv "${clear[@]}" --title "a gap"
run 1 judge 4
says "without a probe are not estimated"
[ "$(evidence)" = 3 ] || fail "a log with a gap in its air says something: $(evidence)"
[ "$("$program" judge 4 --json | grep -c '"known_from": "estimated"')" -eq 0 ] || fail "a log with a gap in its air is estimated"

# 40 rows a second, 300,000 a channel, is more than is read whole: judged all the same, by the means of short spans, alike to a few
# hundredths of a kelvin; and a thermocouple with its wires exchanged is told of as in a short log.
python3 - "$log" >long.csv <<'PY'
import csv, random, sys
rows = list(csv.reader(open(sys.argv[1])))
random.seed(7)
print(*rows[0], sep=",")
print(*rows[1], sep=",")
read = [[float(value) for value in row] for row in rows[2:] if all(row)]
reversed_at = rows[0].index("front_cap")
for one, other in zip(read, read[1:]):
    for step in range(1200):
        row = [a + (b - a) * step / 1200 for a, b in zip(one, other)]
        row[reversed_at] = 2 * read[0][reversed_at] - row[reversed_at]
        print(f"{row[0]:.6f}", *(f"{value + random.gauss(0, 0.05):.2f}" for value in row[1:]), sep=",")
PY
run 0 import long.csv "${clear[@]}" --title "a long one"
says "front_cap falls"
run 1 judge 5
says "6 zones measured, 13 estimated"
says "samples"
run 1 judge 5 --json
[ "$(field_of side_lower known_from)" = estimated ] || fail "side_lower of a long log is $(field_of side_lower known_from)"
long_k=$(field_of side_lower peak_temperature_k)
run 0 judge 1 --json
within "$long_k" "$(field_of side_lower peak_temperature_k)" 0.3 || fail "side_lower of a long log peaks at $long_k K"
usual_k=$(of_channel rocker_panels offset_standard_k)

# Probes that read low by a kelvin and more: after ice and warm water their log says what it would have said, and knows it better.
offsets="roof_skin 0.8 roof_fairing -0.9 side_upper -1.4 rocker_panels -1.6 front_cap 1.1 door -0.7 frame_posts 0.6 test_panel -1.2"
python3 - "$log" "$offsets" <<'PY'
import csv, sys
words = sys.argv[2].split()
off = {name: float(kelvins) for name, kelvins in zip(words[::2], words[1::2])}
rows = list(csv.reader(open(sys.argv[1])))
with open("off.csv", "w") as file:
    for i, row in enumerate(rows):
        print(*(f"{float(value) + off.get(name, 0):.1f}" if i > 1 and value else value for name, value in zip(rows[0], row)), sep=",", file=file)
with open("baths.csv", "w") as file:
    print("time (s)", *(f"{name} (degC)" for name in off), sep=",", file=file)
    for i in range(120):
        print(5 * i, *(f"{(0.0 if i < 60 else 60.2) + kelvins + 0.02 * (i % 3):.2f}" for kelvins in off.values()), sep=",", file=file)
PY
run 0 calibrate baths.csv --ice --warm "60.2 degC" --date 2027-03-01 --out probes.toml
run 0 import off.csv "${clear[@]}" --probe-record ./probes.toml --title "calibrated"
calibrated=$(printf '%s\n' "$out" | sed -n 's/^kept as bake //p')
run 0 judge "$calibrated" --json
within "$(of_channel rocker_panels offset_standard_k)" 0.2 0.15 || fail "a calibrated probe is off by $(of_channel rocker_panels offset_standard_k) K"
within "$usual_k" 0.45 0.1 || fail "an uncalibrated probe is off by $usual_k K"
# The log read 57.2 degC at most there, and 55.6 as it was written; 0.3 K of the calibration and as much of the model.
within "$(field_of rocker_panels peak_temperature_k)" 330.35 0.6 || fail "a corrected probe reads $(field_of rocker_panels peak_temperature_k) K"

# A reading by hand over the absolute maximum counts in the verdict and in the history, whatever the model says.
run 0 coat add "${clear[@]:0:2}" --coating clear_low_bake --name clear --at 2027-03-04T08:00
run 0 history add 1 "${clear[@]:0:2}" --at 2027-03-04T08:30
run 0 judge "${clear[@]:0:2}" --json
says '"worst": "GOOD"'
for minute in $(seq 40 80); do "$program" note temperature 1 --zone wheel_arches --at "$minute min" --read "62 degC" --how contact >/dev/null; done
run 0 note temperature 1 --zone wheel_arches --at "50.5 min" --read "85 degC" --how contact
run 1 judge 1 --json
[ "$(field_of wheel_arches word)" = OVER ] || fail "a reading of 85 °C by hand is $(field_of wheel_arches word)"
[ "$(field_of wheel_arches known_from)" = measured ] || fail "a zone read by hand is $(field_of wheel_arches known_from)"
run 1 judge "${clear[@]:0:2}" --json
says '"word": "OVER"'
finish
