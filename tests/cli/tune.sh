#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Learning from a log: tune, the tuned names in predict, the written profiles, what is refused.
# shellcheck source-path=SCRIPTDIR source=support.sh
source "$(dirname "$0")/support.sh"

run 0 predict --shell library_van --booth stirred_insulated --cycle clear_60 --coating clear_low_bake
run 0 import "$project/tests/data/demo/clear_group_1.csv" --shell library_van --booth stirred_insulated --of 1
says "kept as bake 2"

run 0 tune 2 --what film,zones --write tuned
says "What was learned"
says "held out"
says "kept as shell library_van_tuned and booth stirred_insulated_tuned"
run 0 check tuned/library_van_tuned.toml tuned/stirred_insulated_tuned_booth.toml
says "0 mistakes"
grep -q '^\[\[learned\]\]' tuned/library_van_tuned.toml || fail "the tuned shell does not say what was learned"

# The demo log was made with every film at 0.85: the upright skins' group lies there within its band.
run 0 tune --bakes 2 --what film --no-store --json
says '"format": "bakewright.tuning"'
says '"held_out_k"'

# A tuned name is found in the book, and tuning again makes a new version.
run 0 predict --shell library_van_tuned --booth stirred_insulated_tuned --cycle clear_60 --no-store
run 0 tune 2 --shell library_van_tuned --booth stirred_insulated_tuned --what film
says "kept as shell library_van_tuned_2"
run 0 book verify

# A profile with mistakes is never passed over for an older one of the book.
mkdir -p own/shells
echo 'kind = "shell"' >own/shells/library_van_tuned.toml
BAKEWRIGHT_PROFILES="own:$BAKEWRIGHT_PROFILES" run 2 predict --shell library_van_tuned --booth stirred_insulated --cycle clear_60 --no-store

run 0 probe-advice --shell library_van --booth stirred_insulated --cycle clear_60 --probed roof_skin,door
says "Best places for probes: "
run 2 probe-advice --shell library_van --booth stirred_insulated --cycle clear_60 --probed bonnet
says "'bonnet' is neither a place of shell"

# Plan, advice and the card name the same places, in the same order.
van=(--shell library_van --booth stirred_insulated --coating clear_low_bake)
run 0 plan "${van[@]}" --set-point "60 degC" --out planned.toml --card card.html --json
printf '%s' "$out" >plan.json
run 0 probe-advice "${van[@]}" --cycle planned.toml --json
printf '%s' "$out" >advice.json
python3 - plan.json advice.json card.html <<'PYTHON' || fail "plan, advice and card name different places"
import html, json, re, sys
plan, advice = (json.load(open(path)) for path in sys.argv[1:3])
short = lambda places: [(place["zone"], place["strip_of"], place["reason"]) for place in places]
assert len(plan["probe_places"]) >= 6, plan["probe_places"]
assert short(plan["probe_places"]) == short(advice["order"]), (plan["probe_places"], advice["order"])
card = open(sys.argv[3]).read().split("Probes go to")[1].split("</ol>")[0]
assert card.count("<li>") == len(advice["order"]), card
assert "booth air, high" in card and "weakest item" in card, card
PYTHON
run 0 probe-advice "${van[@]}" --cycle clear_60 --for items
says "Best places for probes: roof_fairing_laminate"
run 2 probe-advice "${van[@]}" --cycle clear_60 --for beauty
says "is not hold, cure, items or learning"
run 2 probe-advice --shell library_van --booth stirred_insulated --cycle clear_60 --for hold
says "what tells most of the hold hangs on it"

# A channel that a person does not believe stays left out with the bake; one in another unit is named as the log is read.
log=$project/tests/data/demo/clear_group_1.csv
run 0 import "$log" --shell library_van --booth stirred_insulated --leave-out "front_cap=40 min" --save-reading "the logger"
says "read again"
# It is of this log alone: the next one that is read in the same way has every channel.
sed 's/\.1,/.2,/' "$log" >next.csv
run 0 import next.csv --shell library_van --booth stirred_insulated --reading "the logger"
next=$(printf '%s\n' "$out" | sed -n 's/^kept as bake //p')
run 1 judge "$next" --coating clear_low_bake --measured-only --details  # strips have no probe
case "$out" in *"as somebody decided"*) fail "a kept reading leaves a channel out of the next log: $out" ;; esac
run 2 import "$log" --shell library_van --leave-out bonnet --dry-run
says "is the name of no channel"

# Ten minutes with ice and warm water: a log of two probes, one 1.2 K high.
python3 - >baths.csv <<'PYTHON'
print("time (s),Roof (degC),Sill (degC)")
for i in range(120):
    level = 0.0 if i < 60 else 60.2
    print(f"{5 * i},{level + 1.2 + 0.02 * (i % 3):.2f},{level - 0.4 + 0.02 * (i % 2):.2f}")
PYTHON
run 0 calibrate
says "crushed ice"
run 0 calibrate baths.csv --ice --warm "60.2 degC" --date 2027-03-01 --out probes.toml
says "Probes in their baths, 2027-03-01"
run 0 check probes.toml
says "0 mistakes"
run 2 calibrate baths.csv
says "say which baths"

run 2 tune 1
says "a model learns from logs"
run 2 tune 2 --what filn
says "Did you mean 'film'?"
run 2 tune
says "name at least one logged bake"
run 2 tune 2 --hold-out 2
says "leaves no bake to tune on"
run 2 predict --shell library_van_tuned_9 --booth stirred_insulated --cycle clear_60

finish
