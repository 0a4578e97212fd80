/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_SURFACE_FORM_H
#define BENCHTRUE_SURFACE_FORM_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/base/measured.h"
#include "benchtrue/base/status.h"
#include "benchtrue/surface/network.h"

/* The rectangle over which u and v run from -1 to 1, mm. */
struct bt_rectangle {
    double x0, y0, x1, y1;
};

struct bt_form {
    struct bt_measured bow, cup, twist; /* mm: crown positive, hollow negative; twist
                                           positive with A and C high */
    struct bt_rectangle rectangle;
    bool twist_from_readings; /* winding sticks, fitted to the readings directly */
};

/*
 * Bow, cup and twist of a panel: z = p0 + p1 u + p2 v + B u^2 + T u v + C v^2 by
 * ordinary least squares over the adjusted points, each with equal weight; bow -B,
 * cup -C, twist 4T (reference/metrology/definitions.md, "Estimator").  u of each
 * from the covariance of the heights.  A figure is seen only where the points
 * determine it and no unseen shape changes it; the sole exception is twist where
 * winding sticks were read and the heights do not show it: fitted to the readings
 * directly.
 *
 *   readings   those that net was adjusted from, and sticks that were left out of it
 *   net        the adjustment
 *   rectangle  the panel; its sides > 0
 *   form       out, untouched on error
 *
 * Returns BT_OK, BT_EINPUT (rectangle without area or not finite) or BT_ENOMEM.
 */
BT_API enum bt_status bt_form_fit(const struct bt_readings *readings,
                                  const struct bt_network *net,
                                  const struct bt_rectangle *rectangle,
                                  struct bt_form *form, struct bt_error *err);

#endif
