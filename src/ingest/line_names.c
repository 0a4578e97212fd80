/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "ingest/line_names.h"

#include <string.h>

#include "benchtrue/base/nearest.h"
#include "ingest/names.h"

enum { CORNERS = 8 };

static bool is_letter(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (unsigned char)c >= 0x80;
}

/* The corner letters of a name in turn, as small letters: those of words of one or two
 * letters that are all corners (`diagonal A-C`, `AC`, `from a to c`). */
static size_t corners_of(const char *name, size_t length, char out[CORNERS])
{
    size_t n = 0, end;

    for (size_t at = 0; at < length; at = end) {
        bool corners = true;
        for (end = at; end < length && is_letter(name[end]); end++)
            corners = corners && strchr("abcdABCD", name[end]) != NULL;
        if (corners && end > at && end - at <= 2)
            for (size_t i = at; i < end && n < CORNERS; i++)
                out[n++] = (char)(name[i] | 0x20);
        end += end == at;
    }
    return n;
}

bool bt_line_may_be(const char *a, size_t na, const char *b, size_t nb)
{
    char first[CORNERS], second[CORNERS];
    size_t n = corners_of(a, na, first), m = corners_of(b, nb, second);
    bool same = n == m, turned = n == m;

    for (size_t i = 0; i < n && n == m; i++) {
        same = same && first[i] == second[i];
        turned = turned && first[i] == second[n - 1 - i];
    }
    return !n || !m || same || turned;
}

const char *bt_line_nearest(const char *word, size_t length, size_t n,
                            const char *const known[])
{
    const char *fit[BT_LINES_COMPARED];
    size_t nfit = 0;

    for (size_t i = 0; i < n && nfit < BT_LINES_COMPARED; i++)
        if (bt_line_may_be(word, length, known[i], strlen(known[i])))
            fit[nfit++] = known[i];
    return bt_nearest(word, length, nfit, fit);
}

const char *bt_say_line(char out[BT_KNOWN_ROOM], const char *word, size_t length,
                        size_t n, const char *const known[])
{
    return bt_say_near(out, bt_line_nearest(word, length, n, known), n, known);
}
