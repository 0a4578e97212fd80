/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/base/nearest.h"

#include <string.h>

#include "base/distance.h"
#include "base/utf8.h"

/* A word as letters, so that a letter of two bytes counts once. */
struct word {
    uint32_t letter[BT_WORD_MAX];
    size_t n;
};

static struct word spell(const char *text, size_t length)
{
    struct word w = {{0}, 0};
    size_t at = 0;
    uint32_t code;

    while (at < length) {
        at += bt_utf8_next(text + at, length - at, &code);
        w.letter[w.n++] = code >= 'A' && code <= 'Z' ? code - 'A' + 'a' : code;
    }
    return w;
}

static size_t least(size_t a, size_t b)
{
    return a < b ? a : b;
}

/* Row by row; [i % 3] are the row of letter i and the two before it. */
static size_t distance(const struct word *a, const struct word *b)
{
    size_t cost[3][BT_WORD_MAX + 1], i, j, change;

    for (j = 0; j <= b->n; j++)
        cost[0][j] = j;
    for (i = 1; i <= a->n; i++) {
        size_t *row = cost[i % 3];
        const size_t *above = cost[(i - 1) % 3], *swapped = cost[(i + 1) % 3];
        row[0] = i;
        for (j = 1; j <= b->n; j++) {
            change = a->letter[i - 1] != b->letter[j - 1];
            row[j] = least(above[j - 1] + change, least(above[j], row[j - 1]) + 1);
            if (i > 1 && j > 1 && a->letter[i - 1] == b->letter[j - 2] &&
                a->letter[i - 2] == b->letter[j - 1])
                row[j] = least(row[j], swapped[j - 2] + 1);
        }
    }
    return cost[a->n % 3][b->n];
}

size_t bt_word_distance(const char *a, size_t na, const char *b, size_t nb)
{
    struct word first, second;
    size_t d;

    if (na > BT_WORD_MAX || nb > BT_WORD_MAX)
        return SIZE_MAX;
    first = spell(a, na);
    second = spell(b, nb);
    d = distance(&first, &second);
    return d <= (first.n + 1) / 2 ? d : SIZE_MAX;
}

const char *bt_nearest(const char *word, size_t length, size_t n,
                       const char *const candidates[])
{
    const char *best = NULL;
    size_t i, d, best_d = SIZE_MAX;

    if (!word || !candidates)
        return NULL;
    for (i = 0; i < n; i++) {
        if (!candidates[i])
            continue;
        d = bt_word_distance(word, length, candidates[i], strlen(candidates[i]));
        if (d < best_d) {
            best_d = d;
            best = candidates[i];
        }
    }
    return best;
}
