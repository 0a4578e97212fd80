/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_JOINT_DRY_FIT_H
#define BENCHTRUE_JOINT_DRY_FIT_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/base/measured.h"
#include "benchtrue/base/status.h"

/*
 * A dry joint read with feelers along its length: how much of what stands open is
 * angle (opens at one face) and how much straightness (opens along the length).
 * Lengths in mm, angles in rad.
 */

/* The gap at one face at one place along the joint. */
struct bt_dry_gap {
    double at;     /* from the left end */
    bool show;     /* at the show face, else at the other face */
    double gap, u; /* >= 0, u > 0 */
    size_t source; /* the caller's */
};

struct bt_dry_joint_request {
    size_t ngap;
    const struct bt_dry_gap *gap;
    double length;    /* of the joint, > 0 */
    double thickness; /* > 0 */
    double gap_most;  /* what the glue bridges, > 0 */
    double closes;    /* hollow that the clamps close, >= 0; NaN not known */
    double confidence;
};

enum bt_dry_verdict { BT_DRY_CLOSES, BT_DRY_OPEN, BT_DRY_TOO_CLOSE, BT_DRY_NOT_SEEN };

struct bt_dry_joint {
    struct bt_measured angle;   /* kink at the show face: positive opens there */
    struct bt_measured opening; /* of the angle alone, over the thickness */
    bool opens_at_show;
    struct bt_measured wind;   /* rad from the left end to the right: the angle differs
                                  along the length (one edge is twisted) */
    struct bt_measured hollow; /* of the middle of the length over its ends: positive
                                  hollow (touches at the ends), negative crowned */
    double largest;            /* gap read */
    size_t largest_gap;        /* its index */
    enum bt_dry_verdict angle_verdict, straight_verdict; /* against gap_most; a hollow
                                    that clamps close is within */
    enum {
        BT_MEND_NOTHING,
        BT_MEND_ANGLE,    /* run the edges again as the plan says */
        BT_MEND_HOLLOW,   /* too much: a pass over the ends */
        BT_MEND_CROWN,    /* a pass over the middle: clamps cannot cure it */
        BT_MEND_WIND,     /* one edge is twisted: joint both again */
        BT_MEND_READ_MORE /* the readings do not tell */
    } mend;
};

/*
 * Least squares: gap(at, face) = c + s at + h (1 - (2 at/L - 1)^2) +- (t/2) (a + w
 * (at/L
 * - 1/2)), plus at the show face; weights 1/u^2.  A gap of 0 is a touch, not a missing
 * reading; what the readings cannot determine is not seen (angle: both faces read;
 * hollow: three places).
 *
 * Returns BT_OK; BT_EINPUT (no gap; not finite; a place outside 0 to length: row);
 * BT_ENOMEM.
 */
BT_API enum bt_status bt_dry_joint_fit(const struct bt_dry_joint_request *request,
                                       struct bt_dry_joint *joint,
                                       struct bt_error *err);

#endif
