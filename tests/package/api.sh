#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# usage: api.sh ROOT DOXYFILE FOLDER
# Doxygen makes the book of the public headers in FOLDER (as DOXYFILE says) without a
# warning; every public function has a comment, and stands in the book.
set -eu
root=$1 doxyfile=$2 folder=$3
cd "$root"
rm -rf "$folder"
mkdir -p "$folder"

fail() {
    echo "api.sh: $*" >&2
    exit 1
}

doxygen "$doxyfile" 2>"$folder/warnings" || {
    cat "$folder/warnings" >&2
    fail "doxygen warns"
}
[ ! -s "$folder/warnings" ] || fail "doxygen says: $(cat "$folder/warnings")"

# Where nothing is taken for granted, it names what has no comment.
bare=$({
    cat "$doxyfile"
    echo EXTRACT_ALL=NO
    echo GENERATE_HTML=NO
    echo WARN_AS_ERROR=NO
} | doxygen - 2>&1 | grep '(function)') || true
[ -z "$bare" ] || fail "functions without a comment:
$bare"

functions=$(find include -name '*.h' -exec cat {} + | tr '\n' ' ' |
    grep -o 'BT_API [^(;]*(' | grep -o 'bt_[a-z0-9_]*($' | tr -d '(' | sort -u)
shown=$(cat "$folder"/*_8h.html | grep -o 'memtitle.*()' | grep -o 'bt_[a-z0-9_]*()' |
    tr -d '()' | sort -u)
[ "$(echo "$functions" | wc -l)" -gt 100 ] || fail "hardly a function found in include"
[ "$functions" = "$shown" ] || fail "declared in the headers, and shown in the book:
$functions
--
$shown"
