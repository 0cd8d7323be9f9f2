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
says "Where the next probes teach most"
run 2 probe-advice --shell library_van --booth stirred_insulated --cycle clear_60 --probed bonnet
says "'bonnet' is neither a zone"

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
