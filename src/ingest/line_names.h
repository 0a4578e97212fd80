/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_INGEST_LINE_NAMES_H
#define BENCHTRUE_INGEST_LINE_NAMES_H

#include <stdbool.h>

#include "ingest/say.h"

/* Names of straightedge lines: which one a misspelt name may stand for. */

enum { BT_LINES_COMPARED = 16 };

/* Can one be a slip for the other?  Not where both name corners, and others: B-D is
 * not A-C misspelt.  D-B is B-D named the other way round. */
bool bt_line_may_be(const char *a, size_t na, const char *b, size_t nb);

/* The nearest of the first BT_LINES_COMPARED that it may be, NULL where none is
 * near. */
const char *bt_line_nearest(const char *word, size_t length, size_t n,
                            const char *const known[]);

/* As bt_say_known, for names of lines. */
const char *bt_say_line(char out[BT_KNOWN_ROOM], const char *word, size_t length,
                        size_t n, const char *const known[]);

#endif
