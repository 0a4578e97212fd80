#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# usage: man.sh PROGRAM FOLDER
# The man pages in FOLDER have no fault that mandoc or groff knows; there is one for the
# program and one for each verb that `benchtrue help` lists, and what `help` says of a
# verb stands in its page, word for word.
set -eu
program=$1 folder=$2
failed=0

fail() {
    echo "man.sh: $*" >&2
    failed=1
}

# The text of a page, or of stdin, in one line with single blanks: neither breaks lines
# as the other does.
flat() {
    tr -s ' \t\n' ' '
}
page_text() {
    mandoc -T ascii -O width=1000 "$1" | sed "s/.$(printf '\b')//g" | flat
}

# holds PAGE TEXT WHAT
holds() {
    case $1 in
    *"$2"*) ;;
    *) fail "$3 is not in the page: $2" ;;
    esac
}

# section NAME: its lines in a help text on stdin, up to the next blank line.
section() {
    sed -n "/^$1\$/,/^\$/p" | sed 1d | flat | sed 's/^ //; s/ $//'
}

mandoc -T lint -W warning "$folder"/*.1 || fail "mandoc complains"
for page in "$folder"/*.1; do
    said=$(groff -man -ww -z -Kutf8 -Tutf8 "$page" 2>&1)
    [ -z "$said" ] || fail "groff says of $page: $said"
done

general=$(page_text "$folder/benchtrue.1")
verbs=$("$program" help | sed -n 's/^  benchtrue \([a-z]*\) .*/\1/p')
pages=1
for verb in $verbs; do
    pages=$((pages + 1))
    line=$("$program" help | sed -n "s/^  \(benchtrue $verb .*\)/\1/p" | flat)
    holds "$general" "${line% }" "$verb"
    [ -f "$folder/benchtrue-$verb.1" ] || {
        fail "$verb has no page"
        continue
    }
    text=$(page_text "$folder/benchtrue-$verb.1")
    help=$("$program" help "$verb")
    usage=$(echo "$help" | awk 'BEGIN { RS = "" } NR == 2' | flat)
    usage=${usage% }
    holds "$text" "SYNOPSIS${usage} DESCRIPTION" "the usage of $verb"
    prose=$(echo "$help" | awk 'BEGIN { RS = "" } NR == 3' | flat)
    [ -n "$prose" ] || fail "'benchtrue help $verb' says nothing"
    case $prose in
    Options* | Example*) ;; # the summary says all
    *) holds "$text" "${prose% }" "what $verb does" ;;
    esac
    for part in Options Example 'Exit status'; do
        holds "$text" "$(echo "$help" | section "$part")" "$part of $verb"
    done
done
[ "$pages" -gt 5 ] || fail "'benchtrue help' lists hardly a verb"
[ "$(ls "$folder"/*.1 | wc -l)" -eq "$pages" ] || fail "there are pages without a verb"
exit "$failed"
