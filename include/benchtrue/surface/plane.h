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
 * Vertical least-squares plane through n points.  Positions and heights are centred, so
 * that a large offset costs no digits.  Few points, and those that nearly leave the
 * plane open: Householder QR of the positions, turned to their principal axes and
 * scaled, refined with residuals in extended precision (A. Bjorck, Numerical Methods
 * for Least Squares Problems, SIAM 1996, from memory).  Many points that cover a face:
 * sums in double precision over columns that are nearly orthogonal, one visit to each
 * point and another for residuals; the same to 1e-13.  Takes no memory.
 *
 *   p[n]         positions, mm, finite; the same place may come more than once
 *   z[n]         heights, mm, finite
 *   plane        out
 *   residual[n]  out, may be NULL; may be z itself: z minus plane, mm
 *
 * Untouched on error.  Returns BT_OK; BT_EINPUT (fewer than 3 points; not finite:
 * row at fault; results too large for a number); BT_ESINGULAR (all points on one
 * line, to 8 roundings of their coordinates).
 */
BT_API enum bt_status bt_plane_fit(size_t n, const struct bt_point p[],
                                   const double z[], struct bt_plane *plane,
                                   double residual[], struct bt_error *err);

#endif
