/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_SURFACE_STRAIGHTEDGE_H
#define BENCHTRUE_SURFACE_STRAIGHTEDGE_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/base/status.h"
#include "benchtrue/surface/readings.h"

/* The largest gap under a straightedge that rests on two high points. */
struct bt_edge_gap {
    double gap;         /* mm, >= 0; 0 where no line has a hollow */
    size_t left, right; /* indices of the points it rests on */
    size_t deepest;     /* index of the point under which the gap is */
};

/*
 * Largest gap along one line of points: the largest height of a chord between two of
 * them, no longer than the span, over a point between.
 *
 *   n, s[n], z[n]  places along the line, strictly ascending, and heights; mm
 *   span           length of the edge, mm, > 0; a distance counts as within it up to
 *                  1e-9 of the span, so that a step lost to rounding does not matter
 *   out            indices are positions in s and z; gap 0 with all indices 0 where
 *                  there is no hollow, or none above the rounding of the heights
 *                  (8 x 2.2e-16 of the largest); untouched on error
 *
 * Exact for any steps and any heights.  Where several chords give the same gap any of
 * them is reported.  Fewer than three points have no gap.
 *
 * Returns BT_OK, BT_EINPUT (not finite or not ascending: row is the point; span not
 * above 0) or BT_ENOMEM.
 */
BT_API enum bt_status bt_edge_gap_line(size_t n, const double s[], const double z[],
                                       double span, struct bt_edge_gap *out,
                                       struct bt_error *err);

enum bt_edge_direction {
    BT_EDGE_ALONG,
    BT_EDGE_ACROSS,
    BT_EDGE_DIAGONAL_AC,
    BT_EDGE_DIAGONAL_BD,
    BT_EDGE_DIRECTIONS, /* how many of them every panel has: those above */
    BT_EDGE_OBLIQUE     /* at a stated angle to the grain */
};

/* `along`, `across`, `diagonal AC`, `diagonal BD`, `oblique`; "" for any other number.
 */
BT_API const char *bt_edge_direction_name(enum bt_edge_direction direction);

/* Where the points are to be looked for in lines. */
struct bt_edge_search {
    double length, width; /* corners of the diagonals: (0, 0) to (length, width); mm */
    double x0, y0;        /* place of corner A, mm */
    double band;  /* points within band/2 of a line belong to it, mm, >= 0; for a
                     grid about its jitter, without a grid the stated band
                     width.  Rows lie apart where no point is for more than the
                     band; what lies without such a gap, but over more than the
                     band, is cut into equal bands no wider than it.  At least
                     1e-9 of the extent is taken, for rounding */
    double angle; /* of BT_EDGE_OBLIQUE, rad from x towards y; else not looked at */
};

struct bt_edge_result {
    double span;
    enum bt_edge_direction direction;
    double angle;             /* of BT_EDGE_OBLIQUE, rad as stated; else 0 */
    bool seen;                /* some line of this direction has three points within
                                 one span: fewer cannot show a gap */
    struct bt_edge_gap worst; /* indices of points */
    size_t lines;             /* lines of three points or more; of two looks the one
                                 with more */
};

/*
 * The largest gap over every position of the edge, one direction: along every row,
 * across every column, on one diagonal from corner to corner, or along every line of
 * points at a stated angle.  Nothing is
 * interpolated: a line is made of the points read on it.  Points with NaN height are
 * left out; of points at one place of a line (to 1e-9 of the span) the edge rests on
 * the highest, which stands for all.
 *
 * At an angle points may lie as dense aside as along.  Where bands are cut for want of
 * gaps, a second look is taken with the cuts moved by half a band, so that points
 * within half a band's width of each other are found on one line wherever a cut falls.
 *
 *   n, p[n], z[n]  in any order, cheapest row by row; n may be 0
 *   out            untouched on error; where no line is seen the gap is 0
 *
 * Returns BT_OK; BT_EINPUT (a point not finite: row; span not above 0; band or place of
 * corner A not a number, band below 0; an oblique direction whose angle is not finite;
 * no such direction, or a diagonal of a rectangle without area); or BT_ENOMEM.
 */
BT_API enum bt_status bt_edge_gap_search(size_t n, const struct bt_point p[],
                                         const double z[],
                                         const struct bt_edge_search *search,
                                         enum bt_edge_direction direction, double span,
                                         struct bt_edge_result *out,
                                         struct bt_error *err);

#endif
