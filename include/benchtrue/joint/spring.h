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

/* On one joint. */
enum { BT_SPRING_MOST_CLAMPS = 200 };

struct bt_spring_board {
    double width;     /* depth of the beam, > 0 */
    double thickness; /* > 0 */
    double E, G;      /* along the grain; shear; > 0 */
};

struct bt_spring_request {
    double length;               /* of the joint, > 0 */
    struct bt_spring_board a, b; /* on either side; more than one board glued together
                                    counts as one that is so wide */
    size_t nclamp;               /* 0: none stands on this joint */
    const double *clamp; /* [nclamp] positions along the joint, ascending, inside it */
    double clamp_force;  /* that each can give, > 0; NaN not known */
    double gap_most;     /* that the glue bridges, > 0 */
    double hollow;       /* both edges together, at the middle; NaN: the aim is taken */
};

struct bt_spring_joint {
    double stiffness; /* N/mm: 1/(k1 + k2), k = L^3/(48 E I) + L/(4 kappa G A),
                         kappa 5/6: force at the middle for 1 mm of hollow there */
    double aim;       /* hollow to aim for, both edges together; 0: joint them straight,
                         the clamps cannot bend these boards, or there are none */
    double aim_least; /* less cannot be planed on purpose: a fine shaving off each */
    double aim_most;  /* what the clamps close to gap_most with a quarter of their
                         force; NaN force unknown */
    double hollow;    /* that the figures below are for */
    double force_middle;  /* one clamp at the middle that closes the middle */
    double gap_middle;    /* largest gap that then stays beside it */
    double gap_middle_at; /* where, from the left end; of equals the leftmost */
    double force_planned; /* largest force that one of the planned clamps needs */
    double force_sum;     /* of all of them */
    double gap_planned, gap_planned_at; /* largest gap that stays with them */
    double closes_most; /* largest hollow that the planned clamps close to a gap of
                           gap_most, each pressing with clamp_force; NaN force
                           unknown */
    bool crown;         /* hollow < 0: clamps at the middle only rock it; force_...,
                           gap_... are NaN, the others as without the hollow */
};

/*
 * The hollow is a parabola over the length.  Gap at x: the parabola, less what every
 * force bends both beams there.  The boards may touch anywhere between the clamps as
 * well and then press each other apart (64 places and the clamps are looked at).
 *
 * force_planned, force_sum, gap_planned: each clamp turned until the joint is closed at
 * it, none pulls; a clamp at which the others close the joint already presses with
 * nothing.  This may take more than clamp_force at a clamp near an end even for a
 * hollow below closes_most, for which gap_most may stay open everywhere.
 *
 * aim: the usual hollow (1/32 in), or aim_most where that is less, or 0 where that is
 * below aim_least.  Where clamp_force is not known aim_most is not, and what
 * gap_planned keeps within gap_most is taken in its place.  A hollow over part of the
 * length, such as the middle two thirds, is compared by its depth.
 *
 *   joint  out: untouched on error; holds no memory
 *
 * Returns BT_OK; BT_EINPUT (not finite, not > 0; a clamp that does not lie inside the
 * joint or not after the one before it: row; too many clamps; numbers too large or too
 * small to compute with); BT_ENOMEM.
 *
 * Source: reference/beams.csv (centre load; load at a); Timoshenko shear, kappa 5/6
 * (from memory); reference/joint_rules.csv for the usual and the least hollow and the
 * share of the force.
 */
BT_API enum bt_status bt_spring_joint_find(const struct bt_spring_request *request,
                                           struct bt_spring_joint *joint,
                                           struct bt_error *err);

#endif
