#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Bad input: a clear message with file and line, the right exit status, nothing half-written.
# shellcheck source-path=SCRIPTDIR source=support.sh
source "$(dirname "$0")/support.sh"

run 2 predicct
says "Did you mean 'predict'?"
run 2 predict --shel library_van
says "--shell"
run 2 predict --shell library_vam --booth stirred_insulated --cycle clear_60
says "library_van"
run 2 predict --shell library_van --booth stirred_insulated --cycle clear_60 --start-temperature 20
says "--start-temperature"
run 2 predict --shell library_van --booth stirred_insulated --cycle clear_60 --start-temperature "500 degF"
says "--start-temperature: is 500 degF, accepted is -40 to 482 degF"
run 2 predict --shell library_van --booth stirred_insulated --cycle clear_60 --every "2 h"
says "--every: is 2 h, accepted is"
run 2 judge 1
[ ! -e "$BAKEWRIGHT_BOOK" ] || fail "a refused command made a book"
run 2 judge one
run 2 check "$work"
run 2 check missing.toml
run 2 import missing.csv
run 2 import "$work"

: >empty.toml
run 2 check empty.toml
printf 'kind = "cycle"\n[[stage]\n' >broken.toml
run 2 check broken.toml
says "broken.toml:2"
printf 'kind = "material"\ntitle = "x"\ndensity = "7850 kg/m3"\nspecific_haet = "470 J/kgK"\n' >key.toml
run 2 check key.toml
says "key.toml:4"
says "specific_heat"

cat >shell.toml <<'TOML'
kind = "shell"
title = "broken"
[[zone]]
name = "skin"
area = "0 m2"
height = "1 m"
layers = [{ material = "mild_stel", thickness = "-1 mm" }]
outer = { view = "booth" }
[[link]]
from = "skin"
to = "skin"
conductance = "3 W/K"
TOML
run 2 check shell.toml
says "shell.toml:5"
says "mild_steel"
says "itself"

# Errors answer in the unit that was written, and a number that could not be read bounds nothing.
sed 's/^highest_setpoint = .*/highest_setpoint = "572 degF"/; s/^high_limit = .*//' "$project/profiles/booths/stirred_insulated.toml" >hot.toml
run 2 check hot.toml
says "is 572 degF, accepted is 68 to 482 degF"
case "$out" in *"SI units"*) fail "a number is told in SI units: $out" ;; esac
sed 's/temperature = "[0-9.]* deg[CF]"/temperature = "60"/' "$project/profiles/coatings/clear_low_bake.toml" >unread.toml
run 2 check unread.toml
case "$out" in *"-273"*) fail "a row that was not read bounds the floor: $out" ;; esac

cat >cold.toml <<'TOML'
kind = "cycle"
title = "cools below ambient"
[[stage]]
kind = "ramp"
setpoint = "60 degC"
rate = "1 K/min"
[[stage]]
kind = "cool"
setpoint = "5 degC"
duration = "30 min"
TOML
run 2 predict --shell library_van --booth stirred_insulated --cycle ./cold.toml
says "cold.toml:9"
says "ambient"
[ ! -e "$BAKEWRIGHT_BOOK" ] || fail "a refused prediction made a book"

printf 'a,b\n1,2\n3,4\n' >no_time.csv
run 2 import no_time.csv
printf 'Time [s],T [C]\n0,20\n10,warm\n20,22\n' >text.csv
run 0 import text.csv --dry-run
says "says 'warm' instead of a number once (first in line 3)"
printf 'Time [s],T [C]\n0,20\n20,21\n10,22\n' >backwards.csv
run 2 import backwards.csv
says "backwards.csv:4"
: >empty.csv
run 2 import empty.csv
head -c 5000 /dev/urandom >binary.csv
run 2 import binary.csv
[ ! -e "$BAKEWRIGHT_BOOK" ] || fail "a refused log made a book"

# Fahrenheit numbers under a Celsius heading are asked about before anything else.
{
    printf 'Time [min],roof_skin [C]\n'
    for minute in $(seq 0 2 90); do
        if [ "$minute" -lt 30 ]; then printf '%d,%d\n' "$minute" $((68 + minute * 5 / 2)); else printf '%d,142\n' "$minute"; fi
    done
} >fahrenheit.csv
run 0 import fahrenheit.csv --shell library_van --coating clear_low_bake --book asked.book
run 1 judge 1 --book asked.book
says "Is this log in degrees Fahrenheit?"
run 2 judge 1 --book asked.book --probe "K, IEC 9"
says "IEC 1, IEC 2, IEC 3, ASTM standard, ASTM special"
run 2 judge 1 --book asked.book --uncertainty "-1 K"
run 2 judge 1 --book asked.book --uncertainty 1

echo "this is no book, it is a letter to the county" >letter.book
run 2 book list --book letter.book
says "letter.book"
cmp -s letter.book <(echo "this is no book, it is a letter to the county") || fail "a file that is no book was changed"

# A full disk: /dev/full refuses every byte.
run 0 predict --shell test_panel --booth stirred_insulated --cycle clear_60
run 3 report 1 --out /dev/full/report.html || true
status=0
"$program" book export 1 >/dev/full 2>message || status=$?
[ "$status" -eq 3 ] || fail "writing to a full device gave exit status $status"

# A folder that may not be written (root may write anywhere, so only for others).
if [ "$(id -u)" -ne 0 ]; then
    mkdir locked && chmod 500 locked
    run 3 predict --shell test_panel --booth stirred_insulated --cycle clear_60 --book locked/new.book
    run 3 report 1 --out locked/report.html
    chmod 700 locked
fi

finish
