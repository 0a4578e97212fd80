/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_SURFACE_ZONE_PRIVATE_H
#define BENCHTRUE_SURFACE_ZONE_PRIVATE_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/surface/readings.h"

/* What the caller gave. */
struct zone_data {
    size_t n;
    const struct bt_point *p;
    const double *z;
};

/* Largest size of x, y and z of some points, less the origin of a frame, and of z
 * itself, mm. */
struct zone_extent {
    double reach[3], height;
};

/*
 * Coordinates in which a zone is sought: u and v of size 1 in the plane, h above it.
 * With d the point less the origin: u = along . d, v = across . d,
 * h = up . d - (base[0] + base[1] u + base[2] v).
 */
struct zone_frame {
    double origin[3], along[3], across[3], up[3], base[3];
};

struct zone_place {
    double u, v, h;
};

/* The places of all points are computed here and nowhere else, so that a point has
 * the same place, to the last digit, in a pass over all points and in the set. */
static inline struct zone_place zone_place(const struct zone_frame *f, double x,
                                           double y, double z)
{
    const double dx = x - f->origin[0], dy = y - f->origin[1], dz = z - f->origin[2];
    struct zone_place at;

    at.u = f->along[0] * dx + f->along[1] * dy + f->along[2] * dz;
    at.v = f->across[0] * dx + f->across[1] * dy + f->across[2] * dz;
    at.h = (f->up[0] * dx + f->up[1] * dy + f->up[2] * dz) -
           (f->base[0] + f->base[1] * at.u + f->base[2] * at.v);
    return at;
}

/* Two parallel planes h = a + b u + c v -+ half. */
struct zone_planes {
    double a, b, c, half;
};

static inline double zone_residual(const struct zone_planes *q,
                                   const struct zone_place *at)
{
    return at->h - (q->a + q->b * at->u + q->c * at->v);
}

/* Gradient of zone_residual() in x, y, z. */
void zone_gradient(const struct zone_frame *frame, const struct zone_planes *planes,
                   double g[3]);

/* At most by how much zone_residual() of points as far off the origin as `reach`, and
 * any other way to compute the same, is wrong by rounding, mm. */
double zone_rounding(const struct zone_frame *frame, const struct zone_planes *planes,
                     const double reach[3]);

/* The few points among which the contacts are sought. */
struct zone_member {
    size_t point;
    struct zone_place at;
};

struct zone_set {
    size_t count, room;
    struct zone_member *member;
    double largest; /* |h| of any member */
};

/* Four members and the sides on which they touch. */
struct zone_basis {
    size_t member[4];
    int side[4];
};

/* A residual beyond the planes by no more than this is a rounding of the heights. */
double zone_slack(const struct zone_set *set);

/* false when there is no memory. */
bool zone_set_add(struct zone_set *set, const struct zone_data *data,
                  const struct zone_frame *frame, size_t point);

/* Place of one member in another frame. */
void zone_member_move(struct zone_member *member, const struct zone_data *data,
                      const struct zone_frame *frame);

/* Places of all members in another frame. */
void zone_set_move(struct zone_set *set, const struct zone_data *data,
                   const struct zone_frame *frame);

/*
 * The planes of least separation in h that hold all members, and four that touch.
 * Starts from the members of *basis where `warm`, if they are a start.  False if
 * the members are all on one line in (u, v).
 */
bool zone_solve(const struct zone_set *set, bool warm, struct zone_basis *basis,
                struct zone_planes *planes);

/* Whether the four contacts, on their sides, prove their planes optimal in h. */
bool zone_stands(const struct zone_set *set, const struct zone_basis *basis);

/* The first point that is not finite, n if all are. */
size_t zone_not_finite(const struct zone_data *data);

/*
 * Frame with `up` along the unit normal, u along corner 0 to corner 1, v so that
 * corner 2 has |v| 1; base 0.  False if that cannot be: the corners are on one line
 * as seen along the normal, to the rounding of coordinates as large as `largest`.
 */
bool zone_frame_make(const struct zone_data *data, const size_t corner[3],
                     const double origin[3], double largest, const double normal[3],
                     struct zone_frame *frame);

/* The point farthest from the line through two points, among the k named, or among
 * all if `among` is NULL; *distance in mm. */
size_t zone_farthest(const struct zone_data *data, size_t from, size_t to, size_t k,
                     const size_t among[], double *distance);

/* Pass over all points, in blocks. */
struct zone_pass {
    double *bound;              /* [blocks] no |residual| of the block is larger */
    double shift;               /* what a residual changed since the pass before, at
                                   most */
    double largest;             /* out: |residual| of any point that reaches the
                                   planes, NaN where one is not a number */
    size_t added;               /* out: members added */
    struct zone_extent *extent; /* out, may be NULL: of all points.  A pass that
                                   measures it must see every block. */
};

size_t zone_blocks(size_t n);

/*
 * Adds extremes of each block to the set, on each side where they are beyond the
 * planes.  A block that cannot reach the planes after their shift is passed over.
 * False when there is no memory.
 */
bool zone_price(const struct zone_data *data, const struct zone_frame *frame,
                const struct zone_planes *planes, struct zone_pass *pass,
                struct zone_set *set);

#endif
