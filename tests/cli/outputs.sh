#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Nothing destroyed, every end clean: what --out, --csv and --card may name, output that cannot be written, signals, pipes among
# profiles, text without end.
# shellcheck source-path=SCRIPTDIR source=support.sh
source "$(dirname "$0")/support.sh"

panel=(predict --shell test_panel --booth stirred_insulated --cycle clear_60)
run 0 "${panel[@]}"

# Every option that names a file of ours, tried on a pipe, a link, a folder and nothing.
outputs=("report 1 --out" "report 1 --csv" "report 1 --coating clear_low_bake --card" "book export 1 --out" "predict --shell test_panel --booth stirred_insulated --cycle clear_60 --no-store --csv")
for words in "${outputs[@]}"; do
    read -r -a command <<<"$words"
    mkfifo pipe
    timeout 60 cat pipe >through &
    run 0 "${command[@]}" pipe
    wait
    [ -p pipe ] || fail "$words: the pipe was replaced"
    [ -s through ] || fail "$words: nothing came through the pipe"
    echo old >real
    ln -s real link
    run 0 "${command[@]}" link
    [ -L link ] || fail "$words: the link was replaced"
    cmp -s real through || [ "$(wc -c <real)" -gt 4 ] || fail "$words: the link's file was not written"
    mkdir folder
    run 2 "${command[@]}" folder
    says "is a folder"
    run 3 "${command[@]}" nowhere/file
    rm -rf pipe link real folder through
done
[ -z "$(find . -name '*.new')" ] || fail "something unfinished was left: $(find . -name '*.new')"

# Devices: a full one of this test's own, where root runs it; the system's is opened for writing only.
if mknod full c 1 7 2>/dev/null && { : >full; } 2>/dev/null; then
    for words in "${outputs[@]}"; do
        read -r -a command <<<"$words"
        run 3 "${command[@]}" full
        says "No space left"
        [ -c full ] || fail "$words: the device was replaced"
    done
fi
for words in "${outputs[@]}"; do
    read -r -a command <<<"$words"
    "$program" "${command[@]}" /dev/stdout >printed 2>message || fail "$words /dev/stdout: $(cat message)"
    [ -s printed ] || fail "$words /dev/stdout printed nothing"
done
[ -e /dev/stdout ] || fail "/dev/stdout is gone"

# A file that is write-protected is not replaced (root may write anywhere, so only for others).
if [ "$(id -u)" -ne 0 ]; then
    echo mine >locked.html && chmod 400 locked.html
    run 3 report 1 --out locked.html
    [ "$(cat locked.html)" = mine ] || fail "a write-protected file was replaced"
fi

# Killed while it writes, then again whole: nothing unfinished stays.
echo half >report.html.999999999.new
for delay in 0.02 0.05 0.1 0.2 0.4; do
    { timeout --signal=KILL "$delay" "$program" report 1 --out report.html >/dev/null || true; } 2>/dev/null
    { timeout --signal=TERM "$delay" "$program" book export --all --out all >/dev/null || true; } 2>/dev/null
    rm -rf all
done
run 0 report 1 --out report.html
run 0 book export --all --out all
grep -q '</html>' report.html || fail "the report is cut short"
[ -z "$(find . -name '*.new')" ] || fail "something unfinished was left: $(find . -name '*.new')"

# Output that cannot be written is work not done, never a fault of the program.
ends() {
    local expected=$1 status=0
    shift
    "$@" 2>message || status=$?
    [ "$status" -eq "$expected" ] || fail "$*: exit status $status, expected $expected: $(cat message)"
}
to_full() { "$program" "$@" >/dev/full; }
closed_out() { "$program" "$@" >&-; }
closed_err() { "$program" "$@" 2>&-; }
closed_all() { "$program" "$@" <&- >&- 2>&-; }
for words in "judge 1 --coating clear_low_bake --json" "book list --json" "book export 1" "check" "manual" "--help" "--version" "plan --help" "completion bash"; do
    read -r -a command <<<"$words"
    ends 3 to_full "${command[@]}"
    grep -q "standard output.* could not be written" message || fail "$words >/dev/full says: $(cat message)"
    ends 3 closed_out "${command[@]}"
    ends 3 closed_all "${command[@]}"
done
ends 2 closed_err judge 99 >/dev/null
ends 2 closed_all judge 99

# What is printed to a closed stream does not land in a file that is opened next.
closed_out report 1 --out closed.html 2>/dev/null || true
grep -q 'wrote' closed.html && fail "printed words are in the report"
grep -q '</html>' closed.html || fail "the report is cut short"

# A pipe among profiles: refused at once, by name and in a list.
mkdir -p own/shells own/coatings
mkfifo own/shells/pipe.toml own/coatings/pipe.toml
cat >hangs.sh <<'SH'
BAKEWRIGHT_PROFILES="own:$BAKEWRIGHT_PROFILES" timeout 60 "$@"
SH
ends 2 bash hangs.sh "$program" check pipe >/dev/null
ends 2 bash hangs.sh "$program" check >/dev/null
ends 2 bash hangs.sh "$program" predict --shell pipe --booth stirred_insulated --cycle clear_60
ends 2 bash hangs.sh "$program" judge 1 --coating pipe
grep -q "not a plain file" message || fail "a pipe as a coating: $(cat message)"

# Text without end is refused wherever it would be kept or printed.
long=$(head -c 100000 /dev/zero | tr '\0' x)
run 2 "${panel[@]}" --title "$long"
says "--title: is 100000 bytes long, allowed at most 400"
run 2 import "$project/tests/data/demo/clear_group_1.csv" --title "$long"
run 2 import "$project/tests/data/demo/clear_group_1.csv" --save-reading "$long"
for option in --name --over --note; do
    run 2 coat add --shell library_van --coating clear_low_bake --at 2027-03-01T08:00 "$option" "$long"
    says "$option: is 100000 bytes long"
done
run 2 "${panel[@]}" --title $'two\nlines'
run 0 book list --json
[ "$(grep -c '"bake":' <<<"$out")" -eq 1 ] || fail "something refused was kept: $out"

# Zones and items that are not there.
run 2 coat add --shell library_van --coating clear_low_bake --at 2027-03-01T08:00 --zone roof_skim
says "--zone: 'roof_skim' is not in shell 'library_van'. Did you mean 'roof_skin'?"
run 2 coat add --shell library_van --coating clear_low_bake --at 2027-03-01T08:00 --zone nope
says "it has roof_skin"
run 2 coat add --shell library_van --coating clear_low_bake --at 2027-03-01T08:00 --zone roof_skin --zone roof_skin
says "given twice"
run 2 coat add --shell library_vam --coating clear_low_bake --at 2027-03-01T08:00
run 2 coat add --shell library_van --coating clear_low_bake --at 2027-03-01T08:00 --book new.book --zone nope
[ ! -e new.book ] || fail "a refused coat made a book"
run 0 coat list --shell library_van --json
case "$out" in *clear*) fail "a refused coat was kept" ;; esac
run 2 history add 1 --shell test_panel --at 2027-03-01T08:00 --zone nope
says "is not in the shell this bake was made with"
finish
