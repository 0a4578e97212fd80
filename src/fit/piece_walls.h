/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_FIT_PIECE_WALLS_H
#define BENCHTRUE_FIT_PIECE_WALLS_H

#include "benchtrue/fit/piece.h"

/* Walls and edges in the frame of the opening.  Private to the room. */

/* A line through a point. */
struct bt_line {
    struct bt_point at;
    double dx, dy; /* unit; along the wall from its first corner */
};

/* A place of a wall: `at` along its chord, `off` outward of it. */
struct bt_point bt_wall_place(const struct bt_quad_result *quad, enum bt_wall wall,
                              double at, double off);

/* The chord of a wall, or (home) the straight edge on its two high points; moved into
 * the opening by gap. */
struct bt_line bt_wall_line(const struct bt_quad_result *quad,
                            const struct bt_wall_profile *profile, enum bt_wall wall,
                            bool home, double gap);

bool bt_lines_cross(const struct bt_line *a, const struct bt_line *b,
                    struct bt_point *out);

/* All walls, D A B C and, closed, back to D. */
enum bt_status bt_walls_make(const struct bt_quad_result *quad,
                             const struct bt_wall_profile profile[4], bool closed,
                             struct bt_walls *out);

/* Stations of a wall strictly between `from` and `to` along it. */
size_t bt_wall_between(const struct bt_wall_profile *profile, double from, double to);

#endif
