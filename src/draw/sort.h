/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_DRAW_SORT_H
#define BENCHTRUE_DRAW_SORT_H

#include <stddef.h>

/*
 * Put the n indices of order into ascending order of key[index], equal keys in order of
 * index.  Heapsort: takes no memory, which the C library's qsort may.
 */
void sort_by_key(size_t n, size_t order[], const double key[]);

#endif
