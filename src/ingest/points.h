/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_INGEST_POINTS_H
#define BENCHTRUE_INGEST_POINTS_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/surface/readings.h"

/*
 * Places become points: a place nearer than `near` to the first place of a point
 * is that point (the nearest one where there are several), else a new one.  Each
 * look-up takes constant time, since first places stand at least `near` apart.
 *
 * Strictly nearer: places of one line that are 2 * near apart can then never
 * fall into one point.
 */

/* What computing one place in two ways may differ by, mm: far below anything that
 * is marked on wood, far above the rounding of doubles. */
#define BT_PLACE_ROUNDING 1e-6

struct bt_spots; /* private: buckets of square cells */

struct bt_points {
    size_t n, room;
    struct bt_point *point;
    double near;            /* mm, >= 0 */
    struct bt_spots *first; /* first place of each point */
    struct bt_spots *seen;  /* every distinct place */
};

struct bt_points_found {
    size_t point;
    bool merged; /* this place was not met before and was taken as one with
                    another place */
    double off;  /* mm from the place to its point */
};

/* near >= 0.  BT_OK or BT_ENOMEM; to be freed with bt_points_clear in any case. */
enum bt_status bt_points_start(struct bt_points *points, double near);

/* The point of a place (finite), made where there is none. */
enum bt_status bt_points_take(struct bt_points *points, const struct bt_point *place,
                              struct bt_points_found *found);

/* A point of its own, whatever lies beside it (scans). */
enum bt_status bt_points_append(struct bt_points *points, const struct bt_point *place,
                                size_t *point);

/* Frees all but the array of points, which the caller may have taken over by
 * setting `point` to NULL. */
void bt_points_clear(struct bt_points *points);

#endif
