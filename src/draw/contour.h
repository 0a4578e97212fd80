/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_DRAW_CONTOUR_H
#define BENCHTRUE_DRAW_CONTOUR_H

#include "draw/mesh.h"

/* Lines on the mesh.  All zero: none. */
struct contours {
    size_t npath, path_room;
    struct contour_path {
        size_t start, count; /* of point */
        bool closed;
    } * path;
    size_t npoint, point_room;
    struct bt_point *point;
};

/*
 * The rim of where the surface is at or above a level: closed paths with that region on
 * the same side throughout, to be filled together (even-odd and non-zero give the
 * same).  Linear within each triangle, exact for heights that are.  The sum of the
 * signed areas of the paths is the area of the region, positive.
 *
 *   level  mm; -HUGE_VAL: the whole mesh
 *   out    paths are added
 *
 * Returns BT_OK or BT_ENOMEM.
 */
enum bt_status contour_region(const struct mesh *mesh, double level,
                              struct contours *out, struct bt_error *err);

/* The lines of one height, closed or from rim to rim, higher side as above. */
enum bt_status contour_lines(const struct mesh *mesh, double level,
                             struct contours *out, struct bt_error *err);

void contours_clear(struct contours *contours);

#endif
