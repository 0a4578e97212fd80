#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# usage: globals.sh LIBRARY.a: fails where an object has writable data.  Tables that only
# need relocation (.data.rel.ro) are read-only once loaded.
set -eu
found=$(size -A "$1" | awk '
    / :$/ || /^[^ ]+ *\(ex / { object = $1 }
    $1 ~ /^\.(data|bss|tdata|tbss)$/ && $2 > 0 { print object, $1, $2 }')
[ -z "$found" ] || {
    echo "writable globals:" >&2
    echo "$found" >&2
    exit 1
}
