/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_DRAW_END_VIEW_H
#define BENCHTRUE_DRAW_END_VIEW_H

#include "benchtrue/joint/section.h"
#include "benchtrue/surface/readings.h"

/*
 * A board's end, taken apart into what is drawn to scale and what is exaggerated:
 * u along its show face from the back corner, v from that face into the wood, mm.
 */
struct end_shape {
    double width;                 /* of the show face */
    double thickness;             /* in the middle of it */
    double slope;                 /* of the other face: v grows by this with u */
    double lean_back, lean_front; /* rad: edge's angle at the show face less pi/2 */
    double turn;                  /* rad: of the show face in the section, from level,
                                     positive where its front corner is higher */
};

enum { END_SHOW_BACK, END_SHOW_FRONT, END_OTHER_FRONT, END_OTHER_BACK, END_CORNERS };

/* From its corners in the section.  False where they are no board's: not finite, a face
 * without width, an edge without height, one that leans by pi/4 or more. */
bool end_shape_of(const struct bt_quad *quad, struct end_shape *shape);

/* Its corners (x: u, y: v) with all angles factor times as large. */
void end_corners(const struct end_shape *shape, double factor,
                 struct bt_point corner[END_CORNERS]);

/* The largest of 1, 2, 5, 10 ... 500 at which no edge leans by more than `steepest`
 * rad, edges of a board keep apart, and each keeps a fair part of its height; 1
 * where there is no angle to be seen. */
int end_factor(size_t n, const struct end_shape shape[], double steepest);

/* The next smaller of these; 1 after 1. */
int end_factor_below(int factor);

#endif
