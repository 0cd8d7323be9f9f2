#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Knowing while it bakes: the demo log as it stood at some minutes, and replayed as if it came now, from start to verdict.
# shellcheck source-path=SCRIPTDIR source=support.sh
source "$(dirname "$0")/support.sh"

job=(--shell library_van --booth stirred_insulated --coating clear_low_bake)
run 0 plan "${job[@]}" --set-point "60 degC" --hold "60 min" --flash-off "8 min" --confidence none --out planned.toml
"$program" predict "${job[@]}" --cycle ./planned.toml >/dev/null 2>&1 || fail "predict"
"$program" import "$project/tests/data/demo/clear_group_1.csv" "${job[@]}" --of 1 >/dev/null 2>&1 || [ $? -eq 1 ] || fail "import"

# What was known at a minute, told from the book: no clock, no chance.
"$program" record --status 2 --at "75 min" --json >at75.json || fail "status at 75 min"
"$program" record --status 2 --at "75 min" --json >again.json || fail "status at 75 min, again"
diff <(grep -v compute_s at75.json) <(grep -v compute_s again.json) || fail "the same minute was told twice in two ways"
out=$(cat at75.json)
says '"format": "bakewright.live"'
says '"phase": "hold"'
says "over sills"
says "no safety device"
run 0 record --status 2 --at "30 min"
says "Ramp since"
says "~ "
says "no safety device"
run 0 record --status 2 --at "120 min"
says "HEAT IS OFF"
run 0 record --status 2 --at "75 min" --units us
says "°F"
# What changes if the set point is changed now: hotter is sooner.
"$program" record --status 2 --at "60 min" --json >as_set.json || fail "status at 60 min"
"$program" record --status 2 --at "60 min" --set-point "66 degC" --json >hotter.json || fail "status at 60 min with another set point"
python3 - <<'PY' || fail "another set point changes nothing"
import json
as_set, hotter = json.load(open("as_set.json")), json.load(open("hotter.json"))
assert abs(hotter["setpoint_k"] - 339.15) < 0.01, hotter["setpoint_k"]
assert as_set["heat_off"]["off_s"] - hotter["heat_off"]["off_s"] >= 300, (as_set["heat_off"], hotter["heat_off"])
assert as_set["off_now"]["word"] == hotter["off_now"]["word"]  # off now does not hang on it
PY
run 1 record --status 2 --at "0 s"
says "Not foretold"
run 2 record --at "75 min" --lines x.csv
says "--at"

# Replayed at 120 times its speed: warnings go to the user's program, which gets words and no shell; one that hangs is ended.
cat >warned.sh <<'SH'
#!/bin/sh
echo "$# $1 $2 [$3] $4" >>"$PWD/warned"
exec sleep 1000
SH
chmod +x warned.sh
"$program" record --replay 2 --speed 120 "${job[@]}" --of 1 --on-warning ./warned.sh --book "$BAKEWRIGHT_BOOK" >replayed.out 2>replayed.err ||
    fail "replay: $(cat replayed.out replayed.err)"
out=$(cat replayed.out)
says "sure all good"
says "WARNING: All estimated below 40"
says "Kept as bake 3"
says "no safety device"
# When it is over: the words of judge and compare, at once.
"$program" judge 3 >judged.out 2>/dev/null || [ $? -eq 1 ] || fail "judge 3"
python3 - <<'PY' || fail "the recording's end does not hold what judge says"
told, judged = open("replayed.out").read(), open("judged.out").read()
raise SystemExit(0 if judged.strip() and judged.strip() in told else 1)
PY
"$program" compare 1 3 >compared.out 2>/dev/null || [ $? -eq 1 ] || fail "compare 1 3"
python3 - <<'PY' || fail "the recording's end does not hold what compare says"
told, compared = open("replayed.out").read(), open("compared.out").read()
raise SystemExit(0 if compared.strip() and compared.strip() in told else 1)
PY
# What the recording says of the model's errors is kept with it, once, beside what the log said when it was imported.
python3 - "$BAKEWRIGHT_BOOK" <<'PY' || fail "the recording's evidence is not kept"
import sqlite3, sys
found = sqlite3.connect(sys.argv[1]).execute("SELECT title FROM document WHERE kind = 'evidence'").fetchall()
raise SystemExit(0 if sorted(title.split(" of ")[1] for title, in found) == ["bake 2", "bake 3"] else f"evidence of {found}")
PY
run 0 book show 3
says "Meanwhile"
says "All estimated below 40"
# Every warning that was raised is kept once for each time, and the program was told four words for the first at least.
grep -q "^4 raised " warned || fail "the program for warnings was not told four words: $(cat warned)"
run 0 book verify
says "sound"
# The same log, recorded: what is known at a minute does not hang on how it came into the book.
"$program" record --status 3 --at "75 min" --json >recorded75.json || fail "status of the recording"
grep -c '"word"' recorded75.json >/dev/null || fail "no word in the recording's state"
finish
