#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# What was noted by hand counts: temperatures, tests of the film, film builds; held against log, sheet and verdict. All invented.
# shellcheck source-path=SCRIPTDIR source=support.sh
source "$(dirname "$0")/support.sh"

clear=(--shell library_van --booth stirred_insulated --coating clear_low_bake)
run 0 import "$project/tests/data/demo/clear_group_1.csv" "${clear[@]}"
word_of() { printf '%s' "$out" | python3 -c 'import json, sys; print(next(z["word"] for z in json.load(sys.stdin)["zones"] if z["zone"] == sys.argv[1]))' "$1"; }
known_from() { printf '%s' "$out" | python3 -c 'import json, sys; print(next(z["known_from"] for z in json.load(sys.stdin)["zones"] if z["zone"] == sys.argv[1]))' "$1"; }
questions() { printf '%s' "$out" | python3 -c 'import json, sys; print(len(json.load(sys.stdin)["questions"]))'; }
judged() { out=$("$program" judge 1 --json 2>&1) || true; }
judged
before=$(questions)
[ "$(known_from wheel_arches)" = estimated ] || fail "the demo's log has a probe on the wheel arches"
roof=$(word_of roof_skin)

# A reading that agrees with the probe changes nothing; one that does not is asked about.
read_at() { awk -F, -v m="$1" '$1 + 0 == m { print $3; exit }' "$project/tests/data/demo/clear_group_1.csv"; }
near=$(read_at 60.0)
run 0 note temperature 1 --zone roof_skin --at "60 min" --read "$near degC"
says "log $near"
judged
[ "$(questions)" -eq "$before" ] || fail "a reading that agrees is a question: $out"
far=$(awk -v t="$near" 'BEGIN { printf "%.1f", t - 12 }')
run 0 note temperature 1 --zone roof_skin --at "60 min" --read "$far degC" --how contact --by "Sam"
says "$far °C ± 2.0"
uid=${out##*Sam}
uid=$(printf '%s' "$uid" | grep -o '[0-9a-f]\{8\}' | head -1)
judged
[ "$(questions)" -eq $((before + 1)) ] || fail "a reading 12 K colder than its probe is no question: $out"
says "which of them is wrong"
run 0 note remove "$uid"
says "on 'roof_skin' of bake 1"
judged
[ "$(questions)" -eq "$before" ] || fail "a note that was taken out is a question still"

# Where no probe was, readings by hand are a channel: far apart they leave open what lies between, close together they judge.
for minute in 20 40 60 80; do run 0 note temperature 1 --zone wheel_arches --at "$minute min" --read "62 degC" --how contact; done
judged
[ "$(word_of wheel_arches)" = CHECK ] || fail "four readings in an hour are $(word_of wheel_arches), not CHECK"
for minute in $(seq 41 79); do "$program" note temperature 1 --zone wheel_arches --at "$minute min" --read "62 degC" --how contact >/dev/null; done
judged
[ "$(word_of wheel_arches)" = GOOD ] || fail "40 min at 62 °C, read each minute, are $(word_of wheel_arches)"
run 0 note temperature 1 --zone wheel_arches --at "50.5 min" --read "85 degC" --how contact
judged
[ "$(word_of wheel_arches)" = OVER ] || fail "a reading over the absolute maximum is $(word_of wheel_arches)"

# The film tells the truth: hard is counted, soft is asked about whatever was judged.
run 0 note soft
says "no film was tested yet"
run 0 note test 1 --zone roof_skin --after "2 h" --found soft
says "judged $roof"
run 0 note test 1 --zone roof_skin --after "18 h" --found hard --how tape
run 0 note soft --json
printf '%s' "$out" | python3 -c '
import json, sys
(count,) = json.load(sys.stdin)["counts"]
assert count["tested"] == 1 and count["soft"] == 0, count       # the later test of the zone counts
assert abs(count["most_share"] - 0.95) < 1e-6, count            # 1 - 0.05: none of one says nearly nothing
' || fail "the table of tests: $out"
run 0 note test 1 --zone rocker_panels --after "18 h" --found soft --how rub --note "colour on the rag"
run 1 judge 1 --json
says "found soft by the rub test 18 h after the bake"
run 0 note soft
says "Soft"
# A zone that its readings call GOOD and a hand found soft is CHECK wherever it is told; the count keeps what the readings said.
run 0 note test 1 --zone roof_skin --after "20 h" --found soft
run 1 judge 1 --json
[ "$(word_of roof_skin)" = CHECK ] || fail "a GOOD that was found soft is $(word_of roof_skin)"
printf '%s' "$out" | python3 -c '
import json, sys
zone = next(z for z in json.load(sys.stdin)["zones"] if z["zone"] == "roof_skin")
assert zone["found_soft"] == {"method": "thumb", "after_s": 72000.0, "bake": "", "readings_word": sys.argv[1]}, zone["found_soft"]
assert zone["reason"].startswith("found soft by the thumb test 20 h after the bake: do not go on with it"), zone["reason"]
' "$roof" || fail "the JSON of a zone found soft: $out"
run 1 judge 1 --details zones
says "ound soft by the thumb test"
run 0 note soft --json
printf '%s' "$out" | python3 -c '
import json, sys
soft = {count["word"]: count["soft"] for count in json.load(sys.stdin)["counts"]}
assert soft.get(sys.argv[1]) == 2, soft  # the rocker panels above are another
' "$roof" || fail "the count of what was $roof and soft: $out"

# Film build against the sheet, which this coating's profile does not print; one that does.
run 0 note film 1 --zone roof_skin --read "2.2 mil" --how "wet film comb"
says "is not known"
run 0 note list 1 --units us
says "2.2 mil"
{ sed -n '/^\[sources\]/q;p' "$project/profiles/coatings/clear_low_bake.toml"; printf 'film_build_minimum = "40 um"\nfilm_build_maximum = "2 mil"\n'; sed -n '/^\[sources\]/,$p' "$project/profiles/coatings/clear_low_bake.toml"; } >thin.toml
run 0 check ./thin.toml
run 1 judge 1 --coating ./thin.toml --json
says "the sheet asks for 40 µm to 51 µm"
sed 's/"2 mil"/"30 um"/' thin.toml >wrong.toml
run 2 check ./wrong.toml
says "film_build_maximum"

# Refused, each with what is accepted.
run 2 note temperature 1 --zone roof_skinn --at "60 min" --read "60 degC"
says "roof_skin"
run 2 note temperature 1 --zone roof_skin --at "60 min" --read "600 degC"
says "-40 to 400 degC"
run 2 note temperature 1 --zone roof_skin --at "60 min"
says "--read"
run 2 note test 1 --zone roof_skin --after "18 h" --found sticky
says "hard or soft"
run 2 note test 1 --zone roof_skin --after "18 h" --found hard --how hammer
says "thumb"
run 2 note film 1 --zone roof_skin --read "55 degC"
run 2 note remove 00000000
says "there is no note"
run 2 note temperature 99 --zone roof_skin --at "60 min" --read "60 degC"

# Printed on reports, of the bake and of the shell; in the export; sound in the book.
run 0 report 1 --out bake.html --members 40
grep -q 'id="by-hand"' bake.html || fail "the report has no notes"
grep -q 'colour on the rag' bake.html || fail "the report lacks a note's words"
grep -qi 'found soft by the thumb test' bake.html || fail "the report's zone is not told soft"
run 0 coat add --shell library_van --coating clear_low_bake --name clear --at 2027-03-04T08:00
run 0 history add 1 --shell library_van --at 2027-03-04T09:00
run 1 judge --shell library_van --json
says "found soft by the thumb test 20 h after bake 1"
run 0 report --shell library_van --out shell.html
grep -q 'id="by-hand"' shell.html || fail "the shell's report has no notes"
grep -qi 'found soft by the thumb test' shell.html || fail "the shell's report does not tell what was soft"
run 0 book export --all --out everything
[ "$(wc -l <everything/hand_notes.csv)" -ge 48 ] || fail "not every note was exported"
grep -q ',cure_test,rub,' everything/hand_notes.csv || fail "a test was not exported"
grep -q ',zone,rocker_panels,' everything/verdicts.csv || fail "no verdicts were exported"
grep ',zone,roof_skin,' everything/verdicts.csv | grep -q CHECK || fail "the verdict exported is not CHECK"
# What is exported is what judge says, as sure.
"$program" judge 1 --json >judged.json || [ $? -eq 1 ] || fail "judge 1 --json"
python3 - <<'PY' || fail "the verdicts exported are not those of judge"
import csv, json
judged = json.load(open("judged.json"))
uid = next(csv.DictReader(open("everything/hand_notes.csv")))["bake_uid"]
exported = {row["name"]: row for row in csv.DictReader(open("everything/verdicts.csv")) if row["bake_uid"] == uid and row["part"] == "zone"}
zones = judged.get("verdict", judged)["zones"]
assert len(zones) == len(exported) > 8, (len(zones), len(exported))
for zone in zones:
    row = exported[zone["zone"]]
    assert row["word"] == zone["word"], (row, zone["word"])
    if zone["certainty"]:
        assert row["best_guess"] == zone["certainty"]["best_guess"], row
        assert abs(float(row["probability"]) - zone["certainty"]["probability"]) < 1e-9, row
PY
run 0 book verify
says "sound"
finish
