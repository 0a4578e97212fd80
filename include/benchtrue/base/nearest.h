/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_BASE_NEAREST_H
#define BENCHTRUE_BASE_NEAREST_H

#include <stddef.h>

#include "benchtrue/export.h"

/*
 * The candidate that a misspelt word was most likely meant to be: least number
 * of letters inserted, left out, replaced or swapped with their neighbour
 * (optimal string alignment distance), case ignored, the first candidate on a
 * tie.  NULL when none is within half the word's letters, rounded up, or when
 * there are no candidates.  Words longer than 63 bytes have no nearest.
 */
BT_API const char *bt_nearest(const char *word, size_t length, size_t n,
                              const char *const candidates[]);

#endif
