/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "ingest/order.h"

static void sift(size_t root, size_t n, size_t index[], bt_compare *compare,
                 const void *what)
{
    size_t moved = index[root], child;

    while ((child = 2 * root + 1) < n) {
        if (child + 1 < n && compare(what, index[child], index[child + 1]) < 0)
            child++;
        if (compare(what, moved, index[child]) >= 0)
            break;
        index[root] = index[child];
        root = child;
    }
    index[root] = moved;
}

void bt_order(size_t n, size_t index[], bt_compare *compare, const void *what)
{
    size_t sorted = 1;

    /* Files are mostly in order already. */
    while (sorted < n && compare(what, index[sorted - 1], index[sorted]) <= 0)
        sorted++;
    if (sorted >= n)
        return;
    for (size_t i = n / 2; i-- > 0;)
        sift(i, n, index, compare, what);
    for (size_t last = n; last-- > 1;) {
        size_t top = index[0];
        index[0] = index[last];
        index[last] = top;
        sift(0, last, index, compare, what);
    }
}
