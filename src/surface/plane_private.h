/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_SURFACE_PLANE_PRIVATE_H
#define BENCHTRUE_SURFACE_PLANE_PRIVATE_H

#include <stddef.h>

#include "benchtrue/base/status.h"
#include "benchtrue/surface/plane.h"
#include "benchtrue/surface/readings.h"

/*
 * Positions from their mean, turned or skewed and scaled so that the columns 1, s, t
 * are orthogonal over the points, each with mean square 1; heights from near their
 * mean.  s = s_x dx + s_y dy, t = t_x dx + t_y dy.
 */
struct plane_frame {
    double x, y, z; /* mm */
    long double s_x, s_y, t_x, t_y;
};

/* The plane z - frame.z = c[0] + c[1] s + c[2] t of n points. */
struct plane_solution {
    size_t n;
    struct plane_frame frame;
    long double c[3];
};

/* The solution to all digits for any points that have one, with about ten visits in
 * extended precision.  Errors as bt_plane_fit. */
enum bt_status plane_solve(size_t n, const struct bt_point p[], const double z[],
                           struct plane_solution *solution, struct bt_error *err);

/* The plane in the positions as given; BT_EINPUT if no number holds it. */
enum bt_status plane_unframe(const struct plane_solution *solution,
                             struct bt_plane *plane, struct bt_error *err);

/* z less the plane, to all digits. */
long double plane_residual(const struct plane_solution *solution,
                           const struct bt_point *p, double z);

/* Element of the hat matrix of the plane for two of its points. */
long double plane_hat(const struct plane_solution *solution, const struct bt_point *p,
                      const struct bt_point *q);

#endif
