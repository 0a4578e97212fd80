/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_WOOD_MOVEMENT_H
#define BENCHTRUE_WOOD_MOVEMENT_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/base/status.h"
#include "benchtrue/wood/wood.h"

/*
 * Change of width of boards and panels with moisture.  The ring angle is that between
 * the growth rings and the face: 0 flat cut, pi/2 quarter cut.
 */

/* A ring angle as far as it is known, rad: the truth lies from low to high. */
struct bt_ring_angle {
    double angle, low, high; /* 0 <= low <= angle <= high <= pi/2 */
};

/*
 * `flat`, `rift`, `quarter` (also `flatsawn`, `plain sawn`, `riftsawn`, `quartersawn`,
 * with or without a hyphen or blank; case of ASCII ignored) or an empty text, which is
 * not known: 0 to pi/2, reckoned as flat, whose movement is the most.  flat is reckoned
 * at 0, rift at pi/4, quarter at pi/2, with the ranges of reference/wood_rules.csv.
 * False for any other text; *angle untouched.
 */
BT_API bool bt_ring_angle_find(const char *text, size_t length,
                               struct bt_ring_angle *angle);

/*
 * Change per percent of moisture in the direction of the width, as a share of it:
 * C_T cos^2 + C_R sin^2.  NaN where a value is.
 */
BT_API double bt_coefficient_at(double c_radial, double c_tangential, double angle);

enum bt_movement_form {
    BT_MOVEMENT_COEFFICIENT, /* D C (M2 - M1): FPL-GTR-190, eq. 13-2 */
    BT_MOVEMENT_LONG         /* D (M2 - M1)/(100 s/S - s + M1): eq. 13-3 */
};

/* `coefficient form`, `long form`. */
BT_API const char *bt_movement_form_text(enum bt_movement_form form);

struct bt_movement {
    double change; /* mm, wider positive */
    double u;      /* standard, mm: scatter of the wood, and the ring angle where it is
                      known as a range only; moisture is taken as given */
    enum bt_movement_form form;
    bool outside;   /* a moisture is outside the range of the coefficients, 6 to 14 %:
                       the long form is used where the shrinkage is known */
    bool saturated; /* a moisture was above fibre saturation and is taken as that: above
                       it wood keeps its size */
};

/*
 * Change of one board.
 *
 *   width     mm, > 0, at moisture `from`
 *   angle     see above
 *   from, to  percent, 0 to 250
 *
 * The coefficient form inside 6 to 14 %, the long form outside (the handbook's rule);
 * where the shrinkage is not known the coefficient form is used there too, and where
 * the coefficients are not known they are those of the shrinkage.  A wood of which only
 * the tangential value is known has that in all directions, which is the most.
 *
 * BT_OK; BT_EINPUT (not finite, out of range; `nothing is known of how that wood
 * moves`); out untouched then.
 */
BT_API enum bt_status bt_movement_of_board(const struct bt_wood *wood, double width,
                                           const struct bt_ring_angle *angle,
                                           double from, double to,
                                           struct bt_movement *out,
                                           struct bt_error *err);

/* The same in the form that is asked for, whatever the moisture; BT_EINPUT where its
 * values are not known. */
BT_API enum bt_status
bt_movement_by_form(const struct bt_wood *wood, enum bt_movement_form form,
                    double width, const struct bt_ring_angle *angle, double from,
                    double to, struct bt_movement *out, struct bt_error *err);

struct bt_movement_board {
    const struct bt_wood *wood;
    double width; /* mm */
    struct bt_ring_angle angle;
    double from, to; /* percent */
};

/*
 * A panel of n boards, side by side, free to move: the sum.  u is the sum too, as
 * though all boards came from one tree: boards of a panel often do, and where they do
 * not it is on the safe side.  form is long where any board's is; outside and saturated
 * where any board's are.  each[n], may be NULL, out: board by board.
 *
 * Returns as bt_movement_of_board, err->row the board; BT_EINPUT for n 0.
 */
BT_API enum bt_status bt_movement_of_panel(size_t n,
                                           const struct bt_movement_board board[],
                                           struct bt_movement *out,
                                           struct bt_movement each[],
                                           struct bt_error *err);

#endif
