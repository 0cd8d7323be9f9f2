#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# How far stated chances came true: trust, and what plan, predict and judge rest on.
# shellcheck source-path=SCRIPTDIR source=support.sh
source "$(dirname "$0")/support.sh"

van=(--shell library_van --booth stirred_insulated)
log="$project/tests/data/demo/clear_group_1.csv"

# The same bake on other days, every channel so much warmer: column by column, times and heads left alone.
warmer() { # DAY KELVIN
    python3 - "$log" "$1" "$2" <<'PYTHON'
import re, sys
path, day, more = sys.argv[1], sys.argv[2], float(sys.argv[3])
lines = open(path, encoding="utf-8").read().splitlines()
for i, line in enumerate(lines):
    fields = re.sub(r"\d{4}-\d\d-\d\d", day, line).split(",")
    for c in range(1, len(fields)):
        if re.fullmatch(r"-?\d+\.\d+", fields[c]):
            fields[c] = f"{float(fields[c]) + more:.2f}"
    print(",".join(fields))
PYTHON
}

predict() { # STATUS words...
    local status=$1
    shift
    run "$status" predict "$@" --coating clear_low_bake
}

run 0 plan "${van[@]}" --coating clear_low_bake --set-point "60 degC" --out planned_clear.toml
predict 0 "${van[@]}" --cycle ./planned_clear.toml
says "never yet checked"
run 0 trust
says "Never yet checked against a log in this book"
run 0 judge 1 --json
says "never yet checked against a log in this booth"

run 0 import "$log" "${van[@]}" --of 1
run 0 trust
says "1 log in this book held against the prediction"
says "Brier score"
says "The minute a zone with a probe is good, as a live forecast says it"
run 0 trust --json
says "checked against 1 log in this booth, which count from 3 on"
says '"inside": 8'

# Without --of nobody knows to which prediction a log belongs.
warmer 2027-03-08 0.3 >alone.csv
run 0 import alone.csv "${van[@]}"
run 0 trust --json
says '"logs": 1'

warmer 2027-03-11 0.2 >second.csv
warmer 2027-03-15 -0.2 >third.csv
run 0 import second.csv "${van[@]}" --of 1
run 0 import third.csv "${van[@]}" --of 1
run 0 trust --booth stirred_insulated --json
says "3 logs in booth 'stirred_insulated'"
says "times as wide as assumed"
run 0 trust --booth single_skin
says "Never yet checked against a log in booth 'single_skin'"
# A bake's own logs say nothing of how sure it was.
run 0 judge 1 --json
says "never yet checked against a log in this booth"
predict 0 "${van[@]}" --cycle ./planned_clear.toml
says "checked against 3 logs in this"

# A prediction that was learned from the log knew the answer.
run 0 tune 2 --what film
predict 0 --shell library_van_tuned --booth stirred_insulated_tuned --cycle ./planned_clear.toml
says "never yet checked"
run 2 trust --members 3
finish
