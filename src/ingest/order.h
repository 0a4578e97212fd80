/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_INGEST_ORDER_H
#define BENCHTRUE_INGEST_ORDER_H

#include <stddef.h>

/*
 * Sort indices in place (heapsort: no memory of its own, which qsort may take).
 * compare is below 0, 0 or above 0 as a stands before, beside or after b; equal
 * ones end in any order, so let it compare the indices last.
 */
typedef int bt_compare(const void *what, size_t a, size_t b);

void bt_order(size_t n, size_t index[], bt_compare *compare, const void *what);

#endif
