/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_SURFACE_UNSEEN_H
#define BENCHTRUE_SURFACE_UNSEEN_H

#include <stddef.h>

#include "benchtrue/base/status.h"
#include "benchtrue/surface/form.h"
#include "benchtrue/surface/network.h"

enum bt_unseen_kind {
    BT_UNSEEN_TWIST,   /* x y */
    BT_UNSEEN_BOW,     /* x^2 */
    BT_UNSEEN_CUP,     /* y^2 */
    BT_UNSEEN_BOWL,    /* x^2 + y^2: equal curvature both ways */
    BT_UNSEEN_HINGE_X, /* |x - at|: a hinge along x = at */
    BT_UNSEEN_HINGE_Y, /* |y - at| */
    BT_UNSEEN_X2Y,     /* bow that changes across the width */
    BT_UNSEEN_XY2,     /* cup that changes along the length */
    BT_UNSEEN_POINTS   /* none of these: the points that could move */
};

struct bt_unseen {
    enum bt_unseen_kind kind;
    double at;         /* hinges: mm */
    size_t count;      /* BT_UNSEEN_POINTS: how many independent shapes; else 1 */
    size_t nmoving;    /* BT_UNSEEN_POINTS: how many points could move */
    size_t example[3]; /* the first of them, indices of points */
};

enum { BT_UNSEEN_MAX = 24 };

/* Straightedge lines that anyone can lay, in the order in which they are preferred. */
enum bt_usual_line {
    BT_LINE_AC,     /* diagonal, back left to front right */
    BT_LINE_BD,     /* diagonal, back right to front left */
    BT_LINE_ALONG,  /* middle of the left end to middle of the right end */
    BT_LINE_ACROSS, /* middle of the back edge to middle of the front edge */
    BT_LINE_BACK,
    BT_LINE_FRONT,
    BT_LINE_LEFT,
    BT_LINE_RIGHT,
    BT_USUAL_LINES
};

/* The one more line that would show most. */
struct bt_unseen_line {
    enum bt_usual_line line;
    size_t shows; /* independent unseen shapes that it would show; 0: none of the lines
                     would show any */
    size_t of;    /* unseen shapes in all, planes set aside */
};

/*
 * Which of the usual lines, read over the places already read on it, would show most of
 * what is unseen: the shapes that are not straight along it, counted to 1e-6.
 *
 *   rectangle  the panel; places within 6 mm of a line count as on it, as for
 *              straightedge figures
 *
 * Returns BT_OK, BT_ESINGULAR (all points on one line) or BT_ENOMEM.
 */
BT_API enum bt_status bt_unseen_best_line(const struct bt_network *net,
                                          const struct bt_rectangle *rectangle,
                                          struct bt_unseen_line *out);

/*
 * Names for the unseen shapes of an adjustment, planes set aside.
 *
 *   out[BT_UNSEEN_MAX]  at most this many; shapes without a name are gathered in
 *                       one last entry of kind BT_UNSEEN_POINTS
 *   n                   out: entries
 *
 * A name is given only where the whole shape is unseen (to 1e-7), and only to
 * shapes that are independent of those named before, in the order of the enum.
 * Returns BT_OK, BT_ESINGULAR (all points on one line) or BT_ENOMEM.
 */
BT_API enum bt_status bt_unseen_name(const struct bt_network *net,
                                     struct bt_unseen out[BT_UNSEEN_MAX], size_t *n);

#endif
