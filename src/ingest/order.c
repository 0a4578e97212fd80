/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "ingest/order.h"

#include <string.h>

#include "benchtrue/base/alloc.h"

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

enum bt_status bt_order_buckets(size_t n, size_t index[], size_t nbucket, bt_bucket *of,
                                const void *what)
{
    size_t *start = bt_alloc(nbucket + 1, sizeof *start);
    size_t *sorted = bt_alloc(n, sizeof *sorted);
    enum bt_status status = start && sorted ? BT_OK : BT_ENOMEM;

    if (status == BT_OK) {
        for (size_t i = 0; i < n; i++)
            start[of(what, index[i]) + 1]++;
        for (size_t k = 1; k <= nbucket; k++)
            start[k] += start[k - 1];
        for (size_t i = 0; i < n; i++)
            sorted[start[of(what, index[i])]++] = index[i];
        memcpy(index, sorted, n * sizeof *index);
    }
    bt_free(start);
    bt_free(sorted);
    return status;
}
