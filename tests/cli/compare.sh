#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# A prediction against its log, and the bakes of one booth against each other over the months. The demo log and all that is made
# from it here are invented.
# shellcheck source-path=SCRIPTDIR source=support.sh
source "$(dirname "$0")/support.sh"

demo="$project/tests/data/demo/clear_group_1.csv"
run 0 predict --shell library_van --booth stirred_insulated --cycle clear_60 --coating clear_low_bake
run 0 import "$demo" --shell library_van --booth stirred_insulated --of 1
says "kept as bake 2"
run 0 compare 1 2
right=$out
# What is the log stands in the book: the order of the numbers turns no sign.
run 0 compare 2 1
[ "$out" = "$right" ] || fail "compare 2 1 says other things than compare 1 2"
run 2 compare 1 1
says "both predictions"
run 2 compare 2 2
says "both logs"
run 0 compare 1 2
says "Within what probe and model may be off"
says "thermocouples of type K, IEC 2, tolerance 2.5 K (common practice"
says "256 simulated bakes with the unknowns varied"
says "Verdicts side by side"
run 0 compare 1 2 --json --probe "T, ASTM special"
says '"agreement"'
says '"largest_excess_k"'
says 'thermocouples of type T, ASTM special'
run 0 report 2 --out agreement.html
grep -q "Within what probe and model may be off" agreement.html || fail "the report does not tell whether the channels agree"

# made MONTH SHIFT FILE: the demo log, begun in that month, its air read by so much more.
made() {
    awk -F, -v OFS=, -v month="$1" -v shift="$2" '
        NR == 1 { for (i = 2; i <= NF; i++) $i = $i " (degC)"; print; next }
        NR == 2 { next }
        {
        s = int($1 * 60 + 0.5); $1 = sprintf("2027-%02d-12 %02d:%02d:%02d", month, 8 + int(s / 3600), int(s / 60) % 60, s % 60)
        $2 = sprintf("%.2f", $2 + shift); print }' "$demo" >"$3"
}
for month in 1 2 3 4 5 6; do
    made "$month" "$(awk -v m="$month" 'BEGIN { print -0.8 * m + (m % 2 ? 0.1 : -0.1) }')" "cold_$month.csv"
    run 0 import "cold_$month.csv" --shell library_van --booth stirred_insulated --of 1
done
run 0 compare 3 4 5 6 7 8
says "The booth, bake by bake"
says "2027-06-12"
says "K colder against its set point each month"
says "over 6 bakes"
run 0 compare --booth stirred_insulated --json
says '"format": "bakewright.trend"'
says '"quantity": "air_offset"'
says '"drifts": true'
# The first log has no date.
says "bake 2: left out: no start by the clock."
run 2 compare --booth stirred_insulated --since 2027-05-01
says "a trend takes 3 at least"
run 2 compare --booth stirred_insulatd
says "no logged bake"
run 2 compare 1 2 3
says "is a prediction"
run 2 compare 1 2 --since 2027-01-01
says "goes with --booth"

# The same months without a drift: no alarm.
for month in 1 2 3 4 5 6; do
    made "$month" "$(awk -v m="$month" 'BEGIN { print (m * 7 % 5 - 2) * 0.2 }')" "even_$month.csv"
    run 0 import "even_$month.csv" --shell library_van --booth stirred_insulated --of 1
done
run 0 compare 9 10 11 12 13 14
says "No drift shows"
finish
