/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_SURFACE_SWEEP_H
#define BENCHTRUE_SURFACE_SWEEP_H

#include <stdbool.h>
#include <stddef.h>

#include "plane_private.h"

/*
 * Least squares of many points at the speed of memory.  Positions are moved to the
 * middle of a sample of the points and scaled to its extent, heights to its mean: the
 * columns 1, u, v, u^2, u v, v^2 of points that cover a face are then so far from
 * dependent (singular values of a full grid 1.1 to 0.27 of the square root of n) that
 * sums of their products lose one digit at most, where raw coordinates would lose
 * twelve.  Points for which that does not hold are refused and left to Householder
 * transformations.
 */

/* Fewer points than this are not worth less than all care. */
enum { SWEEP_LEAST = 4096 };

/* Sums of u^a v^b for a + b <= 4 and of h u^a v^b for a + b <= 2 at sweep_moment(). */
enum { SWEEP_MOMENTS = 15, SWEEP_HEIGHTS = 6 };

struct sweep_sums {
    size_t n;
    double x, y, z;  /* u = (x' - x) u_x, v = (y' - y) v_y, h = z' - z */
    double u_x, v_y; /* 1/mm */
    long double moment[SWEEP_MOMENTS], height[SWEEP_HEIGHTS];
    long double square; /* sum of h^2 */
};

static inline size_t sweep_moment(size_t a, size_t b)
{
    return (a + b) * (a + b + 1) / 2 + b;
}

/*
 * All sums in one visit to each point; without `form` those of order 3 and 4 are not
 * made.  False where the points are few, not all finite, too large, or where the
 * sample has no extent.
 */
bool sweep_points(size_t n, const struct bt_point p[], const double z[], bool form,
                  struct sweep_sums *sums);

/* The plane from the sums; false where its columns are not well apart. */
bool sweep_plane(const struct sweep_sums *sums, struct plane_solution *solution);

struct sweep_residuals {
    double low, high; /* mm */
    size_t lowest, highest;
    long double square; /* sum of squares */
};

/* Residuals and their extremes, the first where several are equal; relative[n] may be
 * NULL or z itself, u[n] may be NULL: sqrt(1 - hat value) of each. */
void sweep_residuals(size_t n, const struct bt_point p[], const double z[],
                     const struct plane_solution *solution, double relative[],
                     double u[], struct sweep_residuals *found);

#endif
