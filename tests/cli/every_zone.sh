#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Every zone of a log from its probes: what is measured, estimated, asked about and left alone; judge and history say the same. All
# invented.
# shellcheck source-path=SCRIPTDIR source=support.sh
source "$(dirname "$0")/support.sh"

clear=(--shell library_van --booth stirred_insulated --coating clear_low_bake)
log=$project/tests/data/demo/clear_group_1.csv
field_of() { printf '%s' "$out" | python3 -c 'import json, sys; print(next(z[sys.argv[2]] for z in json.load(sys.stdin)["zones"] if z["zone"] == sys.argv[1]))' "$1" "$2"; }

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

run 0 import "$log" "${clear[@]}" --title "as it was"
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
[ "$("$program" judge 4 --json | grep -c '"known_from": "estimated"')" -eq 0 ] || fail "a log with a gap in its air is estimated"

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
