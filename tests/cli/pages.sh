#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# What is written for people: reports, bake cards, plots, completion, the manual page.
# shellcheck source-path=SCRIPTDIR source=support.sh
source "$(dirname "$0")/support.sh"

demo=(--shell library_van --booth stirred_insulated --coating clear_low_bake)

# A bake card from a plan: its own option, or an --out that ends in .html; a cycle otherwise.
run 0 plan "${demo[@]}" --set-point "60 degC" --confidence none --card card.html --start "2027-03-01 16:20" --out planned.toml
grep -q 'NOT CHECKED' card.html || fail "the card does not say what was not checked"
grep -q 'rocker panels' card.html || fail "the card does not name the slowest zone"
grep -q 'data sheet wins' card.html || fail "the card has no cautions"
run 0 check planned.toml
run 0 plan "${demo[@]}" --set-point "60 degC" --confidence none --checked "gas, tanks, aerosols, extinguishers, fuel, airbags, rags, adhesive, tyres, batteries" --written-limit struts --out door.html
grep -q 'Must be out' door.html || fail "--out FILE.html is no card"
if grep -q 'NOT CHECKED' door.html; then fail "the card forgets that all was checked"; fi
run 2 plan "${demo[@]}" --set-point "60 degC" --out door.html --card card.html
run 2 plan "${demo[@]}" --set-point "60 degC" --checked all
says "each is looked for by itself"
for thing in gas rags tyres; do
    run 1 plan "${demo[@]}" --set-point "60 degC" --aboard $thing --card never.html
    says "There is no plan and no card with this still in"
done
run 1 plan "${demo[@]}" --map --aboard batteries
run 2 plan "${demo[@]}" --set-point "60 degC" --written-limit gas
[ ! -e never.html ] || fail "there is a card with gas still in"

# What nobody checked stands in the first line, and in the JSON with the cautions, of every way to plan.
run 0 plan "${demo[@]}" --set-point "60 degC" --confidence none
printf '%s\n' "$out" | head -1 | grep -q '^NOT CHECKED' || fail "a plan does not begin with what is not checked"
says "purge"
run 0 plan "${demo[@]}" --set-point "60 degC" --confidence none --json --checked "gas, rags"
printf '%s' "$out" | python3 -c '
import json, sys
plan = json.load(sys.stdin)
assert plan["word"] == "GOOD", plan["word"]
assert len(plan["not_checked"]) == 9 and "gas" not in plan["not_checked"], plan["not_checked"]
assert any(caution["subject"] == "Vapour" for caution in plan["cautions"])
assert [stage["kind"] for stage in plan["stages"]][:3] == ["flash_off", "purge", "ramp"], plan["stages"]' || fail "the JSON of a plan"
run 0 plan "${demo[@]}" --set-point "60 to 62 degC" --map --map-step "1 h" --confidence none
printf '%s\n' "$out" | head -1 | grep -q '^NOT CHECKED' || fail "a map does not begin with what is not checked"

# A purge is honoured, and none is refused; a flash-off that is not the sheet's makes the plan CHECK.
run 0 plan "${demo[@]}" --set-point "60 degC" --confidence none --purge "7 min" --json
says '"duration_s": 420.0'
run 2 plan "${demo[@]}" --set-point "60 degC" --purge "0 min"
says "no burner lights before the vapour is purged"
run 1 plan "${demo[@]}" --set-point "60 degC" --confidence none --flash-off "1 min" --card short.html
printf '%s\n' "$out" | sed -n 2p | grep -q '^CHECK: Heated too soon' || fail "a short flash-off is not told first"
grep -q '<p class="check">CHECK</p>' short.html || fail "the card of a short flash-off is not CHECK"

# A card and a cycle for each bake of a sequence.
run 0 plan --shell library_van --booth stirred_insulated --coats "clear_low_bake, clear_low_bake" --set-point "60 to 62 degC" --confidence none --card cards.html --out cycle.toml
grep -q 'NOT CHECKED' cards_2.html || fail "the second bake has no card"
run 0 check cycle_1.toml cycle_2.toml
[ ! -e cards.html ] || fail "there is a card of no bake"
run 2 plan --shell library_van --booth stirred_insulated --coats "clear_low_bake" --card -

# A report of a prediction: bands, lanes, drawing, and the same numbers as CSV and JSON.
run 0 predict "${demo[@]}" --cycle ./planned.toml --title "clear <b>group 1</b>"
run 0 report 1 --out report.html --members 40
grep -q 'simulated bakes' report.html || fail "the report has no bands"
grep -q 'id="lanes"' report.html || fail "the report has no lanes"
grep -q 'id="shell"' report.html || fail "the report has no drawing"
if grep -q '<b>group 1' report.html; then fail "a title became markup"; fi
run 0 report 1 --csv - --members 40
says "rocker_panels, predicted [°C]"
run 0 report 1 --json --members 40
says '"bands"'
says '"course"'
run 0 report 1 --card again.html --start "2027-03-01 16:20"
says "wrote again.html"
run 1 report 1 --card again.html --aboard gas
run 0 report 1 --card again.html --json
says '"bakewright.card"'
says '"cautions"'
# A bake that is UNDER, and one that has been baked, have no card.
run 1 plan "${demo[@]}" --set-point "50 degC" --hold "10 min" --confidence none --card never.html
sed '/kind = "hold"/,/duration/ s/^duration = .*/duration = "5 min"/' planned.toml >short.toml
run 0 predict "${demo[@]}" --cycle ./short.toml --title "too short"
run 1 report 2 --card never.html
says "There is no card for this bake. UNDER"
run 0 import "$project/tests/data/demo/clear_group_1.csv" --shell library_van --booth stirred_insulated --coating clear_low_bake
run 1 report 3 --card never.html
says "it has been baked"
[ ! -e never.html ] || fail "there is a card of a bake that has none"
run 2 report

# The history of a shell.
run 2 report --shell library_van
run 0 coat add --shell library_van --coating clear_low_bake --name "clear, group 1" --at 2027-03-04T08:00
run 0 history add 1 --shell library_van --at 2027-03-04T08:30
run 0 report --shell library_van --members 40
says "wrote library_van-history.html"
grep -q 'clear, group 1' library_van-history.html || fail "the history does not name its coat"
run 0 report 1 --out report.html --members 40
grep -q 'Exposure so far' report.html || fail "the report has no exposure so far"

# A plot in the terminal: braille in UTF-8, ASCII elsewhere; no line wider than 80 columns; no escape sequences.
run 1 judge 1 --plot
says "⡀"
says "A booth air"
LC_ALL=C run 1 judge 1 --plot
says "- schedule"
case "$out" in *$'\033'*) fail "escape sequences without a terminal" ;; esac
if printf '%s\n' "$out" | sed -n '/^Temperatures/,/schedule/p' | LC_ALL=C grep -q '.\{81\}'; then fail "the plot is wider than 80 columns"; fi

# Completion and manual page say what the help says.
run 0 completion bash
printf '%s\n' "$out" >completion.bash
bash -n completion.bash || fail "the completion of bash is no script"
complete_words() {
    bash -c 'source ./completion.bash; COMP_WORDS=("$@"); COMP_CWORD=$(($# - 1)); _bakewright; printf "%s\n" "${COMPREPLY[@]}"' complete "$@"
}
[ "$(complete_words bakewright pre)" = predict ] || fail "pre is not completed to predict"
complete_words bakewright plan --set | grep -qx -- --set-point || fail "--set is not completed to --set-point"
complete_words bakewright judge 1 --units m | grep -qx metric || fail "--units m is not completed to metric"
complete_words bakewright book ver | grep -qx verify || fail "book ver is not completed to verify"
run 0 completion zsh
printf '%s\n' "$out" >_bakewright
if command -v zsh >/dev/null; then zsh -n _bakewright || fail "the completion of zsh is no script"; fi
says "--set-point="
run 2 completion fish
run 0 manual
printf '%s\n' "$out" >bakewright.1
says ".TH BAKEWRIGHT 1"
for command in check plan predict import judge coat history compare report book; do
    grep -q "^.SS $command" bakewright.1 || fail "the manual page leaves out $command"
    "$program" "$command" --help | grep -o -- '--[a-z][a-z-]*' | sort -u | while read -r option; do
        grep -q -F -- "\\-\\-$(printf '%s' "${option#--}" | sed 's/-/\\-/g')" bakewright.1 || echo "missing $command $option"
    done >missing
    [ ! -s missing ] || fail "the manual page leaves out: $(cat missing)"
done
if command -v groff >/dev/null; then
    groff -man -Tutf8 -ww bakewright.1 >/dev/null 2>warnings || true
    [ ! -s warnings ] || fail "the manual page is not clean: $(head -3 warnings)"
fi

finish
