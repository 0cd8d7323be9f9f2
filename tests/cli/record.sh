#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# A bake recorded as it happens: from standard input and a file, an hour of 32 channels beside an import, ended by Ctrl-C, gone on with.
# Killed at random moments it is in record_killed.py.
# shellcheck source-path=SCRIPTDIR source=support.sh
source "$(dirname "$0")/support.sh"

now_ms() { echo $(($(date +%s%N) / 1000000)); }
# What is wrong is said before anything begins.
run 2 record
says "--source"
run 2 record --source no_such_source
run 2 record --lines log.csv --speed 3
says "--replay"
run 2 record --source serial_thermometer --shell test_panel
says "'roof_skin' is not a zone"
run 0 check serial_thermometer thermocouple_rack wireless_transmitters logger_lines
printf 'kind = "source"\ntitle = "x"\nby = "modbus tcp"\ninterval = "1 s"\n[modbus]\nhost = "h"\n[[channel]]\nname = "a"\nunit = "degC"\nregister = 70000\n' >bad.toml
run 2 check bad.toml
says "bad.toml:10"
says "0 to 65535"

# Lines on standard input, ended by their end.
{
    echo "time [s],air [°C],roof [°C]"
    for i in 0 1 2 3; do echo "$i,2$i.5,2$i.0"; done
} >log.csv
out=$("$program" record --lines - --shell test_panel --booth stirred_insulated <log.csv 2>&1) || fail "record from standard input: $out"
says "Kept as bake 1"
says "8 readings"
run 0 book verify
says "sound"
run 0 book export 1
says "roof"

# An hour of 32 channels at one a second, at 1200 times its speed, beside an import and readers: no sample is lost.
awk 'BEGIN { printf "time [s]"; for (c = 0; c < 32; ++c) printf ",c%d [°C]", c; print ""
    for (i = 0; i < 3600; ++i) { printf "%d", i; for (c = 0; c < 32; ++c) printf ",%.1f", 20 + 40 * (1 - exp(-i / (600 + 50 * c))); print "" } }' >hour.csv
awk 'BEGIN { print "time [s],air [°C],roof [°C]"; for (i = 0; i < 60000; ++i) printf "%d,%.1f,%.1f\n", i, 20 + 40 * (1 - exp(-i / 600)), 20 + 38 * (1 - exp(-i / 900)) }' >other.csv
run 0 import hour.csv
"$program" record --replay 2 --speed 1200 --booth stirred_insulated --json >recorded.json 2>recorded.err &
recorder=$!
"$program" import other.csv >/dev/null 2>&1 || fail "an import beside a recording"
for _ in 1 2 3; do "$program" book list >/dev/null 2>&1 || fail "a list beside a recording"; done
wait "$recorder" || fail "record: $(cat recorded.err)"
out=$(cat recorded.json)
says '"samples": 115200'
says '"lost": 0'
run 0 book verify
says "sound"
"$program" book export 2 --out stored.csv >/dev/null
bake=$(sed -n 's/.*"bake": \([0-9]*\).*/\1/p' recorded.json | head -1)
"$program" book export "$bake" --out again.csv >/dev/null
cut -d, -f2- stored.csv >stored.values
cut -d, -f2- again.csv >again.values
cmp stored.values again.values || fail "the replayed hour is not the stored one"

# Under job control, so that Ctrl-C reaches what runs in the background.
set -m
# Ctrl-C ends it within two seconds and seals; what the system sends does too; a terminal is not needed.
for signal in INT TERM; do
    cp log.csv growing.csv
    "$program" record --lines growing.csv --new --booth stirred_insulated >record.out 2>&1 &
    recorder=$!
    sleep 1
    echo "4,24.5,24.0" >>growing.csv
    sleep 1
    began=$(now_ms)
    kill -"$signal" "$recorder"
    wait "$recorder" || fail "ended by $signal: $(cat record.out)"
    [ $(($(now_ms) - began)) -lt 2000 ] || fail "$signal ended it after $(($(now_ms) - began)) ms"
    grep -q "2 readings" record.out || fail "ended by $signal: $(cat record.out)"
done
run 0 book verify
says "sound"

# One that broke off is gone on with, is not removed meanwhile, and can be ended without going on.
"$program" record --lines growing.csv --booth single_skin >record.out 2>&1 &
recorder=$!
sleep 1
echo "5,25.5,25.0" >>growing.csv
sleep 3
kill -KILL "$recorder"
{ wait "$recorder" || true; } 2>/dev/null
run 0 book list --json
broken=$(sed -n 's/.*"bake": \([0-9]*\).*/\1/p' <<<"$out" | head -1)
run 2 book remove "$broken"
says "is being recorded"
"$program" record --lines growing.csv --booth single_skin --stop-after "1 h" >record.out 2>&1 &
recorder=$!
sleep 1
echo "9,29.5,29.0" >>growing.csv
sleep 1
kill -INT "$recorder"
wait "$recorder" || fail "gone on: $(cat record.out)"
grep -q "Kept as bake $broken:" record.out || fail "not gone on in bake $broken: $(cat record.out)"
run 0 book show "$broken"
says "the recorder was not running"
run 2 record --seal "$broken"
says "has ended"
"$program" judge "$broken" --coating clear_low_bake >judged 2>&1 || [ $? -eq 1 ] || fail "judge: $(cat judged)"
finish
