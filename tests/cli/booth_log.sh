#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# A log of the empty booth makes its profile: from answers or from a profile, whose remarks stay; what is no such log is refused.
# shellcheck source-path=SCRIPTDIR source=support.sh
source "$(dirname "$0")/support.sh"

log=$project/tests/data/demo/empty_booth.csv
north=(new booth --size "11 x 5 x 4.5 m" --walls "single sheet")

# power FILE: whole kilowatts of a profile.
power() { sed -nE 's/^power = "([0-9]+)(\.[0-9]+)? kW".*/\1/p' "$1"; }

# The truth has 128 kW (tests/data/demo/SOURCE.md): with a plate of 150 kW or none at all the log says so within a tenth.
run 0 "${north[@]}" --heat "150 kW" --from-log "$log" --set "60 C" --out plate.toml
says "What the log of the empty booth tells"
run 0 "${north[@]}" --from-log "$log" --out guess.toml
says "what was set: --set"
for file in plate guess; do
    kw=$(power $file.toml)
    [ "$kw" -ge 115 ] && [ "$kw" -le 141 ] || fail "$file: $kw kW, the truth is 128"
    run 0 check $file.toml
done
run 0 "${north[@]}" --heat "150 kW" --from-log "$log" --set "60 C" --out again.toml
cmp -s plate.toml again.toml || fail "the same log gives other bytes"

# A profile of the shop's own keeps what its owner wrote, and is not written over unasked.
run 0 "${north[@]}" --title "North booth" --heat "150 kW"
own=$work/.local/share/bakewright/own_profiles/booths/north_booth.toml
sed -i '1i # ours since 1998' "$own"
sed -i -E 's/^(ambient = .*)$/\1  # by the thermometer at the door/' "$own"
run 2 new booth --booth north_booth --from-log "$log"
says "there already"
run 0 new booth --booth north_booth --from-log "$log" --set "60 C" --replace
for kept in "# ours since 1998" "# by the thermometer at the door" "log of the empty booth, empty_booth.csv"; do
    grep -qF "$kept" "$own" || fail "the profile has lost: $kept"
done
run 0 check "$own"
# Told twice it is told once: the profile has each learned number once.
run 0 new booth --booth north_booth --from-log "$log" --set "60 C" --replace
[ "$(grep -c 'what = "burner power"' "$own")" = 1 ] || fail "what was learned stands twice"

# Columns by what is said of them; in another unit; what is wrong is said.
sed -E '1s/.*/t (s),A,B,C,D,E,F/' "$log" >bare.csv
run 2 "${north[@]}" --from-log bare.csv --temperature-unit degC --out -
says "no channel of the booth's air"
run 0 "${north[@]}" --from-log bare.csv --temperature-unit degC --map A=air --map "B=air at 30 cm" --map "C=air at 4.2 m" --map D=wall --map E=floor --map F=outside --out mapped.toml
[ "$(power mapped.toml)" = "$(power guess.toml)" ] || fail "the same columns by other names give another booth"
run 2 "${north[@]}" --from-log "$log" --map "Wal=wall" --out -
says "is no temperature of"
run 2 "${north[@]}" --from-log "$log" --map "Floor=cellar" --out -
says "is not a place of an empty booth"
run 2 "${north[@]}" --from-log "$log" --map "Air mid=wall" --map "Wall inside=air" --out -
run 2 "${north[@]}" --from-log "$log" --set "160 C" --out -
says "in this unit"
run 2 "${north[@]}" --from-log "$project/tests/data/demo/clear_group_1.csv" --out -
run 2 "${north[@]}" --from-log no_such.csv --out -
head -c 1200 "$log" >short.csv
run 2 "${north[@]}" --from-log short.csv --out -
head -c 20000 /dev/urandom >noise.csv
run 2 "${north[@]}" --from-log noise.csv --out -
run 2 new shell --from-log "$log"
finish
