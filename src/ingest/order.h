/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_INGEST_ORDER_H
#define BENCHTRUE_INGEST_ORDER_H

#include <stddef.h>

#include "benchtrue/base/status.h"

/*
 * Sort indices in place (heapsort: no memory of its own, which qsort may take).
 * compare is below 0, 0 or above 0 as a stands before, beside or after b; equal
 * ones end in any order, so let it compare the indices last.
 */
typedef int bt_compare(const void *what, size_t a, size_t b);

void bt_order(size_t n, size_t index[], bt_compare *compare, const void *what);

/*
 * Sort indices by the number of a bucket, of(what, i) < nbucket, equal ones in the
 * order in which they stood: in time n + nbucket, where a sort by comparing would miss
 * the cache n log n times.  BT_OK or BT_ENOMEM.
 */
typedef size_t bt_bucket(const void *what, size_t i);

enum bt_status bt_order_buckets(size_t n, size_t index[], size_t nbucket, bt_bucket *of,
                                const void *what);

#endif
