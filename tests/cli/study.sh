#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Many bakes at once: each as one command would answer it, in order, the same whatever goes side by side, and again from where it stopped.
# shellcheck source-path=SCRIPTDIR source=support.sh
source "$(dirname "$0")/support.sh"

of='"shell": "library_van", "booth": "stirred_insulated", "coating": "clear_low_bake"'
cat >cases.jsonl <<JSON
{"id": "tried", $of, "set-point": "61 degC", "hold": "63 min"}
{"id": "predicted", $of, "cycle": "clear_60"}

{"id": 3, $of, "set-point": ["61 to 64 degC"], "longest-hold": "2 h"}
{"id": "thicker", $of, "set-point": "61 degC", "hold": "63 min", "changes": {"shell.zone[0].layers[0].thickness": "3 mm"}}
{"id": "too short", $of, "set-point": "61 degC", "hold": "5 min", "confidence": "none"}
{"id": "none", $of, "set-point": "50 degC", "longest-hold": "20 min", "members": 40}
{"id": "no such shell", "shell": "library_vam", "booth": "stirred_insulated", "coating": "clear_low_bake"}
{"id": "no such key", $of, "set_point": "61 degC"}
{"id": "a file of the user's", $of, "out": "planned.toml"}
{"id": "wrong change", $of, "set-point": "61 degC", "hold": "63 min", "changes": {"shell.zone[0].layers[0].thicknes": "3 mm"}}
{"id": "out of range", $of, "set-point": "61 degC", "hold": "63 min", "changes": {"booth.volume": "-1 m3"}}
[1, 2]
not JSON <script>
{"id": "last", $of, "cycle": "clear_60", "hold": "5 min"}
JSON
run 2 study cases.jsonl --threads 1
printf '%s\n' "$out" >one
run 2 study cases.jsonl --threads 3
printf '%s\n' "$out" >three
cmp -s one three || fail "three threads answer otherwise than one"
"$program" study <cases.jsonl >piped || true
cmp -s one piped || fail "standard input is answered otherwise than a file"
[ ! -e planned.toml ] || fail "a case wrote a file"

# The same words and chances as the commands that answer one bake.
"$program" plan --shell library_van --booth stirred_insulated --coating clear_low_bake --set-point "61 degC" --hold "63 min" --json >plan.json
"$program" plan --shell library_van --booth stirred_insulated --coating clear_low_bake --set-point "61 to 64 degC" --longest-hold "2 h" --json >search.json
"$program" predict --shell library_van --booth stirred_insulated --coating clear_low_bake --cycle clear_60 >/dev/null
"$program" judge 1 --json >judged.json || [ $? -eq 1 ]  # a word that is not GOOD is an answer
python3 - <<'PY' || fail "the answers are not those of the single commands, see above"
import json
lines = [json.loads(line) for line in open("one")]
plan, search, judged = (json.load(open(name)) for name in ("plan.json", "search.json", "judged.json"))
assert [line["line"] for line in lines] == [1, 2, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15], "an answer for each case, in order"
tried, predicted, planned, thicker, short, none, *wrong = lines
def zones(verdict):
    return {zone["zone"]: (zone["word"], zone["certainty"]["good"]) for zone in verdict["zones"]}
def told(line):
    return {zone["zone"]: (zone["word"], zone["good"]) for zone in line["zones"]}
assert (tried["kind"], tried["word"], tried["chance"]) == ("tried", plan["word"], plan["chance"]), tried
assert told(tried) == zones(plan["verdict"])
assert (predicted["kind"], predicted["word"], predicted["chance"]) == ("predicted", judged["worst"], judged["chance"]), predicted
assert told(predicted) == zones(judged)
assert (planned["id"], planned["setpoint_k"], planned["hold_s"], planned["chance"]) == (
    3, search["chosen"]["setpoint_k"], search["chosen"]["hold_s"], search["chance"]), planned
first = tried["zones"][0]["zone"]
assert thicker["zones"] != tried["zones"], "a thicker skin changes nothing"
assert short["word"] == "UNDER" and short["chance"] is None, short
assert none["feasible"] is False and none["why"] and "word" not in none, none
assert [line["id"] for line in wrong if "id" in line] == ["no such shell", "no such key", "a file of the user's", "wrong change", "out of range", "last"]
assert all(line["error"]["status"] == 2 and line["error"]["problems"][0]["message"] for line in wrong)
by = {line.get("id", line["line"]): line["error"]["problems"][0] for line in wrong}
assert "set-point" in by["no such key"]["message"], by["no such key"]
assert by["wrong change"]["line"] > 0 and "thickness" in by["wrong change"]["message"]
assert "m3" in by["out of range"]["message"], by["out of range"]
assert by["last"]["key"] == "hold", by["last"]
PY

# Stopped in the middle of an answer and started again: the same bytes. Answers of other cases are left alone.
head -c "$(($(head -n 3 one | wc -c) + 40))" one >again
run 2 study cases.jsonl --out again
cmp -s one again || fail "a study that goes on gives other answers"
run 2 study cases.jsonl --out again
cmp -s one again || fail "a finished study is answered again"
sed 's/"tried"/"other"/; 2,$d' cases.jsonl >other.jsonl
printf '{"id": "x"}\n%.0s' 1 2 3 4 5 6 7 8 9 10 11 12 13 14 >>other.jsonl
run 2 study other.jsonl --out again
cmp -s one again || fail "answers of another study were written to"
# Handed out over processes by a tool of others, order kept: the same answers but for the numbers of lines, which each counts for itself.
if command -v parallel >/dev/null; then
    head -n 7 cases.jsonl | grep . >good.jsonl
    export PARALLEL_HOME=$work/parallel
    mkdir -p "$PARALLEL_HOME" && touch "$PARALLEL_HOME/will-cite"
    parallel --pipe --keep-order -N 2 --jobs 3 "$program" study --threads 1 <good.jsonl >handed_out || fail "parallel ended with $?"
    "$program" study good.jsonl >at_once || true
    diff <(sed 's/"line":[0-9]*,//' handed_out) <(sed 's/"line":[0-9]*,//' at_once) >differences || fail "handed out, cases are answered otherwise: $(head -c 600 differences)"
else
    echo "skipped: GNU parallel is not installed"
fi

run 0 study --out fresh - </dev/null
run 2 study nowhere.jsonl
head -c 3000000 /dev/zero | tr '\0' x >long.jsonl
run 2 study long.jsonl
says "longer than 1 MiB"
finish
