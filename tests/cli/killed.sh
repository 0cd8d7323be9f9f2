#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# The program killed at any moment while it imports, reads again, predicts, merges or brings an old book up to date: the book opens again, is sound,
# and holds the step whole or not at all. Two imports at once; a full disk.
# shellcheck source-path=SCRIPTDIR source=support.sh
source "$(dirname "$0")/support.sh"

# An invented log of half an hour, with enough rows that a write takes a while.
awk 'BEGIN { print "time [s],air [°C],roof [°C]"; for (i = 0; i < 20000; ++i) printf "%d,%.1f,%.1f\n", i, 20 + 40 * (1 - exp(-i / 600)), 20 + 38 * (1 - exp(-i / 900)) }' >log.csv
run 0 predict --shell test_panel --booth stirred_insulated --cycle clear_60
cp test.book start.book
cp "$project/tests/book/data/version1.sqlite" version1.book
chmod u+w version1.book
cp version1.book other.book

bakes() { "$program" book list --earlier-readings --json | grep -c '"uid"\|"bake":' || true; }
run 0 book list --json
[ "$(bakes)" -ge 1 ] || fail "cannot count bakes: $out"

# how_long words...: milliseconds that a whole run takes
how_long() {
    local began
    began=$(date +%s%N)
    "$program" "$@" >/dev/null 2>&1 || true
    echo $((($(date +%s%N) - began) / 1000000 + 1))
}

# kill_at_random START COUNT words...: runs the words on a copy of START and kills them after a random part of their time.
kill_at_random() {
    local start=$1 count=$2 before after whole delay
    shift 2
    cp "$start" test.book
    rm -f test.book-wal test.book-shm
    whole=$(how_long "$@")
    after=$(bakes)
    cp "$start" before.book
    before=$(BAKEWRIGHT_BOOK=$work/before.book bakes)
    for ((i = 0; i < count; ++i)); do
        rm -f test.book-wal test.book-shm test.book-journal
        cp "$start" test.book
        delay=$(awk -v ms="$whole" -v r="$RANDOM" 'BEGIN { printf "%.4f", ms * r / 32768 / 1000 }')
        { timeout --signal=KILL "$delay" "$program" "$@" >/dev/null || true; } 2>/dev/null
        run 0 book verify
        says "sound"
        found=$(bakes)
        [ "$found" = "$before" ] || [ "$found" = "$after" ] || fail "$* killed after ${delay} s: $found bakes, not $before or $after"
    done
}

rounds=${BAKEWRIGHT_KILLS:-52}  # of each of six: more than 300 in all
kill_at_random start.book "$rounds" import log.csv
kill_at_random start.book "$rounds" predict --shell test_panel --booth stirred_insulated --cycle clear_60
kill_at_random start.book "$rounds" book merge --from "$work/other.book"
# A log read again, and a merge of a book in which it was.
rm -f test.book-wal test.book-shm
cp start.book test.book
run 0 import log.csv
cp test.book logged.book
kill_at_random logged.book "$rounds" import log.csv --again --why "killed while it is read"
rm -f test.book-wal test.book-shm
cp logged.book test.book
run 0 import log.csv --again
cp test.book again.book
kill_at_random logged.book "$rounds" book merge --from "$work/again.book"
# An old book is brought up to date by the first command that writes: read before that it says so, which is no damage.
for ((i = 0; i < rounds; ++i)); do
    rm -f test.book-wal test.book-shm test.book-journal
    cp version1.book test.book
    delay=0.$(printf '%03d' $((RANDOM % 40)))
    { timeout --signal=KILL "$delay" "$program" history add 1 --shell library_van --at 2026-03-07T08:00 >/dev/null || true; } 2>/dev/null
    "$program" history add 2 --shell other_van --at 2026-03-07T08:00 >/dev/null 2>&1 || true
    run 0 book verify
    says "sound: 2 bakes"
done

# Two at once: each log is in the book once.
cp start.book test.book
rm -f test.book-wal test.book-shm
sed '2s/20\.0/20.5/' log.csv >other.csv
"$program" import log.csv >/dev/null 2>&1 &
"$program" import other.csv >/dev/null 2>&1 || fail "the second of two imports did not wait"
wait
run 0 book verify
says "sound: 3 bakes"

# A full disk, where the shell may bound the size of files: nothing of the import stays.
cp start.book test.book
rm -f test.book-wal test.book-shm
if (ulimit -f 1 2>/dev/null); then
    status=0
    out=$( (ulimit -f 16; trap '' XFSZ; "$program" import log.csv) 2>&1) || status=$?
    [ "$status" -eq 3 ] || fail "import onto a full disk: exit status $status: $out"
    run 0 book verify
    says "sound: 1 bake"
fi
finish
