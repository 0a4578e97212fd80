/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_JOINT_SPRING_H
#define BENCHTRUE_JOINT_SPRING_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/base/status.h"

/*
 * Spring joint: edges planed a little hollow along their length, so that clamps at the
 * middle press the ends.  Each board bends on edge as a beam with shear, held where the
 * ends of the joint touch; both boards give, in series.  Lengths in mm, forces in N,
 * moduli in MPa.
 */

struct bt_spring_board {
    double width;     /* depth of the beam, > 0 */
    double thickness; /* > 0 */
    double E, G;      /* along the grain; shear; > 0 */
};

struct bt_spring_request {
    double length;               /* of the joint, > 0 */
    struct bt_spring_board a, b; /* on either side; more than one board glued together
                                    counts as one that is so wide */
    size_t nclamp;
    const double *clamp; /* [nclamp] positions along the joint, ascending, inside it */
    double clamp_force;  /* that each can give, > 0; NaN not known */
    double gap_most;     /* that the glue bridges, > 0 */
    double hollow;       /* both edges together, at the middle; NaN: the aim is taken */
};

struct bt_spring_joint {
    double stiffness; /* N/mm: 1/(k1 + k2), k = L^3/(48 E I) + L/(4 kappa G A),
                         kappa 5/6: force at the middle for 1 mm of hollow there */
    double aim;       /* hollow to aim for, both edges together */
    double aim_least, aim_most; /* see source: least that presses the ends, most that
                                   the clamps close (NaN not known) */
    double hollow;              /* that the figures below are for */
    double force_middle;        /* one clamp at the middle that closes the middle */
    double gap_middle;          /* largest gap that then stays beside it */
    double gap_middle_at;       /* where */
    double force_planned;       /* largest force that one of the planned clamps needs */
    double force_sum;           /* of all of them */
    double gap_planned, gap_planned_at; /* largest gap that stays with them */
    double closes_most; /* largest hollow that the planned clamps close, each at most
                           with clamp_force, to a gap of gap_most; NaN force unknown */
    bool crown;         /* hollow < 0: clamps at the middle only rock it; nothing of the
                           above is computed (NaN) */
};

/*
 * The hollow is a parabola over the length.  With several clamps: the least forces
 * (none pulls) at which the gap is 0 at every clamp that presses; non-negative least
 * squares with the flexibility of both beams.
 *
 * Returns BT_OK, BT_EINPUT (not finite, not > 0, clamps not ascending: row), BT_ENOMEM.
 * Source: reference/beams.csv (centre load; load at a); Timoshenko shear, kappa 5/6.
 */
BT_API enum bt_status bt_spring_joint_find(const struct bt_spring_request *request,
                                           struct bt_spring_joint *joint,
                                           struct bt_error *err);

#endif
