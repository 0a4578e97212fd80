/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_FIT_OUTLINE_H
#define BENCHTRUE_FIT_OUTLINE_H

#include <stddef.h>

#include "benchtrue/base/point.h"
#include "benchtrue/base/status.h"
#include "benchtrue/export.h"

/*
 * Outline of a finished piece, seen from above: a simple polygon.  The corners stand in
 * the order A, (points along AB), B, (along BC), C, (along CD), D, (along DA), and the
 * polygon closes from the last point to the first; p[corner[k]] is corner k.  Frame of
 * the piece: its back edge lies on y = 0 as near as it is straight, A at x = 0, y to
 * the front, mm.
 */
struct bt_outline {
    size_t n; /* 4 or more; 0: none is known */
    struct bt_point *p;
    size_t corner[4]; /* indices of A, B, C, D in p; corner[0] is 0 */
};

/* The outline of a rectangle, to be freed with bt_outline_clear.  BT_OK; BT_ENOMEM
 * where there is no memory (out is then empty).  length, width: mm, > 0. */
BT_API enum bt_status bt_outline_rectangle(double length, double width,
                                           struct bt_outline *out);

/* Its extent, mm: the smallest rectangle along the back edge that holds it; all 0 for
 * an empty one. */
BT_API void bt_outline_extent(const struct bt_outline *outline, struct bt_point *low,
                              struct bt_point *high);

/* Its area, mm2, > 0 for a polygon in the order above. */
BT_API double bt_outline_area(const struct bt_outline *outline);

BT_API void bt_outline_clear(struct bt_outline *outline);

#endif
