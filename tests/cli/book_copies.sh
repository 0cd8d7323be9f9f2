#!/usr/bin/env bash
# Books as files: copies, books of two machines united, every bake as plain files; hostile names and paths.
# shellcheck source-path=SCRIPTDIR source=support.sh
source "$(dirname "$0")/support.sh"

bake() { run 0 predict --shell test_panel --booth stirred_insulated --cycle "$1" --every "5 min" --title "$2"; }

bake clear_60 "first"
run 0 book backup --out "$work/two.book"
bake clear_60 "=HYPERLINK(\"http://example.org\")"
export BAKEWRIGHT_BOOK="$work/two.book"
bake clear_step "third, <b>bold</b>"

# Merged both ways the books list the same bakes.
run 0 book merge --from "$work/test.book"
says "brought in 1 bake"
says "1 bake was known already"
BAKEWRIGHT_BOOK="$work/test.book" run 0 book merge --from "$work/two.book"
says "brought in 1 bake"
run 0 book merge --from "$work/test.book"
says "brought in 0 bakes"
run 0 book verify
says "sound: 3 bakes"
run 2 book merge --from "$work/two.book"
says "this very book"
run 2 book backup --out "$work/test.book"
says "overwrites nothing"
run 2 book backup
says "--out"

# Every bake as plain files: what a table program reads, nothing it would run.
run 0 book export --all --out "$work/all bakes"
says "wrote 3 bakes"
[ "$(wc -l <"all bakes/manifest.csv")" -eq 4 ] || fail "the manifest has not a row a bake"
grep -q "'=HYPERLINK" "all bakes/manifest.csv" || fail "a title starts a formula"
month=$(date -u +%Y-%m)
set -- "all bakes/shell=test_panel/month=$month/"*.csv
[ $# -eq 3 ] || fail "not three files of one month: $*"
head -1 "$1" | grep -q '^bake_uid,trace,role,time_s,temperature_k,quality' || fail "no heading: $(head -1 "$1")"
rows=$(tail -q -n +2 "$@" | wc -l)
counted=$(tail -n +2 "all bakes/manifest.csv" | awk -F, '{ sum += $(NF - 1) } END { print sum }')  # titles may have commas
[ "$rows" -eq "$counted" ] || fail "$rows rows, the manifest says $counted"
run 2 book export --all --out "$work/all bakes"
says "overwrites nothing"
run 2 book export --all 1 --out "$work/one"
run 3 book export --all --out "$work/two.book/folder"
[ -z "$(find . -name '*.new' -o -name '*.unfinished' -o -name '*.merging*')" ] || fail "something unfinished was left"

# Blanks and letters of other languages in the path.
export BAKEWRIGHT_BOOK="$work/мастерская, été/книга бюро.book"
mkdir -p "$(dirname "$BAKEWRIGHT_BOOK")"
bake clear_60 "far away"
run 0 book merge --from "$work/two.book"
run 0 book verify
says "sound: 4 bakes"
finish
