# SPDX-License-Identifier: Apache-2.0
# shellcheck shell=bash
# Sourced by the scripts beside it: where the repository is, and how they speak.

set -euo pipefail

root=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)
jobs=$(nproc 2>/dev/null || echo 2)
export root jobs
# ccache takes files with precompiled headers only where it may trust that these do not hold the time or macros of one build alone.
export CCACHE_SLOPPINESS=${CCACHE_SLOPPINESS:-pch_defines,time_macros}

# Sources joined eight at a time, which reads each header once in eight: a quarter of the time to build from nothing. An area's files
# therefore share their unnamed namespace; a name stands in it once.
joined=(-DCMAKE_UNITY_BUILD=ON -DCMAKE_UNITY_BUILD_BATCH_SIZE=8)
export joined

say() { printf '%s\n' "$*"; }

# Wrong use of a script, or something this machine lacks: exit status 2.
fail() {
    printf '%s: %s\n' "$(basename "$0")" "$*" >&2
    exit 2
}

# The comment block at the head of the script that was called, as its help text.
show_help() { sed -n '2,/^$/ s/^# \{0,1\}//p' "$0"; }

# Installs the system packages, or with "no" only names what is missing: a library may have come another way, and CMake stops where
# one is truly not there.
set_up() {
    if [[ $1 == yes ]]; then
        "$root/tools/setup"
    else
        "$root/tools/setup" --no-install || say "Going on without."
    fi
}
