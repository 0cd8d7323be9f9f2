#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# The main job once through: check, plan, predict, judge, import, compare, replay, report, book.
# shellcheck source-path=SCRIPTDIR source=support.sh
source "$(dirname "$0")/support.sh"

run 0 check
says "0 mistakes"

run 0 plan --shell library_van --booth stirred_insulated --coating clear_low_bake --lowest "56 degC" --highest "64 degC" --out planned.toml
says "chosen"
run 0 check planned.toml
run 0 plan --shell library_van --booth stirred_insulated --coating clear_low_bake --lowest "58 degC" --highest "62 degC" --map --csv map.csv
says "holds that work"
grep -q '^61.0,90.0,feasible,,9' map.csv || fail "the map does not hold the planned cycle"
run 1 plan --shell library_van --booth stirred_insulated --coating clear_two_component --lowest "58 degC" --highest "60 degC" --map

run 0 predict --shell library_van --booth stirred_insulated --cycle ./planned.toml --coating clear_low_bake --csv planned.csv
says "kept as bake 1"
# A plan keeps its promise when it is predicted again.
run 0 judge 1
says "GOOD: every one of"

# The clear's cycle in the layered booth leaves the rocker panels short: the answer is no.
run 0 predict --shell library_van --booth drive_through_insulated --cycle clear_60 --coating clear_two_component
run 1 judge 2
says "rocker_panels"

log="$project/tests/data/demo/clear_group_1.csv"
run 0 import "$log" --shell library_van --booth stirred_insulated --coating clear_low_bake --of 1
says "kept as bake 3"
run 0 import "$log" --shell library_van
says "in the book already, as bake 3; nothing was added"
run 0 book export 3 --what raw --out again.csv
cmp -s "$log" again.csv || fail "the raw file did not come back byte for byte"

run 0 compare 1 3
says "roof_skin"
says "By stage"
says "What may be behind it"
run 0 predict --shell library_van --booth stirred_insulated --air-from 3 --coating clear_low_bake
says "kept as bake 4"

run 0 report 3 --out bake.html
grep -q '</html>' bake.html || fail "the report is cut short"
if grep -Eq '(src|href)="?https?:' bake.html; then fail "the report asks something of a network"; fi

run 0 book list
says "logged"
run 0 book show 1 --documents
says 'kind = "shell"'
run 0 book export 1 --exact --out exact.csv
run 0 book verify
says "sound"
run 0 book remove 4
run 2 book show 4
run 0 judge 1 --json
says '"format": "bakewright.verdict"'
run 0 judge 1 --units us
says "°F"
says "How sure"
# The log leaves out the zones without a probe: NOT JUDGED, so the answer is no.
run 1 judge 3 --probe "T, IEC 1"
says "thermocouples of type T, IEC 1, tolerance 0.5 K"
run 1 judge 3 --json --uncertainty "0.2 K"
says '"best_guess": "GOOD"'

# The bare shell under the hotter clear, and the fitted one: no set point cures the rocker panels and spares the laminate.
run 1 plan --shell library_van --booth stirred_insulated --coating clear_two_component --lowest "63 degC" --highest "66 degC"
says "No cycle works"
run 1 plan --shell library_van_fitted --booth stirred_insulated --coating clear_two_component --lowest "63 degC" --highest "66 degC"
says "take it out or shield it"

# The test panel that speaks for the worst zone of bake 1, in its own booth at its own set point.
run 0 plan --test-panel worst --bake 1
says "the panel then gets the dose of the shell's worst"
run 0 plan --test-panel mean --bake 1 --json
says '"format": "bakewright.test-panel"'
run 2 plan --test-panel coldest --bake 1
says "is not worst, mean or best"

# A bake whose burner tripped: the first hour of the log, then the rest is planned; a whole log needs nothing more.
head -n 130 "$project/tests/data/demo/clear_group_1.csv" >cut_short.csv
run 0 import cut_short.csv --shell library_van --booth stirred_insulated --coating clear_low_bake
cut=$(printf '%s' "$out" | sed -n 's/^kept as bake \([0-9]*\).*/\1/p')
run 0 plan --finish "$cut" --waited "25 min" --set-point "58 to 62 degC" --card rest.html
grep -q 'purge' rest.html || fail "the card of the rest does not tell to purge"
says "Vapour purge first"
says "Not yet cured"
run 2 plan --finish 4711
run 2 plan --finish "$cut" --keep seats
says "cannot stand beside --finish"
# Units at the edge change nothing: the same plan asked for in Fahrenheit.
run 0 plan --shell library_van --booth stirred_insulated --coating clear_low_bake --set-point "57 to 60 degC" --ramp "1.8 K/min" --handling "40 degC" --json
celsius=$(printf '%s' "$out" | grep -v compute_s)
run 0 plan --shell library_van --booth stirred_insulated --coating clear_low_bake --set-point "134.6 to 140 degF" --ramp "3.24 degF/min" --handling "104 degF" --json
[ "$celsius" = "$(printf '%s' "$out" | grep -v compute_s)" ] || python3 - "$celsius" "$out" <<'PY' || fail "a plan asked for in Fahrenheit differs"
import json, sys
one, two = (json.loads(text) for text in sys.argv[1:3])
assert abs(one["chosen"]["setpoint_k"] - two["chosen"]["setpoint_k"]) < 1e-9
assert one["chosen"]["hold_s"] == two["chosen"]["hold_s"]
assert [c["hold_s"] for c in one["candidates"]] == [c["hold_s"] for c in two["candidates"]]
PY
# Three coats, one bake each, over the bare van.
run 0 plan --shell library_van --booth stirred_insulated --coats "base_colour, clear_low_bake, clear_low_bake" --set-point "50 to 62 degC"
says "Left after the bake of low-bake clear, 50 or 60 °C, coat 2"
run 2 plan --shell library_van --booth stirred_insulated --coats "base_colour, clear_low_bale"
# The interior in: an item that must stay, what then must come out, and what is never baked with.
run 0 plan --shell library_van_fitted --booth stirred_insulated --coating clear_low_bake --set-point "58 degC" --hold "8 h" --keep return_desk_screen --checked "gas, aerosols"
says "Take out first: auxiliary_battery."
says "NOT CHECKED"
run 2 plan --shell library_van_fitted --booth stirred_insulated --coating clear_low_bake --keep return_desk_scren
says "Did you mean 'return_desk_screen'?"
run 1 plan --shell library_van --booth stirred_insulated --coating clear_low_bake --aboard gas
says "There is no plan and no card with this still in: LP-gas"
run 2 plan --shell library_van --booth stirred_insulated --coating clear_low_bake --aboard aerosol
says "Did you mean 'aerosols'?"

finish
