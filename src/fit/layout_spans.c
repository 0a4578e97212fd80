/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Lists of intervals of whole numbers. */
#include "fit/layout_private.h"

static void drop(struct spans *s, size_t i)
{
    for (; i + 1 < s->n; i++)
        s->item[i] = s->item[i + 1];
    s->n--;
}

/* Room behind item i; false where there is none. */
static bool split(struct spans *s, size_t i)
{
    if (s->n == SPANS_MAX)
        return false;
    for (size_t k = s->n; k > i + 1; k--)
        s->item[k] = s->item[k - 1];
    s->n++;
    return true;
}

void spans_remove(struct spans *s, whole lo, whole hi, bool *cut)
{
    size_t i = 0;

    if (!s->n || lo > hi || hi < s->item[0].lo || lo > s->item[s->n - 1].hi)
        return;
    while (i < s->n) {
        struct span *at = &s->item[i];
        const whole end = at->hi;

        if (at->hi < lo || at->lo > hi) {
            i++;
        } else if (at->lo >= lo && at->hi <= hi) {
            drop(s, i);
        } else if (at->lo >= lo) {
            at->lo = hi + 1;
            i++;
        } else if (at->hi <= hi) {
            at->hi = lo - 1;
            i++;
        } else if (split(s, i)) {
            s->item[i].hi = lo - 1;
            s->item[i + 1] = (struct span){hi + 1, end};
            return;
        } else {
            *cut = true;
            if (lo - at->lo > end - hi)
                at->hi = lo - 1;
            else
                at->lo = hi + 1;
            return;
        }
    }
}

void spans_keep(struct spans *s, whole lo, whole hi)
{
    size_t n = 0;

    for (size_t i = 0; i < s->n; i++) {
        const struct span at = {s->item[i].lo > lo ? s->item[i].lo : lo,
                                s->item[i].hi < hi ? s->item[i].hi : hi};

        if (at.lo <= at.hi)
            s->item[n++] = at;
    }
    s->n = n;
}

/* Add at the end; touching intervals become one. */
static void append(struct spans *s, struct span at, bool *cut)
{
    if (s->n && at.lo <= s->item[s->n - 1].hi + 1) {
        if (at.hi > s->item[s->n - 1].hi)
            s->item[s->n - 1].hi = at.hi;
    } else if (s->n < SPANS_MAX) {
        s->item[s->n++] = at;
    } else {
        *cut = true;
    }
}

void spans_join(struct spans *s, size_t n, const struct span more[], bool *cut)
{
    struct spans old;
    size_t i = 0, k = 0;

    if (n == 0)
        return;
    /* mostly one interval, that brings nothing new */
    if (n == 1 && s->n == 1 && more->lo >= s->item->lo && more->hi <= s->item->hi)
        return;
    old.n = s->n;
    for (size_t m = 0; m < s->n; m++)
        old.item[m] = s->item[m];
    s->n = 0;
    while (i < old.n || k < n) {
        if (k == n || (i < old.n && old.item[i].lo <= more[k].lo))
            append(s, old.item[i++], cut);
        else
            append(s, more[k++], cut);
    }
}
