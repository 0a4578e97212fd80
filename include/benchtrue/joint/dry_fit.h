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
    double at;     /* from the left end, 0 to length */
    bool show;     /* at the show face, else at the other face */
    double gap, u; /* >= 0, u > 0 */
    size_t source; /* the caller's */
};

struct bt_dry_joint_request {
    size_t ngap; /* 1 or more */
    const struct bt_dry_gap *gap;
    double length;     /* of the joint, > 0 */
    double thickness;  /* > 0 */
    double gap_most;   /* what the glue bridges, > 0 */
    double closes;     /* hollow that the clamps close, >= 0; NaN not known: none */
    double confidence; /* 0.5 to below 1 */
};

enum bt_dry_verdict { BT_DRY_CLOSES, BT_DRY_OPEN, BT_DRY_TOO_CLOSE, BT_DRY_NOT_SEEN };

/* `closes`, `open`, `too close to call`, `not seen`; "unknown verdict" else. */
BT_API const char *bt_dry_verdict_name(enum bt_dry_verdict verdict);

struct bt_dry_joint {
    struct bt_measured angle;   /* kink at the show face: positive opens there; in the
                                   middle of the length */
    struct bt_measured opening; /* of the angle alone, over the thickness, >= 0 */
    bool opens_at_show;         /* angle > 0; false where it is not seen */
    struct bt_measured wind;    /* rad from the left end to the right: the angle differs
                                   along the length (one edge is twisted) */
    struct bt_measured hollow;  /* of the middle of the length over its ends: positive
                                   hollow (touches at the ends), negative crowned */
    double largest;             /* gap read */
    size_t largest_gap;         /* its index, the first of equals */
    double chi2, chi2_p;        /* of the gaps about the fit; chi2_p NaN with dof 0 */
    size_t dof;
    /* Against gap_most: the opening; what the wind opens at the ends beside the angle
     * in the middle (thickness x wind / 2); the hollow, of which the clamps close
     * `closes`, or the crown, of which they close nothing. */
    enum bt_dry_verdict angle_verdict, wind_verdict, straight_verdict;
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
 * Least squares: gap(at, face) = c + s at + h (1 - (2 at/L - 1)^2)
 * +- (t/2) (a + w (at/L - 1/2)), plus at the show face; weights 1/u^2.  A gap of 0 is a
 * touch, not a missing reading.  c and s are how the boards happened to be laid
 * together and are not reported.
 *
 * What the readings cannot determine is not seen: a figure is seen where no combination
 * of c, s, h, a, w that leaves every reading as it is changes it.  Hollow needs three
 * places, angle both faces at one place, wind both faces at two places; where wind is
 * not seen it is taken to be 0.
 *
 * u: from the u of the gaps, times the square root of max(1, chi2/dof), so that edges
 * which are neither straight, bent nor twisted but wavy are not called known.
 *
 * Verdicts: the probability that the figure lies within its limits (JCGM 106:2012,
 * normal distribution; -gap_most to gap_most, for the hollow to gap_most + closes) at
 * or above confidence closes, at or below 1 - confidence is open, else too close to
 * call.
 *
 * mend: of what is open the one that is largest beside its limit (angle before wind
 * before straightness where equal).  Nothing open: READ_MORE where a verdict is not
 * seen or too close to call, else NOTHING.
 *
 *   joint  out: left untouched on error; holds no memory
 *
 * Returns BT_OK; BT_EINPUT (no gap; not finite; a place outside 0 to length: row;
 * length, thickness, gap_most, closes or confidence out of range; numbers too large or
 * too small to compute with); BT_ENOMEM.
 */
BT_API enum bt_status bt_dry_joint_fit(const struct bt_dry_joint_request *request,
                                       struct bt_dry_joint *joint,
                                       struct bt_error *err);

#endif
