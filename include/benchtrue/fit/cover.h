/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_FIT_COVER_H
#define BENCHTRUE_FIT_COVER_H

#include <stdbool.h>

#include "benchtrue/fit/outline.h"

/*
 * The outline of a piece laid on a rectangular blank, which must cover it.  The blank's
 * frame: back edge on y = 0, left end on x = 0.  A turn is positive where it takes the
 * outline's right end to the front.
 */

struct bt_cover_request {
    const struct bt_outline *outline;
    double length, width; /* of the blank, mm, > 0; INFINITY: as long as need be */
    double turn_most; /* rad, 0 to BT_COVER_TURN_MOST; 0: the piece's back edge stays
                         parallel to the blank's */
};
#define BT_COVER_TURN_MOST 0.7853981633974483 /* an eighth of a turn */

struct bt_cover {
    bool fits;            /* every margin is >= 0 */
    double turn;          /* rad */
    struct bt_point at;   /* where the outline's corner A comes to lie */
    double length, width; /* extent of the outline so turned, mm */
    double across, along; /* least margin at the two edges, at the two ends, mm; below 0
                             where the blank is too small */
};

/* Extent of the outline turned about its origin, mm; all 0 for an empty one. */
BT_API void bt_cover_extent(const struct bt_outline *outline, double turn,
                            struct bt_point *low, struct bt_point *high);

/* A place of the outline's frame so turned. */
BT_API struct bt_point bt_cover_turned(struct bt_point p, double turn);

/*
 * Lay the outline on the middle of the blank, turned so that its least margin is the
 * greatest (of equal ones the smaller turn).  Exact: with its convex hull between two
 * hull edges that lie along or across each extent is one sine, so the greatest least
 * margin stands at such a turn, at the most allowed, or where the two margins are
 * equal.
 *
 *   out  untouched on error
 *
 * Returns BT_OK; BT_EINPUT (fewer than 3 points, one that is not finite, a size that is
 * not > 0, both infinite, a turn outside its range); BT_ENOMEM.
 */
BT_API enum bt_status bt_cover_find(const struct bt_cover_request *request,
                                    struct bt_cover *out, struct bt_error *err);

#endif
