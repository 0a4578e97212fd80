/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_FIT_SEASONS_H
#define BENCHTRUE_FIT_SEASONS_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/base/status.h"
#include "benchtrue/wood/movement.h"

/*
 * A panel between its driest and its dampest day: how wide it gets, and how far each of
 * its places moves across the grain from the line that is held.  Lengths in mm, y from
 * the back edge, moisture in percent of dry mass.
 */

struct bt_seasons_board {
    const struct bt_wood *wood;
    double width; /* at the moisture of today, > 0 */
    struct bt_ring_angle angle;
};

struct bt_seasons {
    size_t n; /* 1 or more, from the back edge to the front */
    const struct bt_seasons_board *board;
    double fixed;                      /* y of the line that does not move */
    double driest, dampest, now;       /* percent, 0 to 30; driest <= dampest */
    double u_driest, u_dampest, u_now; /* standard, percent, >= 0 */
};

/*
 * u of a moisture, standard, percent.  That of wood which follows from the air: one
 * curve serves all woods (wood/moisture.h: a given species may be a point off),
 * rectangular.  That of a meter: within one percent, rectangular.  Both common
 * practice, no source.
 */
#define BT_SEASONS_U_AIR 0.5773502691896258
#define BT_SEASONS_U_METER 0.5773502691896258

/* A change from today, mm. */
struct bt_season_change {
    double dry, damp; /* from today to the driest and to the dampest day, signed */
    double range;     /* damp less dry */
    double u_dry, u_damp, u_range;
    double scatter; /* of u_range: what the wood's coefficients and ring angles add */
    enum bt_movement_form form; /* long where any board's is */
    bool outside;   /* a moisture is outside the coefficients' range, 6 to 14 % */
    bool saturated; /* never below 30 %; kept as wood/movement.h tells it */
};

/*
 * Change of the wood between two lines, wider positive.
 *
 *   from, to  y, in any order; what lies beyond the panel does not count
 *   out       untouched on error
 *
 * Scatter of the wood is one for all boards and for both seasons, as though they came
 * from one tree; the three moistures vary each by itself.  A season equal to today
 * gives 0 with the u of the moistures.
 *
 * BT_OK; BT_EINPUT: no board, a moisture out of range (`wood at 80 % is too wet to be
 * fitted: let it dry to the room first`, `the dampest is drier than the driest`), or as
 * bt_movement_of_board with err->row the board.
 */
BT_API enum bt_status bt_seasons_between(const struct bt_seasons *seasons, double from,
                                         double to, struct bt_season_change *out,
                                         struct bt_error *err);

/* Change of the whole width. */
BT_API enum bt_status bt_seasons_width(const struct bt_seasons *seasons,
                                       struct bt_season_change *out,
                                       struct bt_error *err);

/* How far the place at y moves, towards the front positive. */
BT_API enum bt_status bt_seasons_shift(const struct bt_seasons *seasons, double y,
                                       struct bt_season_change *out,
                                       struct bt_error *err);

/*
 * Change of length along the grain, for the walls at the ends: 0.1 to 0.2 percent from
 * green to ovendry for most woods (FPL-GTR-190 (2010), chapter 4, longitudinal
 * shrinkage; from memory), shared out evenly below a saturation of 30 %: rectangular.
 * Juvenile and reaction wood move up to ten times as much.
 */
#define BT_SEASONS_ALONG 5.0e-5   /* share per percent */
#define BT_SEASONS_ALONG_U 9.6e-6 /* standard: half of the spread over sqrt(3) */

/* The same of a length along the grain, mm; not seen (NaN) where length is not > 0. */
BT_API struct bt_season_change bt_seasons_along(const struct bt_seasons *seasons,
                                                double length);

#endif
