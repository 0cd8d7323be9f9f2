#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# A shop's own profiles under the very prefix the program is installed under: they win, are listed once, and survive every
# installation; those of a shop that kept them in the old folder do as well.
# shellcheck source-path=SCRIPTDIR source=support.sh
source "$(dirname "$0")/support.sh"

unset BAKEWRIGHT_PROFILES
built=$program
prefix=$work/.local  # HOME is $work
share=$prefix/share/bakewright

# What an installation does, without building again: the program beside the profiles, and the script that installations run.
install_again() {
    mkdir -p "$prefix/bin" "$share/shipped_profiles"
    cp "$built" "$prefix/bin/bakewright"
    cp -r "$project/profiles/." "$share/shipped_profiles"
    cmake -DOLD_FOLDER="$share/profiles" -DONCE_SHIPPED="$project/tools/cmake/once_shipped.sha256" \
        -P "$project/tools/cmake/KeepOwnProfiles.cmake" >installed 2>&1 || fail "$(cat installed)"
}

# An older version under this prefix: shipped profiles and the shop's own in one folder, one of the shipped ones changed.
mkdir -p "$share/profiles/coatings" "$share/profiles/booths"
while read -r hash path; do
    [ "$path" = coatings/clear_low_bake.toml ] || continue
    was=$hash
done <"$project/tools/cmake/once_shipped.sha256"
[ -n "$was" ] || fail "clear_low_bake is not among what was once shipped"
git -C "$project" show "$(git -C "$project" log --format=%H -1 -- tools/cmake/once_shipped.sha256 2>/dev/null)^:profiles/coatings/clear_low_bake.toml" >once.toml 2>/dev/null || cp "$project/profiles/coatings/clear_low_bake.toml" once.toml
cp once.toml "$share/profiles/coatings/clear_low_bake.toml"
sed 's/^title = .*/title = "our primer, changed in place"/' "$project/profiles/coatings/primer_epoxy.toml" >"$share/profiles/coatings/primer_epoxy.toml"
sed 's/^title = .*/title = "our own booth"/' "$project/profiles/booths/stirred_insulated.toml" >"$share/profiles/booths/our_booth.toml"
install_again
program=$prefix/bin/bakewright

titled() { grep -c "title.*$1" <<<"$out" || true; }
run 0 check --json
[ "$(titled "our primer, changed in place")" -eq 1 ] || fail "the changed profile of the old folder is not listed once"
[ "$(titled "our own booth")" -eq 1 ] || fail "the own profile of the old folder is not listed once"
[ "$(grep -c '/primer_epoxy.toml"' <<<"$out")" -eq 1 ] || fail "a name is listed twice"
if [ "$(sha256sum <once.toml | cut -d' ' -f1)" = "$was" ]; then
    [ ! -e "$share/profiles/coatings/clear_low_bake.toml" ] || fail "an unchanged profile of an older version stays in the way"
fi

# Saved in the page's folder: it wins over both, and no installation touches it.
mkdir -p "$share/own_profiles/coatings"
sed 's/^title = .*/title = "ours, newest"/' "$project/profiles/coatings/primer_epoxy.toml" >"$share/own_profiles/coatings/primer_epoxy.toml"
find "$share/own_profiles" "$share/profiles" -type f -exec sha256sum {} + | sort >before
install_again
install_again
find "$share/own_profiles" "$share/profiles" -type f -exec sha256sum {} + | sort >after
cmp -s before after || fail "an installation changed what is the shop's own: $(diff before after)"
run 0 check --json
[ "$(titled "ours, newest")" -eq 1 ] || fail "the shop's own does not win"
[ "$(titled "our primer, changed in place")" -eq 0 ] || fail "the older one is listed beside it"
[ "$(grep -c '/primer_epoxy.toml"' <<<"$out")" -eq 1 ] || fail "a name is listed twice"

# Its terms, and those of all it is made with: whatever is linked has its line.
run 0 --licences
for name in "Apache License, version 2.0" Boost dygraphs Eigen fast_float fmt "JSON for C++" OpenSSL SQLite "toml++" Zstandard "Permission is hereby granted"; do
    grep -qF "$name" <<<"$out" || fail "--licences says nothing of $name"
done

# No profile anywhere is never "0 mistakes"; and in a root without /proc the profiles beside the program are found all the same.
mkdir -p alone/bin
cp "$program" alone/bin
none=0
HOME=$work/alone "$work/alone/bin/bakewright" check >said 2>&1 || none=$?
[ "$none" -eq 2 ] && grep -q "There is no profile in" said || fail "without any profile, check ends with $none: $(cat said)"
if unshare --mount true 2>/dev/null; then
    bare=$(unshare --mount bash -c 'umount --lazy /proc && exec "$0" check' "$program") || fail "without /proc, check ends with $?"
    grep -q "profiles/booths/our_booth.toml" <<<"$bare" || fail "without /proc the profiles beside the program are not found"
else
    echo "skipped: may not hide /proc from a process"
fi
finish
