/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_FIT_MOTION_H
#define BENCHTRUE_FIT_MOTION_H

#include "benchtrue/fit/insert.h"

/* Polygons and walls in the plane.  Private to the room. */

struct bt_piece_at {
    size_t n;
    const struct bt_point *p; /* closed */
};

/* Room for the blocked directions of one pose, [2 * n * walls] pairs. */
struct bt_blocked {
    size_t n;
    struct bt_directions *item;
};

size_t bt_walls_edges(const struct bt_walls *walls);

/* Least distance of the outline from the walls; 0 where they cross. */
double bt_motion_distance(const struct bt_piece_at *piece,
                          const struct bt_walls *walls);

/* The directions that are blocked, merged and ascending, within -pi to pi. */
void bt_motion_blocked(const struct bt_piece_at *piece, const struct bt_walls *walls,
                       struct bt_blocked *blocked);

/* The free direction nearest to 0; NaN where there is none. */
double bt_motion_nearest(const struct bt_blocked *blocked);

#endif
