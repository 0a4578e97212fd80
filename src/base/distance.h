/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_BASE_DISTANCE_H
#define BENCHTRUE_BASE_DISTANCE_H

#include <stddef.h>
#include <stdint.h>

/* Longest word, in bytes, that is compared. */
enum { BT_WORD_MAX = 63 };

/*
 * Optimal string alignment distance of two words, case ignored: the least
 * number of letters inserted, left out, replaced or swapped with their neighbour
 * where no stretch is changed twice.  SIZE_MAX where it is over half the letters
 * of a, rounded up, or where either word is longer than BT_WORD_MAX.
 */
size_t bt_word_distance(const char *a, size_t na, const char *b, size_t nb);

#endif
