#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# A shell, a booth and a coating made of answers in words of the shop, and the job at hand that the next commands work on.
# shellcheck source-path=SCRIPTDIR source=support.sh
source "$(dirname "$0")/support.sh"

own=$work/.local/share/bakewright/own_profiles
answered=0

# asks KIND NAME ANSWERS: goes through the questions, an answer a line, and counts the lines.
asks() {
    local status=0
    printf '%s\n' "$3" >answers
    out=$("$program" new "$1" --ask --name "$2" <answers 2>&1) || status=$?
    [ "$status" -eq 0 ] || fail "new $1: exit status $status: $out"
    answered=$((answered + $(wc -l <answers)))
}

# The 7 m box van with a crew cab, the booth of 150 kW and the clear: every question is answered, most by Enter.
asks shell outreach_van "box van
Outreach van
7 x 2.3 x 2.9 m
0.9 m, 0.45 m
crew cab


GRP cap 4 mm











"
out=$(tr '\n' ' ' <<<"$out")
says "1089 kg of parts. Closed area by the sizes 66.3 m2, by the parts 66.3 m2"
asks booth north_booth "North booth
11 x 5 x 4.5 m
single sheet


150 kW



"
says "150 kW into the air"
asks coating sheet_clear "Sheet clear
35 min at 60 C
metal
5 to 15 min
75 C



"
[ "$answered" -le 40 ] || fail "$answered answers for shell, booth and coating"
for file in shells/outreach_van booths/north_booth coatings/sheet_clear; do
    run 0 check "$own/$file.toml"
done
run 0 check

# Answers are as it was made: nothing is said of them until the profile is another.
run 0 check "$own/booths/north_booth.toml"
case "$out" in *"answers:"*) fail "answers that still hold are told of" ;; esac
sed -E 's/^power = .*/power = "120 kW"/' "$own/booths/north_booth.toml" >north_booth.toml
run 0 check north_booth.toml
says "answers: they are as this was made"

# The job at hand: shown alone, kept beside the book, overridden by options.
run 0 use
says "shell    not set"
run 0 use --shell outreach_van --booth north_booth --coating sheet_clear
says "shell    outreach_van, Outreach van"
run 0 use
says "coating  sheet_clear, Sheet clear"
run 2 use --shell no_such_van
run 0 use --json
says '"name": "north_booth"'
status=0
out=$("$program" plan --set-point "62 degC" --members 40 --confidence none 2>&1) || status=$?
[ "$status" -le 1 ] || fail "plan of what was made of answers: exit status $status: $out"
says "note: shell outreach_van, booth north_booth, coating sheet_clear"
status=0
out=$("$program" plan --set-point "62 degC" --confidence none --coating clear_two_component 2>&1) || status=$?
[ "$status" -le 1 ] || fail "an option over the job: exit status $status"
says "note: shell outreach_van, booth north_booth, as set"
run 1 plan --coats "sheet_clear" --confidence none --set-point "45 degC" --longest-hold "10 min"
case "$out" in *"coating sheet_clear, as"*) fail "the job's coating stands beside --coats" ;; esac
run 0 use --nothing
run 2 plan
says "--shell"

# Names with titles, for completion as one types.
run 0 completion names shell
says "outreach_van	Outreach van"
run 0 completion names probe-record
run 2 completion names colour

# Ordinary words: each is understood, or answered with what was meant.
understood() {  # QUESTION ANSWER TEXT-OF-THE-PROFILE
    out=$("$program" new shell --shape "box van" --size "7 x 2.3 x 2.9 m" "--$1" "$2" --out - 2>&1) || fail "--$1 '$2' was refused: $out"
    says "$3"
}
meant() {  # QUESTION ANSWER WHAT
    run 2 new shell --shape "box van" --size "7 x 2.3 x 2.9 m" "--$1" "$2" --out -
    says "$3"
}
understood sides "18 ga steel" 'material = "mild_steel", thickness = "18 gauge"'
understood sides "16 ga CRS" 'material = "mild_steel", thickness = "16 gauge"'
understood sides "1,5 mm ally" 'material = "aluminium_5052", thickness = "1.5 mm"'
understood sides "3/16 in ply" 'material = "plywood", thickness = "3/16 in"'
understood sides "1 mm stainless" 'material = "stainless_304"'
understood sides "16 gage galv" 'material = "galvanised_steel", thickness = "16 gauge"'
understood front "fibreglass cap 4 mm" 'material = "polyester_grp", thickness = "4 mm"'
understood front "GRP 4" 'material = "polyester_grp", thickness = "4 mm"'
run 0 new shell --shape "box van" --size "23' x 7'6\" x 9'6\"" --sides '3/16" ply' --out -
says 'material = "plywood"'
understood deck "3/4 ply" 'material = "plywood"'
meant sides "half inch foam" "Which foam"
meant sides "16g steel" "16 gauge"
meant sides "stanless 1 mm" "stainless"
meant inside "propane bottle" "take it out"
meant openings "maybe" "masked"
for heat in "150 kW" "500 MBH in" "500,000 BTU" "15 min from cold to 140F" "5 therms an hour"; do
    run 0 new booth --size "36' x 16' x 15'" --heat "$heat" --out -
    says "burner.power"
done
run 2 new booth --size "11 x 5 x 4.5 m" --heat 150 --out -
says "Did you mean 150 kW?"
run 0 new coating --bakes "30 min at 140F; 60 min at 120F" --basis metal --out -
says 'temperature = "140 degF", minimum = "30 min"'
run 2 new coating --bakes "60 min at 70 C; 30 min at 60 C" --out -
says "swapped"
run 2 new coating --out -
says "bake"

# Nothing of the shop's own is written over unasked; the same answers give the same bytes.
run 2 new coating --title "Sheet clear" --bakes "35 min at 60 C"
says "there already"
run 0 new coating --title "Sheet clear" --bakes "35 min at 60 C" --replace
cp "$own/coatings/sheet_clear.toml" once
run 0 new coating --title "Sheet clear" --bakes "35 min at 60 C" --replace
cmp -s once "$own/coatings/sheet_clear.toml" || fail "the same answers give other bytes"
run 2 new boat
says "shell, booth or coating"
run 2 new booth --shape "box van"
printf '%s\n' "# what the sheet says" "bakes: 35 min at 60 C" "basis: metal" >sheet.txt
run 0 new coating --answers sheet.txt --out -
says 'basis = "part"'
finish
