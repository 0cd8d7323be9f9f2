# SPDX-License-Identifier: Apache-2.0
# Helpers of the command tests. Sourced with: program, project folder.
# shellcheck shell=bash
set -euo pipefail

program=$1
project=$2
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
export BAKEWRIGHT_PROFILES="$project/profiles" BAKEWRIGHT_BOOK="$work/test.book" HOME="$work" NO_COLOR=1 LC_ALL=C.UTF-8
unset XDG_DATA_HOME BAKEWRIGHT_UNITS
cd "$work"
failures=0

fail() {
    echo "FAILED: $*"
    failures=$((failures + 1))
}

# run STATUS words...: runs the program, keeps its output in "$out", checks its exit status. Answers that have parts are asked for
# in full (--details); how they look without stands in short_answers.sh.
run() {
    local expected=$1 status=0
    shift
    case "$1 $* " in
        *" --json "* | *" --details"* | *" --help "* | *" - "*) ;;
        "plan "* | "predict "* | "judge "* | "compare "* | "tune "* | "import "*) set -- "$@" --details ;;
    esac
    out=$("$program" "$@" 2>&1) || status=$?
    [ "$status" -eq "$expected" ] || fail "bakewright $*: exit status $status, expected $expected: $out"
}

# says TEXT: the last output holds it.
says() {
    case "$out" in
        *"$1"*) ;;
        *) fail "expected '$1' in: $out" ;;
    esac
}

finish() {
    [ "$failures" -eq 0 ] || {
        echo "$failures checks failed"
        exit 1
    }
    echo "all checks held"
}
