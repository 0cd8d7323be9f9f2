#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# tools/check-shown compares numbers in prose with what the commands of a section print.
# shellcheck source-path=SCRIPTDIR source=support.sh
source "$(dirname "$0")/support.sh"

# page STATUS TEXT: a page of one section whose command prints a table line and a sentence, and then the text.
page() {
    printf '# A page\n\n    $ echo "stirring the air  66  1 h 6 min"; echo "baffle  not enough"; echo "That is 97 %% sure."\n    That is 97 %% sure.\n\n%s\n' "$2" >page.md
    local status=0
    out=$("$project/tools/check-shown" --program "$program" page.md 2>&1) || status=$?
    [ "$status" -eq "$1" ] || fail "exit status $status, expected $1, for: $2: $out"
}

page 0 'It is 97 % sure.'
page 1 'It is 7 % sure.'
says "page.md:6: 7 %"
page 1 'It is 97.5 % sure.'
page 1 'Stirring takes 66 °C.'
page 0 '<!-- line: stirring --> Stirring takes 66 °C and 1 h 6 min.'
page 1 '<!-- line: stirring --> Stirring takes 66 °C and 1 h 1 min.'
page 1 '<!-- line: stirring --> Stirring takes 6 °C.'
page 0 '<!-- line: baffle --> A baffle is "not enough".'
page 1 '<!-- line: baffle --> A baffle is "enough for all".'
page 1 '<!-- line: stirring --> A baffle is "not enough".'
page 1 '<!-- line: fan --> A fan takes 66 °C.'
page 1 '<!-- line: stirring --> Nothing that could be checked.'
# shellcheck disable=SC2016  # the quotes are Markdown's
page 0 'The sheet says <!-- by hand --> 140 °F, in code `--hold "12 min"`.'
page 1 '12 min here, then <!-- by hand --> 140 °F.'
page 0 '## Another section'
page 1 '## Another section

That is 97 % sure.'
finish
