#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Importing logs: raw voltage, rows a sample, flags, parts of a file, two loggers of one bake. All logs are invented.
# shellcheck source-path=SCRIPTDIR source=support.sh
source "$(dirname "$0")/support.sh"

# log NAME START INTERVAL LATE: air that warms from 20 to 60 °C in 20 min, stays 20 min and cools.
log() {
    awk -v name="$1" -v start="$2" -v step="$3" -v late="$4" 'BEGIN {
        printf "Time,%s (°C),T1 (°C)\n", name
        for (s = 0; s <= 3600; s += step) {
            t = s + late
            air = t < 300 ? 20 : t < 1500 ? 20 + (t - 300) / 30 : t < 2700 ? 60 : 60 - (t - 2700) / 45
            at = start + s
            printf "2026-11-24 %02d:%02d:%02d,%.1f,%.1f\n", int(at / 3600), int(at / 60) % 60, at % 60, air, 20 + s / 200
        }
    }'
}
log "Booth air" 72000 10 0 >a.csv
log "Oven air" 72000 7 35 >b.csv

run 0 import a.csv --and b.csv --json
says '"clock_offset_s": 0.0'
says '"shift_given": false'
# shellcheck disable=SC2154
shift=$(printf '%s' "$out" | sed -n 's/.*"shift_s": \([0-9.]*\).*/\1/p')
awk -v s="$shift" 'BEGIN { exit !(s > 34 && s < 36) }' || fail "aligned by $shift s, expected 35 s to a second"
run 0 import a.csv --and b.csv
says "already, as bake 1"
says "correlation"
run 0 import a.csv --and b.csv --shift "+35 s" --dry-run
says "+35.0 s more were added to the times of the second log, as given"
says "'T1 (2)'"
run 0 book show 1 --json
says '"name": "a.csv"'
says '"name": "b.csv"'
run 2 import a.csv --shift "+35 s"
says "--and"
awk 'BEGIN { print "Time (s),Booth air (°C)"; for (s = 0; s <= 3600; s += 10) print s ",60" }' >flat.csv
run 2 import a.csv --and flat.csv
says "--shift"

printf 'Time (s),Roof (mV),CJ (°C)\n0,1.436,25\n10,1.436,25\n20,3.096,25\n' >mv.csv
run 2 import mv.csv
says "--thermocouple"
run 0 import mv.csv --thermocouple K --dry-run
says "60.0 to 100.0"
run 2 import mv.csv --thermocouple Q
says "B, E, J, K, N, R, S and T"
run 0 import mv.csv --thermocouple Roof=K --reference-junction "25 degC" --dry-run --json
says '"conversion": "type K, reference junction 298.15 K"'

printf 'Time (s),Channel,Value\n0,Roof,20\n0,Sill,21\n10,Roof,22\n10,Sill,23\n' >long.csv
run 0 import long.csv --dry-run
says "First samples"
says "'Channel' names the channel"

printf 'Time (s),Roof (°C)\n0,20\n10,21\n20,22\n0,30\n10,31\n20,32\n' >two.csv
run 2 import two.csv
says "two.csv:5"
run 0 import two.csv --to-line 4
says "kept as bake 2"
run 0 import two.csv --from-line 5
says "kept as bake 3"
run 0 import two.csv --from-line 5
says "already, as bake 3"
run 0 import two.csv --to-line 4 --range "0 degC .. 22 degC" --dry-run
says "1 clipped"
run 2 import two.csv --range "22 degC"
says "--range"

# A unit that nothing tells is asked about with both readings, and the answer is obeyed.
printf 'Time (s),Roof\n0,68\n10,70\n20,75\n30,80\n' >unitless.csv
run 2 import unitless.csv
says "as °F it starts at 20.0 °C"
says "--temperature-unit"
run 0 import unitless.csv --temperature-unit degF --dry-run
says "20.0 to 26.7"
printf 'Time (s),Roof (0.1 °C),Loop\n0,200,0\n10,E4,50\n20,210,100\n' >tenths.csv
run 2 import tenths.csv
says "may be a unit"
run 0 import tenths.csv --scale 2=0.1 --channel-unit 2=degC --channel-unit Loop=none --missing E4 --dry-run
says "20.0 to 21.0"
run 2 import tenths.csv --scale 2=none
says "--scale"

# A reading that is kept under a name, and probe records.
run 0 import mv.csv --thermocouple K --map Roof=roof_skin --save-reading "shop logger"
sed 's/1.436,25/1.436,24.9/' mv.csv >mv2.csv
run 0 import mv2.csv --reading "shop logger" --dry-run --json
says "type K"
says '"name": "roof_skin"'
run 0 import mv2.csv --reading "shop logger" --thermocouple J --dry-run
says "type J"
run 2 import mv2.csv --reading "other logger"
says "shop logger"

cat >probes.toml <<'TOML'
kind = "probes"
title = "two invented probes"
[[probe]]
channel = "Roof"
type = "K"
class = "IEC 1"
attachment = "magnet"
[probe.calibration]
date = "2025-01-02"
due = "2026-01-02"
uncertainty = "0.4 K"
points = [{ temperature = "50 degC", correction = "1 K" }]
[[probe]]
channel = "Booth air"
type = "K"
class = "IEC 1"
attachment = "in air"
TOML
run 0 check probes.toml
awk 'BEGIN { print "Time,Booth air (°C),Roof (°C)"; for (s = 0; s <= 5400; s += 10) {
    air = s < 1200 ? 20 + s / 27 : 64.4; roof = s < 1800 ? 20 + s / 43 : 61.9
    printf "2026-11-24 %02d:%02d:%02d,%.1f,%.1f\n", 20 + int(s / 3600), int(s / 60) % 60, s % 60, air, roof } }' >roof.csv
run 0 import roof.csv --map "Roof=roof skin" --coating clear_low_bake --probe-record probes.toml
says "corrected by calibration: roof skin"
says "overdue"
bake=$(printf '%s' "$out" | sed -n 's/.*kept as bake \([0-9]*\).*/\1/p')
run 0 book export "$bake" --exact
# 61.9 °C as logged, 1 K added by the calibration: 336.05 K.
says ",336.0"
"$program" judge "$bake" --json >verdict.json || true
grep -q "records of the log's probes, 'two invented probes', each with its own standard uncertainty, 0.20 to 0.87 K" verdict.json || fail "the verdict does not know the probe records"
grep -q "up to 16 % of the way to the air, on the unsafe side" verdict.json || fail "the verdict does not know how the probes are attached"
run 0 import roof.csv --map "Roof=roof skin" --probe-record probes.toml --dry-run --json
says '"corrected"'
sed 's/magnet/glued/' probes.toml >wrong.toml
run 2 import roof.csv --probe-record wrong.toml
says "wrong.toml:7"
# A log so large that it is read page by page: kept, named and corrected like any other, and back byte for byte.
awk 'BEGIN {
    note = sprintf("%830s", ""); gsub(" ", "n", note)
    print "Time (s),Booth air (°C),Roof (°C),Note"
    for (i = 0; i < 10000; ++i)
        printf "%d,%.1f,%.2f,%s\n", i, (i < 5000 ? 20 + i / 125 : 60) + i % 3 / 10, i == 4000 ? 55 : 20 + i / 300, i == 7 ? "" : note
}' >large.csv
run 0 import large.csv --map "Roof=roof skin" --probe-record probes.toml --book large.book
says "10000 of 10000 rows"
says "1 spike"
says "readings were corrected by calibration: roof skin"
says "kept as bake 1"
run 0 import large.csv --map "Roof=roof skin" --probe-record probes.toml --book large.book
says "already, as bake 1"
run 0 book verify --book large.book
run 0 book export 1 --what raw --out large_back.csv --book large.book
cmp large.csv large_back.csv || fail "a large log did not come back byte for byte"
# The same without the padding is read whole: the same samples.
sed 's/,n*$/,/' large.csv >small.csv
run 0 import small.csv --map "Roof=roof skin" --probe-record probes.toml --book large.book
says "kept as bake 2"
run 0 book export 1 --exact --out paged.csv --book large.book
run 0 book export 2 --exact --out whole.csv --book large.book
cmp paged.csv whole.csv || fail "a log read page by page has other samples than the same log read whole"
# No room for the samples meanwhile: told, and nothing is kept.
status=0
out=$( (ulimit -f 8; trap '' XFSZ; "$program" import large.csv --book full.book) 2>&1) || status=$?
[ "$status" -eq 3 ] || fail "import without room for its samples: exit status $status: $out"
says "temporary file could not be written"
[ ! -e full.book ] || run 0 book verify --book full.book
# Rows out of order are put right only in a log that is read whole, however large.
{ head -n 9000 large.csv; sed -n 9002p large.csv; sed -n 9001p large.csv; sed -n '9003,$p' large.csv; } >late.csv
run 0 import late.csv --dry-run
says "rows come later than their time"
run 0 import large.csv --dry-run
says "0.0 s  1.0 s  2.0 s  3.0 s"
says "20.0   20.1   20.2   20.0"

# Read in the wrong unit, entered into a history, read again: the bake keeps its number, the reading before is kept and marked.
awk 'BEGIN { print "time [s],air,roof"; for (i = 0; i < 200; ++i) printf "%d,%.1f,%.1f\n", i * 10, 68 + 80 * (1 - exp(-i / 20)), 68 + 70 * (1 - exp(-i / 30)) }' >unit.csv
export BAKEWRIGHT_BOOK=$work/again.book
run 0 import unit.csv --temperature-unit degC
says "kept as bake 1"
run 0 history add 1 --shell library_van --at 2027-03-01T08:00
run 0 import unit.csv --temperature-unit degC
says "nothing was added"
run 0 import unit.csv --temperature-unit degF --why "the logger writes Fahrenheit" --by Ada
says "bake 1 was read again"
says "kept as bake 2, replaced"
run 0 book export 1
says "0,20.00,20.00"
run 0 book export 2
says "0,68.00,68.00"
run 0 book show 1
says "read otherwise as bake 2"
says "by Ada: the logger writes Fahrenheit (read again with --temperature-unit degF)"
run 0 book show 2
says "REPLACED this is an earlier reading of bake 1"
run 0 book list
case "$out" in *"unit.csv"*"unit.csv"*) fail "a reading that was replaced is listed: $out" ;; esac
run 0 book list --earlier-readings --search unit.csv
case "$out" in *"unit.csv"*"unit.csv"*) ;; *) fail "an earlier reading is not listed: $out" ;; esac
run 0 history list --shell library_van
says "2027-03-01"
run 0 import unit.csv --temperature-unit degF
says "nothing was added"
run 0 import unit.csv --temperature-unit degC --again
says "kept as bake 3, replaced"
run 2 import small.csv --again
says "this one is not"
run 0 book verify
says "sound: 3 bakes"

finish
