/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_WOOD_RING_H
#define BENCHTRUE_WOOD_RING_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/base/status.h"

/*
 * Shape that boards take when their moisture changes, because wood shrinks more along
 * the growth rings than across them; and because one face is damper than the other.
 *
 * Rings are circles about the heart (pith).  A point at distance r and polar angle p
 * from it goes to r (1 + e_r), p (1 + e_t)/(1 + e_r): the exact free shape of a piece
 * that does not reach round the heart, shrinking e_r across and e_t along the rings
 * (negative dry; e = C times the change of moisture).  Derived here: the strain of that
 * map is e_r and e_t everywhere, and rotations are compatible.  Its numbers are in
 * reference/checks.py, section 4.
 */

/* Section of a board: face lies level, x across it from its middle, y up; lengths mm.
 */
struct bt_ring_board {
    double width, thickness; /* > 0 */
    double heart_x; /* where the heart is, across, from the middle of the board */
    double heart_distance; /* from the middle of the thickness to the heart, > half the
                              thickness: the heart is outside the board.  INFINITY: flat
                              rings, no ring cup */
    bool heart_up;         /* the heart side is the upper face */
    double e_radial, e_tangential; /* strains, each |e| < 0.5 */
};

struct bt_ring_shape {
    double width_change; /* mm, of the middle line's chord, wider positive */
    double cup; /* mm, middle of the middle line over its chord: crowned positive,
                   hollow negative, at the upper face */
    double left_lean, right_lean; /* rad, of each edge face from the chord's normal,
                                     positive leaning to the right at the top */
    double edge_angle; /* rad, right_lean less left_lean: 0 before.  Positive:
                          a panel of such boards is crowned */
};

/*
 * Free shape of one board.  The middle line (half the thickness) carries the figures;
 * edge faces are taken as straight between their corners.
 *
 * BT_OK; BT_EINPUT with shape untouched: not finite, out of range.
 */
BT_API enum bt_status bt_ring_shape_of(const struct bt_ring_board *board,
                                       struct bt_ring_shape *shape,
                                       struct bt_error *err);

/* Shape of a panel of such boards, edge to edge in their order, no gaps. */
struct bt_ring_panel {
    double cup;    /* mm, highest middle over the chord of the whole width: crowned
                      positive; the line through the joints and the board middles */
    double ripple; /* mm, largest |cup| of one board: what is felt at each board */
    double range;  /* mm, highest less lowest point of the middle line over the
                      chord */
    double width_change; /* mm, of the chord */
};

/*
 * Each board takes its free shape and its edge faces stay glued to its neighbours', so
 * the next board begins turned by what the edges turned.  Heart up and down in turn:
 * the turns cancel and a ripple stays; all one way: they add up to a cup.
 *
 *   n     boards, 1 or more
 *   y[2n + 1], h[2n + 1]  out, both or neither NULL: the middle line, joint, middle,
 *         joint, ..., h over the chord
 *
 * BT_OK; BT_EINPUT (as above, err->row the board; n 0).
 */
BT_API enum bt_status bt_ring_panel_of(size_t n, const struct bt_ring_board board[],
                                       struct bt_ring_panel *panel, double y[],
                                       double h[], struct bt_error *err);

/*
 * Cup of a board or panel whose faces differ in moisture: the damper face is the longer
 * one and bends the piece as an arc: C m / t, over the width W: C m W^2/(8 t).
 *
 *   coefficient  in the direction of the width, share per percent, >= 0
 *   upper_less_lower  moisture of the upper face less that of the lower, percent:
 * linear through the thickness width, thickness  mm, > 0
 *
 * mm, crowned at the upper face positive (upper face damper); NaN where an argument is
 * not finite or out of range.  Free to bend; a piece held flat until its faces are even
 * again may keep none of it.
 */
BT_API double bt_gradient_cup(double coefficient, double upper_less_lower, double width,
                              double thickness);

#endif
