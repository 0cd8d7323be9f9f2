#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Whose history it is: one vehicle entered or merged as two, and two as one, are put right, with an entry in the journal. All invented.
# shellcheck source-path=SCRIPTDIR source=support.sh
source "$(dirname "$0")/support.sh"

vans=(--coating clear_low_bake --name)
coat() { run 0 coat add --shell "$1" "${vans[@]}" "$2" --at "$3"; }
bake() { run 0 predict --shell library_van --booth stirred_insulated --cycle clear_60 --every "5 min" --title "$1"; }
enter() { run 0 history add "$1" --shell "$2" --at "$3"; }
names() { "$program" history vehicles --json | python3 -c 'import json, sys; print(",".join(sorted(v["history"] for v in json.load(sys.stdin)["vehicles"])))'; }
count() { "$program" "$1" list --shell "$2" --json | grep -c "$3" || true; }

# Two booths wrote down one vehicle, each for itself.
bake first
coat library_van primer 2027-03-01T08:00
enter 1 library_van 2027-03-01T09:00
export BAKEWRIGHT_BOOK="$work/north.book"
bake second
coat library_van clear 2027-03-04T08:00
enter 1 library_van 2027-03-04T09:00
export BAKEWRIGHT_BOOK="$work/test.book"
run 0 book merge --from "$work/north.book"
says "nothing says that they are one"
other=$(names | sed 's/library_van,//')
[[ $other == "library_van #"* ]] || fail "the histories are $(names)"
run 2 history vehicle --shell "library_van #nobody" --into library_van
says "has no history"
run 2 history vehicle --shell library_van --into library_van
run 0 history vehicle --shell library_van --job 27-031
run 0 history vehicle --shell "$other" --job 27-032
run 2 history vehicle --shell "$other" --into library_van
says "two vehicles' numbers"
run 0 history vehicle --shell "$other" --job ""
run 0 history vehicle --shell "$other" --maker-number MN-7
run 0 history vehicle --shell "$other" --into library_van --why "one van, two booths" --by Sam
says "MN-7"
[ "$(names)" = library_van ] || fail "the histories are $(names)"
[ "$(count coat library_van '"coat"')" -eq 2 ] || fail "not both coats: $("$program" coat list --shell library_van)"
run 1 judge --shell library_van --json
run 0 book verify
says "sound"
sqlite3 -readonly test.book "SELECT why FROM journal" | grep -q "united with that of 'library_van', by Sam: one van, two booths" ||
    fail "the journal does not tell"
# The other book, merged again, finds its vehicle.
run 0 book merge --from "$work/north.book"
[ "$(names)" = library_van ] || fail "merged again the histories are $(names)"

# Two vehicles in one history: what is the other's goes to it.
bake third
coat library_van "second clear" 2027-03-08T08:00
enter 3 library_van 2027-03-08T09:00
third=$("$program" coat list --shell library_van --json | python3 -c 'import json, sys; print(next(c["coat"] for c in json.load(sys.stdin)["coats"] if c["name"] == "second clear"))')
run 2 history vehicle --shell library_van --into "library_van #27-040" --coats 99
run 2 history vehicle --shell library_van --into "library_van #27-040" --bakes 99
[ "$(names)" = library_van ] || fail "a refused change left $(names)"
run 0 history vehicle --shell library_van --into "library_van #27-040" --coats "$third" --bakes 3 --why "another van"
[ "$(names)" = "library_van,library_van #27-040" ] || fail "the histories are $(names)"
run 0 history list --shell "library_van #27-040"
says "3"
run 0 book verify
says "sound"
sqlite3 -readonly test.book "SELECT why FROM journal" | grep -q "some of it is that of 'library_van #27-040'.*another van" || fail "the journal does not tell"
run 2 history vehicle --shell library_van --into "library_van #27-040" --coats "$third"
says "is not in the history"
finish
