/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_SURFACE_UNSEEN_H
#define BENCHTRUE_SURFACE_UNSEEN_H

#include <stddef.h>

#include "benchtrue/base/status.h"
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
