/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_SURFACE_ZONE_H
#define BENCHTRUE_SURFACE_ZONE_H

#include <stddef.h>

#include "benchtrue/base/status.h"
#include "benchtrue/surface/plane.h"
#include "benchtrue/surface/readings.h"

/* How the contacts stand: three on the upper plane and one on the lower, the other way
 * round, or two on each; flat where the points are all in one plane. */
enum bt_zone_kind { BT_ZONE_3_1, BT_ZONE_1_3, BT_ZONE_2_2, BT_ZONE_FLAT };

struct bt_zone_contact {
    size_t point; /* index */
    int side;     /* +1 upper plane, -1 lower plane */
};

struct bt_zone {
    double vertical; /* least separation in z of two parallel planes that hold all
                        points, mm */
    struct bt_plane middle; /* their middle plane, vertical optimum */
    double normal_width;    /* least separation along the planes' normal, mm */
    double normal[3]; /* unit normal of the re-levelled planes, z component >= 0 */
    enum bt_zone_kind kind; /* of the vertical optimum, as are the contacts */
    int ncontact;           /* 4; 0 where flat */
    struct bt_zone_contact contact[4]; /* by index; where more than four points touch,
                                          four that prove the optimum */
    double gap;    /* certificate: vertical width minus the contacts' own levelled error
                      (least separation in z of those four alone), mm, >= 0 */
    size_t passes; /* over all points, to the vertical optimum */
};

/*
 * Minimum zone: two parallel planes with the least separation that hold all points
 * (ISO 12781-1:2011, MZPL; see reference/metrology/definitions.md).
 *
 * The vertical optimum is exact, with certificate: four points whose own least
 * separation is that of all points, up to gap <= 1e-12 range + 4 eps max|z| with z
 * the heights above a plane near all points.  The normal width is found from there by
 * re-levelling: the zone is sought along the normal of the planes found last, until
 * their four contacts prove them optimal seen along their own normal.  For slopes such
 * as panels have that is the least width; on steep bodies, which have several local
 * optima, it is the one next to the vertical optimum.
 *
 *   p[n], z[n]  places and heights, mm, finite, n >= 3, not all on one line as seen
 *               from above; the same place may come more than once
 *   zone        out; untouched on error
 *
 * Three points, and points whose separation is within 4 roundings (DBL_EPSILON) of the
 * largest |z|, are flat: widths and gap 0, no contacts, normal and middle plane theirs.
 * Ties, 2 x n grids, a spike, and heights offset by 1e6 or steeply tilted are all in
 * order.  Takes memory for about a thousand points and 8 bytes for each block of 256.
 *
 * Returns BT_OK; BT_EINPUT (fewer than 3 points; not finite: row at fault; numbers too
 * large to compute with, coordinates above 1e150 at the latest); BT_ESINGULAR (all on
 * one line, to 16 roundings of their coordinates) or BT_ENOMEM.
 */
BT_API enum bt_status bt_zone_fit(size_t n, const struct bt_point p[], const double z[],
                                  struct bt_zone *zone, struct bt_error *err);

#endif
