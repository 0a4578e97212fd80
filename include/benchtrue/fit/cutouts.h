/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_FIT_CUTOUTS_H
#define BENCHTRUE_FIT_CUTOUTS_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/fit/fixing.h"
#include "benchtrue/fit/outline.h"

/*
 * What is cut out of the finished piece, and the wood that stays beside it.
 */

enum bt_cutout_shape { BT_CUT_RECTANGLE, BT_CUT_CIRCLE, BT_CUT_NOTCH, BT_CUT_SHAPES };

/* `rectangle`, `circle`, `notch`; "unknown shape" outside the list. */
BT_API const char *bt_cutout_shape_name(enum bt_cutout_shape shape);

struct bt_cutout {
    char *name;
    size_t line;
    enum bt_cutout_shape shape;
    double x, y;          /* of its middle, from the reference end and edge, mm */
    bool from_front;      /* y from the front edge; else from the back one */
    bool from_right;      /* x from the right end; else from the left one */
    double length, width; /* along and across the grain, mm, > 0; of a circle both
                             are its diameter */
    double radius;        /* of the inner corners, mm, >= 0; NaN not stated */
};

/* Common practice, no source: where the job does not say. */
#define BT_CUT_BESIDE 50.0    /* to an edge of the piece and to the next cut-out, mm */
#define BT_CUT_CLEARANCE 10.0 /* to a joint and to a fixing, mm */

/* What is wrong with a cut-out; bits. */
enum bt_cutout_fault {
    BT_CUT_OUTSIDE = 1, /* it is not on the piece; a notch: nothing of it is, or it is
                           all inside */
    BT_CUT_NEAR_EDGE = 2,
    BT_CUT_ON_JOINT = 4, /* a joint lies along its edge, or goes through a circle */
    BT_CUT_NEAR_OTHER = 8,
    BT_CUT_NEAR_FIXING = 16
};

struct bt_cutout_check {
    struct bt_point low, high; /* its extent in the outline's frame */
    double edge;               /* least wood to an edge that it does not cut, mm */
    int edge_side;             /* 0 back, 1 right, 2 front, 3 left */
    double joint;              /* from the nearer of its two long edges to the nearest
                                  joint, mm; NaN where there is no joint */
    size_t joint_index;
    size_t crossed; /* joints that go through it */
    double other;   /* to the next cut-out, mm; NaN alone */
    size_t other_index;
    double fixing; /* to the edge of the nearest fixing's screw, mm; NaN none */
    size_t fixing_index;
    unsigned faults; /* bits of enum bt_cutout_fault */
    bool sharp;      /* rectangle or notch whose inner corners have no radius stated */
};

struct bt_cutouts_request {
    const struct bt_outline *outline;
    size_t n;
    const struct bt_cutout *cutout; /* [n] */
    size_t njoint;
    const double *joint_left, *joint_right; /* [njoint] y of each at x = 0 and at
                                               x = length, in the outline's frame */
    double length;                          /* > 0 */
    size_t nfixing;
    const struct bt_fixing *fixing; /* [nfixing] */
    double beside, clearance;       /* mm, >= 0 */
};

/* Where a cut-out lies in the outline's frame: from an edge that is not straight the
 * distance counts at its place.  NaN where there is no edge there. */
BT_API void bt_cutout_place(const struct bt_outline *outline,
                            const struct bt_cutout *cutout, struct bt_point *low,
                            struct bt_point *high);

/*
 * Check each against edges, joints, the other cut-outs and fixings.
 *
 *   out  [n]
 *
 * Distances are between what is cut and what stays: a circle is one, all else a
 * rectangle.  A joint counts against a cut-out where it lies nearer than clearance to
 * one of its two long edges, on either side, for there a sliver is left on the glue;
 * one that goes through the middle of a wide opening does not.  Through a circle no
 * joint should go.
 */
BT_API void bt_cutouts_check(const struct bt_cutouts_request *request,
                             struct bt_cutout_check out[]);

#endif
