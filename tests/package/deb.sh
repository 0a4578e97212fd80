#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# usage: deb.sh BUILD ROOT WORK
# Packs the build tree with cpack, unpacks the package into the new folder WORK, and uses
# what lies there: the program on the sample, man pages, library.  Each library that is
# loaded must come from a package that it depends on, and it depends on no other.
set -eu
build=$1 root=$2 work=$3
rm -rf "$work"
mkdir -p "$work"

fail() {
    echo "deb.sh: $*" >&2
    exit 1
}

# With make cpack would first have it look whether all is up to date, tests and all.
(cd "$build" && cpack -G DEB -D CPACK_CMAKE_GENERATOR=Ninja -B "$work") >"$work/log" 2>&1 || {
    cat "$work/log" >&2
    fail "cpack fails"
}
deb=$(ls "$work"/*.deb)
dpkg-deb -x "$deb" "$work/root"
usr=$work/root/usr

# ---- control ----
depends=$(dpkg-deb -f "$deb" Depends | tr ',' '\n' | sed 's/^ *//; s/ .*//' | sort -u)
needed=$(find "$usr/bin" "$usr/lib" -type f \( -name benchtrue -o -name '*.so.*' \) \
    -exec objdump -p {} + | sed -n 's/^ *NEEDED *//p' | sort -u)
owners=$(for library in $needed; do
    path=$(ldd "$usr/bin/benchtrue" | sed -n "s|^[[:blank:]]*$library => \([^ ]*\) .*|\1|p")
    dpkg-query -S "$(realpath "$path")" "$path" 2>/dev/null | sed 's/:.*//' | head -n 1
done | sort -u)
[ -n "$owners" ] && [ "$depends" = "$owners" ] || fail "depends on
$depends
and loads
$owners"
[ "$(dpkg-deb -f "$deb" Package)" = benchtrue ] || fail "has another name"

# ---- files ----
odd=$(dpkg-deb -c "$deb" | awk '$1 !~ /^(drwxr-xr-x|-rw[-x]r-[-x]r-[-x]|lrwxrwxrwx)/ ||
    $2 != "root/root" || $6 !~ /^\.\/usr\//')
[ -z "$odd" ] || fail "odd owner, mode or place: $odd"
for page in "$build"/man/*.1; do
    cmp "$page" "$usr/share/man/man1/${page##*/}" || fail "${page##*/} is missing"
done
for file in copyright README.md docs/files.md docs/example/verdict.c reference/README.md; do
    [ -s "$usr/share/doc/benchtrue/$file" ] || fail "$file is missing"
done

# ---- use ----
sample=$usr/share/benchtrue/sample-data
expect=$(grep -m 1 '^Over the limit:' "$root/README.md")
status=0
out=$("$usr/bin/benchtrue" flatness "$sample/reading-room-table" --set 'after glue-up') ||
    status=$?
[ "$status" -eq 1 ] || fail "the program ends with $status of the sample, not 1 (over)"
[ "$(echo "$out" | head -n 1)" = "$expect" ] || fail "another verdict: $out"
"$usr/bin/benchtrue" trend "$sample/cherry-shelf" --figure "$work/trend.pdf" >/dev/null ||
    [ $? -le 2 ] || fail "no answer on the shelf"
[ -s "$work/trend.pdf" ] || fail "no figure"
for kind in shared static; do
    sh "$root/tests/package/library.sh" pkg-config $kind "$usr" "$root" "$work/$kind"
done
