/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/sort.h"

#include <stdbool.h>

static bool before(size_t a, size_t b, const double key[])
{
    return key[a] < key[b] || (key[a] == key[b] && a < b);
}

static void sift(size_t root, size_t n, size_t order[], const double key[])
{
    size_t moving = order[root];

    for (size_t child; (child = 2 * root + 1) < n; root = child) {
        if (child + 1 < n && before(order[child], order[child + 1], key))
            child++;
        if (!before(moving, order[child], key))
            break;
        order[root] = order[child];
    }
    order[root] = moving;
}

void sort_by_key(size_t n, size_t order[], const double key[])
{
    for (size_t i = n / 2; i-- > 0;)
        sift(i, n, order, key);
    for (size_t i = n; i-- > 1;) {
        size_t last = order[i];

        order[i] = order[0];
        order[0] = last;
        sift(0, i, order, key);
    }
}
