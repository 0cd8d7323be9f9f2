#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# A real log end to end: aluminium rods in a convection oven (tests/data/nist-oven-rods). Imported by the ordinary command, its air
# replayed through a model of each rod, compared. What came out stands in docs/real-logs.md.
# shellcheck source-path=SCRIPTDIR source=support.sh
source "$(dirname "$0")/support.sh"

data="$project/tests/data/nist-oven-rods"
run 0 import "$data/Oven_Test_002_avg_cut.csv" --shell "$data/profiles/oven_rods.toml"
says "booth_air"
run 0 predict --shell "$data/profiles/oven_rods.toml" --booth "$data/profiles/convection_oven.toml" --air-from 1
says "kept as bake 2"
run 0 compare 2 1
says "Al 1/2 inch"
says "Al 1 inch"
# The bounds on the differences are held by tests/tune/oven_rods_test.cpp.

finish
