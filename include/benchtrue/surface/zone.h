/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_SURFACE_ZONE_H
#define BENCHTRUE_SURFACE_ZONE_H

#include <stddef.h>

#include "benchtrue/base/status.h"
#include "benchtrue/surface/plane.h"
#include "benchtrue/surface/readings.h"

/* How the contacts stand: three on the upper plane and one on the lower, the other way
 * round, or two on each; degenerate where the points are all in one plane. */
enum bt_zone_kind { BT_ZONE_3_1, BT_ZONE_1_3, BT_ZONE_2_2, BT_ZONE_FLAT };

struct bt_zone_contact {
    size_t point; /* index */
    int side;     /* +1 upper plane, -1 lower plane */
};

struct bt_zone {
    double vertical;        /* least separation in z of two parallel planes that hold all
                               points, mm */
    struct bt_plane middle; /* their middle plane, vertical optimum */
    double normal_width;    /* least separation along the planes' normal, mm */
    double normal[3];       /* unit normal of the re-levelled planes, z component > 0 */
    enum bt_zone_kind kind;
    int ncontact;
    struct bt_zone_contact contact[4];
    double gap;    /* certificate: vertical width minus the contacts' own levelled error, >= 0 */
    size_t passes; /* over all points */
};

/*
 * Minimum zone: two parallel planes with the least separation that hold all points
 * (ISO 12781-1:2011, MZPL; see reference/metrology/definitions.md).  The vertical
 * optimum is exact, with certificate; the normal width is found by re-levelling until it
 * stands, verified in one pass.
 *
 *   p[n], z[n]  places and heights, mm, finite, n >= 3, not all on one line
 *   zone        out; untouched on error
 *
 * Ties, coplanar points, 3 points, 2 x n grids, a spike and heights offset by 1e6 are
 * all in order.  Optimality: gap <= 1e-12 range + 4 eps max|z|.
 *
 * Returns BT_OK, BT_EINPUT (fewer than 3 points, not finite), BT_ESINGULAR (all on one
 * line) or BT_ENOMEM.
 */
BT_API enum bt_status bt_zone_fit(size_t n, const struct bt_point p[], const double z[],
                                  struct bt_zone *zone, struct bt_error *err);

#endif
