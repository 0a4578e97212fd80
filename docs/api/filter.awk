# SPDX-License-Identifier: GPL-3.0-or-later
# Doxygen's input filter for the public headers, whose comments are plain C comments: says
# what each belongs to (the declaration below it, what stands before it on its line, or,
# with a blank line below, the file), keeps indented blocks as they are set, and lets no
# letter of the text mean anything to Doxygen.  Lines keep their numbers.

{ line[NR] = $0 }

function trimmed(text) {
    sub(/^[ \t]+/, "", text)
    sub(/[ \t]+$/, "", text)
    return text
}

# Text as Doxygen takes it; what stands between backticks becomes code.
function escaped(text,    out, i, c, code) {
    for (i = 1; i <= length(text); i++) {
        c = substr(text, i, 1)
        if (c == "`") {
            out = out (in_code ? "</code>" : "<code>")
            in_code = !in_code
        } else if (c == "<") out = out "&lt;"
        else if (c == ">") out = out "&gt;"
        else if (c == "&") out = out "&amp;"
        else if (c ~ /[\\@#%]/) out = out "\\" c
        else out = out c
    }
    return out
}

# What stands in line i of a comment, without its marks.
function content(i, from, to,    text) {
    text = line[i]
    if (i == from) sub(/^.*\/\*/, "", text)
    if (i == to) sub(/[ \t]*\*\/.*$/, "", text)
    if (i > from) sub(/^[ \t]*\*? ?/, "", text)
    else sub(/^ /, "", text)
    return text
}

# Is a line of a comment set by hand, as tables of parameters are?
function set_in(text) { return text ~ /^  +[^ ]/ || text ~ /[^ .:;!?)]  +[^ ]/ }

# Prints the comment of lines from..to, opened as said; behind: of code on its first line.
function comment(from, to, opening, behind,    i, text, before, item, next_in, inside) {
    in_code = 0
    for (i = from; i <= to; i++) {
        text = content(i, from, to)
        before = i > from ? "" : opening " "
        if (text ~ /^-? *$/ || behind) item = 0
        if (text ~ /^- /) item = 1
        inside = !behind && i > from && !item && set_in(text)
        next_in = !behind && i < to && !item && set_in(content(i + 1, from, to))
        if (inside) {
            if (!block) { # Doxygen drops the blanks of the first line
                match(text, /^ */)
                margin = RLENGTH
            }
            match(text, /^ */)
            text = substr(text, 1 + (RLENGTH < margin ? RLENGTH : margin))
            text = (block ? "" : "\\verbatim ") text (next_in ? "" : "\\endverbatim")
            block = next_in
        } else text = escaped(trimmed(text))
        if (i == to && in_code) text = text "</code>"
        print before text (i == to ? " */" : "")
    }
}

# The last line of the comment that begins in line i.
function end_of(i) {
    while (i < NR && line[i] !~ /\*\//) i++
    return i
}

END {
    name = FILENAME
    sub(/^.*include\//, "", name)
    for (i = 1; i <= NR; i++) {
        at = index(line[i], "/*")
        # one comment stands above several functions
        if (line[i] ~ /^BT_API/ && line[i - 1] ~ /;$/)
            printf "/** \\copydoc %s */ ", named
        else if (line[i] ~ /^BT_API/ && match(line[i], /bt_[a-z0-9_]+\(/))
            named = substr(line[i], RSTART, RLENGTH - 1)
        if (!at || line[i] ~ /SPDX-License-Identifier/) {
            print line[i]
            continue
        }
        last = end_of(i)
        code = substr(line[i], 1, at - 1)
        below = trimmed(line[last + 1])
        if (trimmed(code) != "") {
            printf "%s", code
            comment(i, last, "/**<", 1)
        } else if (below == "" || below ~ /^\/\*/) comment(i, last, "/** \\file " name, 0)
        else if (below ~ /^(\}|#if|#include)/) comment(i, last, "/*", 0)
        else comment(i, last, "/**", 0)
        i = last
    }
}
