/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_WOOD_DRYING_H
#define BENCHTRUE_WOOD_DRYING_H

#include <stdbool.h>

#include "benchtrue/base/status.h"

/*
 * How long a board takes to follow the room: diffusion through the thickness, after the
 * air has changed at once.  Below fibre saturation only; the surface is taken to follow
 * the air at once, which still air, a finish or boards stacked face to face delay.
 */

/* Spread of a time, days. */
struct bt_days {
    double least, middle, most; /* from the largest to the smallest diffusion
                                   coefficient of reference/wood_rules.csv; middle:
                                   their geometric mean */
    double u;                   /* standard: rectangular in the logarithm */
};

/*
 * Share of the difference that is left after time t, 8/pi^2 sum exp(-(2i+1)^2 t/tau) /
 * (2i+1)^2: 1 at 0, 0.298 at tau.  NaN for t < 0, tau not > 0, NaN.
 * J. Crank, The Mathematics of Diffusion (plane sheet), from memory.
 */
BT_API double bt_drying_left(double t, double tau);

/* Inverse: t/tau at which that share is left; 0 < share <= 1, else NaN. */
BT_API double bt_drying_time(double share);

/*
 * Time constant L^2/(pi^2 D) of a board drying from both faces; from one face only (the
 * other laid on something tight, or finished) it is that of twice the thickness.
 *
 *   thickness  mm, > 0     one_face  only one face is open
 *
 * BT_OK, BT_EINPUT (not finite, not > 0: `the thickness must be over 0 mm`).
 */
BT_API enum bt_status bt_drying_constant(double thickness, bool one_face,
                                         struct bt_days *tau, struct bt_error *err);

/* How long to leave a panel open on both faces before it is read again: its time
 * constant, in whole days, up; 0 where the thickness is not > 0 and finite.  One value
 * for all that advise it. */
BT_API long bt_drying_rest(double thickness);

/*
 * Days until a board of moisture `now` is within `within` of the moisture `end` that
 * the room will bring it to; 0 where it is already.
 *
 *   now, end  percent, 0 to 250 (above saturation it takes longer than said)
 *   within    percent, > 0
 */
BT_API enum bt_status bt_drying_wait(double thickness, bool one_face, double now,
                                     double end, double within, struct bt_days *days,
                                     struct bt_error *err);

#endif
