/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_FIT_HOLDING_H
#define BENCHTRUE_FIT_HOLDING_H

#include "benchtrue/fit/fixing.h"

/*
 * What a screw holds straight along itself: its thread in solid wood and in panels, and
 * its head on what it holds down.  Diameters and lengths in mm, forces in N, specific
 * gravity G from ovendry mass.
 */

/* A screw in a face. */
struct bt_screw {
    double diameter; /* of the shank, > 0 */
    double thread;   /* length of thread in the material, > 0 */
};

/*
 * Pull-out force of a wood screw in side grain of dry wood, ultimate: p = 108.25 G^2 D
 * L (N, mm), G specific gravity: ovendry weight and volume.  FPL-GTR-190 (2010),
 * chapter 8, wood screws (from memory).  NaN where an argument is not > 0.
 */
BT_API double bt_screw_pull_out(double gravity, const struct bt_screw *screw);

/*
 * The same in the face of particle board: P = K D^(1/2) (L - D/3)^(5/4) G^2, K 41.1 (N,
 * mm; 2655 in lb and in), for screws of 3.5 to 5 mm (No. 6, 8, 10) that reach 13 to 25
 * mm into it.  FPL-GTR-190 (2010), chapter 8, particle board (from memory); in its
 * edge K is 31.8 (2055).  mdf is reckoned likewise (common practice, no source).  NaN
 * where an argument is not > 0 or the thread is no longer than D/3.
 */
BT_API double bt_screw_pull_out_board(double gravity, const struct bt_screw *screw);

/*
 * What a screw may carry for good: pull-out over this.  The design value is
 * 2850 G^2 D lb per inch of thread (a handbook of civil engineering formulas, eq. 6.37,
 * page seen, title page not), of an ultimate 15,700 G^2 D (from memory).
 */
#define BT_SCREW_SAFETY 5.5

/*
 * Specific gravities of panels where none is stated, and what is left in plywood of the
 * force in solid wood of the same gravity (common practice, no source; that plywood
 * holds less than the formula of solid wood says: S.-J. Pang and others, J. Korean Wood
 * Sci. Technol. 49(1) 2021, p. 93, abstract).
 */
#define BT_GRAVITY_PLYWOOD 0.55
#define BT_GRAVITY_PARTICLE_BOARD 0.65
#define BT_GRAVITY_MDF 0.72
#define BT_PLYWOOD_SHARE 0.7

/*
 * What the head may carry for good before it is pulled through: 690 pi D G^2 t (lb, in)
 * up to a thickness t of 2.5 head diameters D, from there 1725 pi D^2 G^2; ANSI/AWC
 * NDS-2018, 12.2.5, fastener head pull-through, a design value (from memory).  In a
 * slot of width w less the part of the rim that lies over it: times
 * 1 - 2/pi asin(w/D), none where the head is no wider than the slot (derived here).
 *
 *   gravity   of what the head holds down on, > 0
 *   head      diameter of head or washer, > 0
 *   through   thickness under it, > 0
 *   opening   width of the slot; 0 or NaN: a hole that fits the screw
 *
 * NaN where an argument is not as said.
 */
BT_API double bt_head_holds(double gravity, double head, double through,
                            double opening);

/* Head and washer where none is stated, times the shank (common practice, no source).
 */
#define BT_HEAD_TIMES 2.0
#define BT_WASHER_TIMES 3.0

struct bt_hold {
    double thread; /* what the thread may carry for good; INFINITY in metal; NaN not
                      known */
    double head;   /* what the head may carry for good; INFINITY where it lies on metal:
                      figure-eight, clip, bracket; NaN not known */
    double head_diameter; /* taken */
    double both;          /* the lesser; NaN where the thread's is not known.  A head of
                             which nothing is known does not count */
    double share;         /* of the load on this fixing; NaN without one */
    const char *thread_source, *head_source; /* "" where the value is NaN */
};

/*
 * What one fixing holds.
 *
 *   gravity   of the solid wood that it goes into; NaN not known
 *   rail      of what its head holds down on; NaN not known
 *   share     the part of the load on it, N; NaN none
 */
BT_API struct bt_hold bt_hold_of(const struct bt_fixing *fixing, double gravity,
                                 double rail, double share);

#endif
