/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_FIT_INSERT_H
#define BENCHTRUE_FIT_INSERT_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/base/status.h"
#include "benchtrue/fit/outline.h"

/*
 * Whether a rigid piece can be brought to its place.  In the plane everything is said
 * of the way out, from the place that it is to have; the way in is the same backwards.
 * Directions are angles from straight out (square to the back, towards the front), rad,
 * positive to the right.
 */

/* Walls as seen from above: a line of points from the front end of the left wall along
 * left, back and right wall to the front end of the right one; closed where the front
 * is a wall too. */
struct bt_walls {
    size_t n;
    struct bt_point *p; /* mm */
    size_t back[2];     /* indices of the back wall's ends, A and B */
    bool closed;
};

struct bt_directions {
    double from, to; /* rad, from <= to, both free; to - from < 2 pi */
};

/* Turning about a corner of the piece until a straight way opens. */
enum bt_turning {
    BT_TURN_NOT_NEEDED, /* it goes straight in some direction */
    BT_TURN_FOUND,
    BT_TURN_NOT_FOUND, /* tried without success; that is no proof */
    BT_TURN_IMPOSSIBLE /* proved: no motion in the plane brings it out */
};

struct bt_insert {
    bool straight; /* straight out, square to the back */
    size_t nfree;
    struct bt_directions *free; /* every direction in which it goes straight to any
                                   distance; ascending from -pi */
    double nearest;             /* of these, the nearest to 0; NaN none */
    /* What the left and the right end have to give so that it goes straight in, mm: the
     * most, measured along the back edge; 0 where nothing. */
    double give_left, give_right;
    enum bt_turning turning;
    int pivot;   /* corner of the piece, where found */
    double turn; /* rad, positive clockwise as seen from above */
    double then; /* direction in which it then goes straight */
    double
        turned_most; /* not found: the largest angle that it turned about any corner */
    double least_width; /* mm: narrowest gap that lets its convex hull through */
    double gap;         /* mm: between the front ends of the walls; NaN where closed */
};

/*
 * Decide the motion in the plane.
 *
 *   outline  of the piece at its place, in the frame of the walls; corners as outline.h
 *   out      to be freed with bt_insert_clear, also after an error
 *
 * Directions are exact: of each edge of the piece and each edge of the walls the
 * Minkowski difference is a parallelogram, and the directions that meet it from the
 * origin are the cone of its corners; what no cone holds is free (sources: T.
 * Lozano-Perez, Spatial planning, IEEE Trans. Computers C-32 (1983); from memory).
 * Touching is no obstacle: the outline is taken smaller by 1e-4 of its size.
 * Turning: about each corner of the piece, both ways, up to 90 degrees, in steps that
 * are safe whatever the shape: no point moves farther than the least distance to the
 * walls. At every half degree the free directions are asked for.  A way that is found
 * is sure; other ways (sliding, then turning) are not tried.  Impossible is said only
 * where the piece is convex and wider, in every direction, than the gap between the
 * front ends of the walls, or the walls are closed.
 *
 * Returns BT_OK; BT_EINPUT (`the piece does not fit between the walls`); BT_ENOMEM.
 */
BT_API enum bt_status bt_insert_find(const struct bt_outline *outline,
                                     const struct bt_walls *walls,
                                     struct bt_insert *out, struct bt_error *err);

/* Free what it holds and clear it; NULL is accepted. */
BT_API void bt_insert_clear(struct bt_insert *insert);

/* From above with one end first: a board of rectangular section between plumb walls. */
struct bt_tilt {
    bool needed; /* it is longer than the narrowest place it passes */
    bool possible;
    double angle;        /* rad, that it has to be tilted by to pass; 0 level */
    double height;       /* mm, from its lowest to its highest point when so tilted */
    double rise;         /* mm, of the high end over the low one */
    double least_length; /* mm: the seat has to be so long for it to turn down to level:
                            the diagonal of its section */
    bool turns_down;     /* it is */
};

/*
 *   length, thickness  of the piece, mm, > 0
 *   narrowest          width of the narrowest place that it passes on its way, mm, > 0
 *   seat               width where it comes to lie, mm, > 0
 *
 * Tilted by t it takes L cos t + T sin t in length and L sin t + T cos t in height;
 * both are sines of t and the angle of the diagonal, which gives t exactly.  Turning
 * down to level its diagonal passes the upright of the seat, whatever t.
 */
BT_API struct bt_tilt bt_tilt_find(double length, double thickness, double narrowest,
                                   double seat);

#endif
