#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# usage: library.sh cmake|pkg-config shared|static PREFIX ROOT WORK
# Builds docs/example of ROOT in the new folder WORK against what is installed under
# PREFIX, and runs it: it must give the sample's verdict, and load the library from
# PREFIX or, static, from nowhere.
set -eu
finder=$1 kind=$2 prefix=$3 root=$4 work=$5
rm -rf "$work"
mkdir -p "$work"

fail() {
    echo "library.sh $finder $kind: $*" >&2
    exit 1
}

# Nothing but PREFIX is searched for the shared one: it must need no other package.
build_pkg_config() {
    pc=$(dirname "$(find "$prefix" -name benchtrue.pc)")
    cflags=$(PKG_CONFIG_LIBDIR=$pc pkg-config --cflags benchtrue)
    if [ "$kind" = shared ]; then
        libs="$(PKG_CONFIG_LIBDIR=$pc pkg-config --libs benchtrue) -Wl,-rpath,$libdir"
    else
        libs=$(PKG_CONFIG_LIBDIR=$pc pkg-config --static --libs benchtrue |
            sed 's/-lbenchtrue\b/-l:libbenchtrue.a/')
    fi
    # shellcheck disable=SC2086
    "${CC:-cc}" -std=c11 -Wall -Wextra -Werror $cflags "$root/docs/example/verdict.c" \
        $libs -o "$work/verdict"
}

build_cmake() {
    if [ "$kind" = static ]; then set -- -DVERDICT_STATIC=ON; else set --; fi
    cmake -S "$root/docs/example" -B "$work" -DCMAKE_PREFIX_PATH="$prefix" "$@"
    cmake --build "$work"
}

libdir=$(dirname "$(find "$prefix" -name libbenchtrue.so)")
if [ "$finder" = cmake ]; then build_cmake; else build_pkg_config; fi

loaded=$(ldd "$work/verdict" | sed -n 's/^[[:blank:]]*libbenchtrue.* => \(.*\) (.*/\1/p')
case $kind in
shared) [ "$(dirname "$loaded")" = "$libdir" ] || fail "loads '$loaded', not $libdir" ;;
static) [ -z "$loaded" ] || fail "loads '$loaded'" ;;
esac

# verdict JOB STATUS: run it, kept beside what it printed before.
verdict() {
    status=0
    "$work/verdict" "$1" >>"$work/out" 2>>"$work/err" || status=$?
    [ "$status" -eq "$2" ] || fail "ends with $status of $1, not $2"
}

mkdir "$work/strict"
cp "$root"/sample-data/cherry-shelf/* "$work/strict"
sed 's/^cup = .*/cup = 0.5 mm/' "$root/sample-data/cherry-shelf/job.ini" \
    >"$work/strict/job.ini"
verdict "$root/sample-data/reading-room-table" 0
verdict "$work/strict" 1
verdict "$work/nowhere" 65
diff "$root/tests/package/verdict.txt" "$work/out" || fail "prints other verdicts"
grep -q "/nowhere" "$work/err" || fail "does not say which job is missing"
