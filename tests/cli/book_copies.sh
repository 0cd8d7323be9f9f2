#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
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
# A merge that is refused leaves a book that was not there not there, and one that was as it was.
echo "no book" >no.book
BAKEWRIGHT_BOOK="$work/new.book" run 2 book merge --from "$work/no.book"
[ ! -e new.book ] || fail "a refused merge left a book behind"
cp "$project/tests/book/data/version2.sqlite" old.book
chmod u+w old.book
before=$(sha256sum <old.book)
BAKEWRIGHT_BOOK="$work/old.book" run 2 book merge --from "$work/no.book"
[ "$(sha256sum <old.book)" = "$before" ] || fail "a refused merge changed the book"
rm old.book no.book
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
for table in bake_profiles bake_logs earlier_readings coats histories vehicles hand_notes verdicts; do
    head -1 "all bakes/$table.csv" | grep -q , || fail "no table $table"
    grep -q "\"table\": \"$table\"" "all bakes/schema.json" || fail "the schema lacks $table"
done
[ "$(find "all bakes/profiles" -name '*.toml' | wc -l)" -ge 3 ] || fail "the profiles were not exported"
tail -n +2 "all bakes/bake_profiles.csv" | tr -d '\r' | awk -F, '{ print $NF }' | while read -r file; do
    [ "$(sha256sum <"all bakes/$file" | cut -d' ' -f1)" = "$(basename "$file" .toml)" ] || fail "$file is not what its name says"
done
run 0 book export 1 --json
printf '%s' "$out" | python3 -c 'import json, sys; json.load(sys.stdin)["traces"]' || fail "export --json is no JSON"
run 0 book export 1 --spreadsheet --out sheet.csv
[ "$(head -c 3 sheet.csv | od -An -tx1 | tr -d ' ')" = efbbbf ] || fail "no mark of UTF-8"
sed -n 2p sheet.csv | grep -q '^0;[0-9]*,[0-9]*;' || fail "no semicolons: $(sed -n 2p sheet.csv)"
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
# A book with a flipped bit, and one that was cut off: the damage is named, and what is whole can still be exported.
flipped=$work/flipped.book
cp "$work/two.book" "$flipped"
export BAKEWRIGHT_BOOK=$flipped
python3 - "$flipped" <<'PY'
import sqlite3, sys
book = sqlite3.connect(sys.argv[1])
row, data = book.execute("SELECT rowid, data FROM trace_block WHERE trace_id IN (SELECT trace_id FROM trace WHERE bake_id = 1) LIMIT 1").fetchone()
damaged = bytearray(data)
damaged[len(damaged) // 2] ^= 16
book.execute("UPDATE trace_block SET data = ? WHERE rowid = ?", (bytes(damaged), row))
book.commit()
PY
run 3 book verify
says "of bake 1"
run 3 book export --all --out "$work/refused"
says "damaged"
run 1 book export --all --salvage --out "$work/rest"
says "wrote 3 bakes"
says "lost: "
# Rows changed outside of the program: named, told with every answer, and taken on purpose alone. A paper says what has changed since.
edited=$work/edited.book
cp "$work/two.book" "$edited"
export BAKEWRIGHT_BOOK=$edited
run 0 report 1 --out paper.html
digest=$(grep -o 'digest [0-9a-f-]*' paper.html | head -1 | cut -d' ' -f2)
run 0 book verify --digest "$digest"
says "unchanged"
run 2 book verify --digest 12
run 1 book verify --digest 0000-0000-0000-0000
says "another book"
python3 -c 'import sqlite3, sys; book = sqlite3.connect(sys.argv[1]); book.execute("UPDATE bake SET title = ? WHERE bake_id = 1", ("other",)); book.commit()' "$edited"
run 3 book verify
says "bake: the row was changed"
run 0 book show 1
says "is damaged: bake 1"
says "--salvage"
run 0 report 1 --out paper.html
grep -q "DAMAGED in the book" paper.html || fail "a report from changed rows does not say so"
run 3 book remove 1
says "could not change the book"
run 2 book verify --accept
run 0 book verify --accept --why "renamed by hand"
says "taken as it is now"
run 0 book verify
run 1 book verify --digest "$digest"
says "bake 1 ('other'), changed"
# By uid, in full or by its first digits.
uid=$("$program" book show 1 --json | grep -o '"uid": "[0-9a-f]*"' | cut -d'"' -f4)
run 0 book show "$uid"
says "bake 1,"
run 0 book show "${uid:0:9}"
says "bake 1,"
cut=$work/cut.book
export BAKEWRIGHT_BOOK=$work/long.book
run 0 predict --shell library_van --booth stirred_insulated --cycle clear_60
run 0 import "$project/tests/data/demo/clear_group_1.csv"
run 0 predict --shell library_van --booth stirred_insulated --cycle repair_low
head -c "$(($(stat -c %s "$BAKEWRIGHT_BOOK") * 9 / 10))" "$BAKEWRIGHT_BOOK" >"$cut"
export BAKEWRIGHT_BOOK=$cut
run 3 book verify
says "damaged"
run 3 book export --all --out "$work/refused"
says "damaged"
run 1 book export --all --salvage --out "$work/left over"
says "lost: "
[ "$(cat "$work/left over"/shell=*/month=*/*.csv | grep -c good)" -gt 100 ] || fail "nothing whole was left of a book that was cut off"

finish
