#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# What a person sees without asking for more: the answer in the first lines, at most 40 lines of 80 columns, in his own units.
# shellcheck source-path=SCRIPTDIR source=support.sh
source "$(dirname "$0")/support.sh"

van=(--shell library_van --booth stirred_insulated)
clear=("${van[@]}" --coating clear_low_bake)
log="$project/tests/data/demo/clear_group_1.csv"

# shown STATUS words...: the answer as it is printed, held to the size of a small terminal.
shown() {
    local expected=$1 status=0 lines widest
    shift
    out=$("$program" "$@" 2>&1) || status=$?
    [ "$status" -eq "$expected" ] || fail "bakewright $*: exit status $status, expected $expected: $out"
    lines=$(printf '%s\n' "$out" | wc -l)
    [ "$lines" -le "${most_lines:-40}" ] || fail "bakewright $* prints $lines lines: $out"
    widest=$(printf '%s\n' "$out" | sed 's/ in \/.*//' | wc -L)
    [ "$widest" -le 80 ] || fail "bakewright $* prints $widest columns: $out"
}

# early N TEXT: it stands in the first N lines.
early() {
    printf '%s\n' "$out" | head -n "$1" | grep -q -- "$2" || fail "'$2' is not in the first $1 lines of: $out"
}

shown 0 plan "${clear[@]}" --set-point "58 to 64 degC" --start "3/1/2027 4:20 PM" --out planned.toml
early 1 '^NOT CHECKED: 11 things'
early 3 '^Set .* hold .* Heat off at 1[78]:'
early 12 'purge'
early 12 '^Slowest: '
early 12 '^Nearest its limit: '
early 12 '% sure every coated zone cures'
early 13 '^Next: '
says "More: --details"
shown 1 plan "${van[@]}" --coating clear_two_component --set-point "64 to 66 degC" --confidence none
early 3 'No cycle works'
says "What would fix it"
most_lines=48 shown 0 plan "${clear[@]}" --map  # the map itself, below the answer
early 3 'Shortest hold that works'
shown 0 predict "${van[@]}" --cycle ./planned.toml --coating clear_low_bake
early 12 '^Slowest coated zone: '
shown 0 import "$log" "${clear[@]}" --of 1
early 2 'Read all 253 rows'
early 4 '^Next: '
shown 0 judge 2
early 1 '^GOOD'
early 3 '7 zones measured, 12 estimated'
early 12 '^Next: '
shown 0 compare 1 2
early 2 'agree'
early 12 '^Next: '
shown 0 tune 2 --no-store
early 3 'held out'

# The rest is there for who asks: all of it, or a part.
run 0 judge 2 --details
says "Cure by zone"
says "Cautions"
run 0 judge 2 --details items
says "Heat-sensitive items"
case "$out" in *"Cure by zone"*) fail "--details items shows the zones too" ;; esac
run 0 judge --details sure 2
says "How sure"
run 2 judge 2 --details zoned
says "Did you mean 'zones'?"

# Help fits too.
for command in check plan predict import record judge coat history compare trust tune probe-advice report serve book units completion manual; do
    help=$("$program" "$command" --help)
    [ "$(printf '%s\n' "$help" | wc -L)" -le 80 ] || fail "$command --help is wider than 80 columns: $(printf '%s\n' "$help" | awk 'length > 80')"
done
[ "$("$program" help judge)" = "$("$program" judge --help)" ] || fail "'help judge' is not the help of judge"
[ "$("$program" --help | wc -L)" -le 81 ] || fail "--help is wider than 80 columns"

# Degrees Fahrenheit: whole ones are set, and no sentence speaks of others.
us() {
    local status=0
    out=$("$program" "$@" --units us 2>&1) || status=$?
    # What a coating is called is its own name, in any unit.
    if printf '%s\n' "$out" | grep -v 'low-bake clear, 50 or 60' | grep -nE '°C|[0-9] K\b'; then fail "bakewright $* --units us speaks of °C or K: $out"; fi
}
us plan "${clear[@]}" --set-point "140F" --hold "60'" --confidence none
says "Set 140 °F, hold 1 h"
us plan "${clear[@]}" --set-point "136F to 146F" --details
us judge 2 --details
us judge 1 --details
us compare 1 2 --details
us predict "${van[@]}" --cycle clear_60 --no-store

# A bare number is read in the units that were stated once, and refused while none are.
run 2 plan "${clear[@]}" --set-point 140 --confidence none
says 'write "140 degC" or "140 degF"'
run 2 units farenheit
run 0 units us
run 0 plan "${clear[@]}" --set-point 140 --hold "60 min" --flash-off "10 min" --confidence none
says "Set 140 °F"
run 0 units metric
run 2 plan "${clear[@]}" --set-point "60 degC" --start "3/1/2027 16:20"
says "write 2027-03-01 16:00 or 3/1/2027 4:00 PM"
run 2 plna
says "Unknown command 'plna'. Did you mean 'plan'?"

# On a terminal, and only there, a long answer goes through the user's pager.
if command -v script >/dev/null; then
    cat >pager <<'SH'
#!/bin/sh
echo "paged"
SH
    chmod +x pager
    paged=$(PAGER=./pager script -qec "stty rows 24 cols 80; '$program' judge 2 --details" /dev/null </dev/null || true)
    case "$paged" in *paged*) ;; *) fail "a long answer does not go through the pager: $paged" ;; esac
fi
finish
