/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_FIT_FIXINGS_H
#define BENCHTRUE_FIT_FIXINGS_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/fit/fixing.h"
#include "benchtrue/fit/seasons.h"

/*
 * What each fixing has to let the panel do through the year, and what it lets.  The
 * screw stands in the panel and goes with it; hole, slot or groove is in what carries
 * it.  Lengths in mm.
 */

/* How far a plate of two discs turns to each side in its recess, rad: 30 degrees
 * (common practice, no source). */
#define BT_FIXING_SWING 0.52359877559829887

/* What a screw in a tight hole yields before it holds (common practice, no source). */
#define BT_FIXING_YIELDS 0.3

/* What has to stay of a tongue in its groove (common practice, no source). */
#define BT_FIXING_TONGUE_HOLD 3.0

struct bt_fixing_way {
    double travel; /* across the grain, in all, >= 0; INFINITY: free, as a tongue that
                      slides along its groove; NaN not known */
    double to_front, to_back; /* how far the panel goes there from today, >= 0 */
    double need;              /* their sum */
    double u_need;
    double slot_needed; /* length over all of a slot across that is enough at the
                           confidence: screw, need and the quantile times u; without
                           the screw's size what must be left beside it */
    double at_best; /* where to set the screw today, from the middle of its way, front
                       positive: what is left is then the same at both ends */
    double at;      /* where it stands: as stated, else at_best */
    double left_front, left_back; /* of its way, at the dampest or driest; negative:
                                     it strikes */
    double p_enough; /* probability that it does not strike; NaN not known */
    double setback;  /* clip, button: gap to leave today between its shoulder and the
                        rail that its tongue points to; NaN of other kinds, and where the
                        tongue points along the grain */
    bool along;      /* the slot runs more along the grain than across */
    bool off_line;   /* round hole, and the panel moves there by more than it gives */
};

/*
 *   fixing      kind, sizes; see fixing.h
 *   change      bt_seasons_shift at its y
 *   outwards    -1, 1: where from the fixed line it lies, back or front
 *   confidence  0.5 < c < 1
 *
 * Travel: of a round hole its diameter less the screw's (at least
 * BT_FIXING_YIELDS, also where no hole is stated); of a
 * slot the chord of the place where the screw's centre can be, across the grain through
 * its middle: slot length less screw where it runs across, and at an angle t to that
 * the exact chord of a stadium; a slot without width fits the screw; of a bracket
 * either, else as stated; of a figure-eight twice its arm times the sine of
 * BT_FIXING_SWING, its arm set along the grain; of clip and button the tongue less
 * BT_FIXING_TONGUE_HOLD, or free where the tongue points along the grain.  A stated
 * travel counts before these (but not for hole and slot).
 */
BT_API struct bt_fixing_way bt_fixing_way(const struct bt_fixing *fixing,
                                          const struct bt_season_change *change,
                                          int outwards, double confidence);

/* Half of the chord, through the middle, of a stadium of length `straight` between the
 * centres of its ends and radius `radius`, at an angle to its axis, 0 to pi/2. */
BT_API double bt_stadium_reach(double straight, double radius, double angle);

/* Two fixings that hold the wood between them. */
struct bt_fixing_pair {
    bool held;          /* there is such a pair */
    size_t back, front; /* of the one that is worst, by the strain */
    double apart;       /* across */
    double movement, u; /* of the wood between them, range */
    double gives;       /* what both let it go, in all */
    double strain;      /* (movement - gives)/apart, > 0 */
};

/*
 * The pair of fixings whose travels together give less than the wood between them
 * moves, worst first.  Travel that is not known is taken as enough.
 *
 *   fixing[n], way[n]
 *
 * BT_OK, or as bt_seasons_between.
 */
BT_API enum bt_status bt_fixing_pair_find(const struct bt_seasons *seasons, size_t n,
                                          const struct bt_fixing fixing[],
                                          const struct bt_fixing_way way[],
                                          struct bt_fixing_pair *out,
                                          struct bt_error *err);

#endif
