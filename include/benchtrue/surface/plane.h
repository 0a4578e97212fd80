/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_SURFACE_PLANE_H
#define BENCHTRUE_SURFACE_PLANE_H

#include <stddef.h>

#include "benchtrue/base/status.h"
#include "benchtrue/surface/readings.h"

struct bt_plane {
    double a, b, c; /* z = a + b x + c y; a in mm, b and c in mm/mm */
};

/*
 * Vertical least-squares plane through n points (bt_lsq_fit on centred and scaled
 * positions).
 *
 *   p[n]         positions, mm, finite
 *   z[n]         heights, mm, finite
 *   plane        out
 *   residual[n]  out, may be NULL; may be z itself: z minus plane, mm
 *
 * Untouched on error.  Returns BT_OK, BT_EINPUT (fewer than 3 points, not finite),
 * BT_ESINGULAR (all points on one line), BT_ENOMEM.
 */
BT_API enum bt_status bt_plane_fit(size_t n, const struct bt_point p[],
                                   const double z[], struct bt_plane *plane,
                                   double residual[], struct bt_error *err);

#endif
