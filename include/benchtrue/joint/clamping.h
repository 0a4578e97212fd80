/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_JOINT_CLAMPING_H
#define BENCHTRUE_JOINT_CLAMPING_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/base/status.h"

/*
 * Clamps for a glue-up: pressure, force, number, places, stages.  Lengths in mm, forces
 * in N, pressures in MPa, times in minutes, temperatures in degrees Celsius.
 */

/* A kind of clamp that the maker owns. */
struct bt_clamp_kind {
    size_t count; /* >= 1 */
    double force; /* that one gives in use, > 0; NaN: not known (the number then goes by
                     spacing alone) */
    double opening; /* widest panel that it takes, cauls included, > 0; NaN any */
    double offset;  /* screw line above the middle of the thickness when the bar lies
                       against the panel, >= 0; NaN: not known, 0 is taken and said */
    double pad;     /* width of its jaw along the joint, >= 0 */
};

struct bt_clamping_request {
    size_t nboard;            /* >= 2 */
    const double *width;      /* [nboard], > 0 */
    double length, thickness; /* > 0 */
    double density;           /* kg/m3, > 0; NaN only where pressure is given */
    double
        E_across; /* MPa, across the grain, for the cup while clamped; NaN not known */
    double caul;  /* width of the caul between clamp and edge, 0 none */
    size_t nkind; /* 0: none owned; number and spacing needed are still found */
    const struct bt_clamp_kind *kind;          /* [nkind] */
    double pressure;                           /* wanted; NaN: from the density */
    double open_time, spread_time, place_time; /* minutes: the glue's at the shop's
                        temperature, > 0; to spread one joint, >= 0; to set one clamp,
                        >= 0 */
    size_t most_joints; /* that the maker wants in one stage; 0: no limit */
};

struct bt_clamp_place {
    double x;    /* along the joint from the left end */
    size_t kind; /* of request->kind */
    bool above;  /* above the panel, else below */
};

/* Joints glued at one time. */
struct bt_stage {
    size_t first, count; /* of order[]: ascending; an assembly is a run of joints next
                            to each other once what is glued counts as one board */
    double minutes;      /* from the first glue to the last clamp, of the assembly that
                            takes longest; each has glue and clamps of its own */
    size_t assemblies;   /* glued up side by side in this stage */
};

struct bt_clamping {
    double pressure, pressure_least, pressure_most; /* MPa: aimed at, and the band of
                                     the handbook */
    double force_joint; /* pressure x thickness x length: joints are in series, boards
                           add none */
    double spacing_spread; /* largest spacing by the 45 degree spread: 2 (narrowest
                              outer board + caul) + least pad */
    double spacing_force;  /* length / needed_force; NaN not known */
    double spacing;        /* of the places chosen; NaN none */
    size_t needed_spread, needed_force, needed; /* clamps; needed_force 0 where no force
                              is known */
    double
        caul_spread;       /* width of a caul with which the spacing chosen meets the 45
                              degree spread: the request's where it does; NaN none placed */
    double minutes_needed; /* to spread one joint and set `needed` clamps */
    size_t in_time;        /* of those, how many can be set in the open time */
    double pressure_in_time; /* MPa, by the strongest of so many, those missing as
                                strong as the strongest; NaN not known */
    size_t too_short;      /* clamps owned that do not take the panel with its cauls */
    double opening_needed; /* the width of those together */
    size_t nplace; /* the lesser of needed and of what is owned and takes the panel */
    struct bt_clamp_place
        *place;              /* [nplace] from the left end; below, above, below... */
    size_t shortfall;        /* clamps missing for `needed` */
    double force_reached;    /* sum over the places; NaN not known */
    double pressure_reached; /* by that; NaN not known */
    double end_distance;     /* of the outer clamps from the ends: half the spacing */
    double moment;      /* N mm per mm of length: force times offset, if all places were
                           on one side; NaN force not known */
    double cup_clamped; /* mm, of the panel by that moment while clamped: crowned
                           positive on top with all below; NaN not known */
    double cup_alternating; /* mm, what is left with the places as alternated, same sign
                             */
    double buckling; /* force_joint over the Euler load of the panel between its edges:
                        at 1 or more it bows out however the clamps stand, unless cauls
                        across its faces hold it flat; NaN: E_across not known */
    size_t nstage;
    struct bt_stage *stage;
    size_t *order;        /* [nboard - 1] joints in the order in which they are glued */
    bool open_time_short; /* one joint alone takes longer than the open time */
};

/*
 * Plan a glue-up.
 *
 * Pressure: as wanted, else bt_pressure_of_density.
 *
 * Clamps: the pressure of each spreads at 45 degrees from its jaw through the caul and
 * the outer board to the nearest joint; there the fans must meet.  needed_force: taken
 * from the strongest kind down until their force is that of the joint; clamps that are
 * still missing then count as of the strongest.  Kinds that do not take the panel are
 * left out; kinds whose force is not known are taken last.  Places: equal spacing, half
 * of it at the ends, so that each serves the same length; the strongest stand in the
 * middle, where a spring joint has to be closed, the weaker ones to both ends.
 *
 * Cup by a screw line that is off the middle: M/(E_across t^3/12) x W^2/8, W the width
 * of the panel; linear, so that where `buckling` is not small it is too little.
 *
 * Stages: as many joints at a time as can be spread and clamped in the open time (j
 * joints take j spread_time and a place_time for each clamp), and at most most_joints.
 * All joints in one stage where that goes, else in the fewest stages.  Assemblies of
 * one stage stand side by side as far as the clamps last; where no clamp is stated, all
 * of them.  Where it costs no stage more, the panel is parted at its middle joint into
 * halves, these likewise, the parts glued first and then together, so that the last
 * stage has one joint; else the joints are taken from the back edge on.
 *
 *   plan  out: to be freed with bt_clamping_clear; untouched on error
 *
 * Returns BT_OK; BT_EINPUT (a number out of its range: row is the board or kind; over
 * a million clamps needed; numbers too large or too small to compute with); BT_ENOMEM.
 *
 * Source: reference/glue.csv (force of a joint: Wengert; worked example of a
 * magazine); the 45 degree spread, half spacing at the ends and the order: common
 * practice, no source; cup and Euler load: reference/beams.csv and textbooks of
 * strength of materials (from memory).
 */
BT_API enum bt_status bt_clamping_plan(const struct bt_clamping_request *request,
                                       struct bt_clamping *plan, struct bt_error *err);

/* NULL is accepted; a plan of zeroes too. */
BT_API void bt_clamping_clear(struct bt_clamping *plan);

/*
 * Pressure for a density, MPa: linear between the handbook's figures for the lightest
 * and for the heaviest wood, which are taken to be of 350 and 1000 kg/m3
 * (reference/joint_rules.csv says why).  Clamped to that band; NaN for NaN.
 */
BT_API double bt_pressure_of_density(double density);

#endif
