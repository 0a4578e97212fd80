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
    double opening; /* widest panel that it takes, > 0; NaN any */
    double offset;  /* screw line above the middle of the thickness when the bar lies
                       against the panel, >= 0; NaN: not known, 0 is taken and said */
    double pad;     /* width of its jaw along the joint, >= 0 */
};

struct bt_clamping_request {
    size_t nboard;
    const double *width; /* [nboard] */
    double length, thickness;
    double density; /* kg/m3 */
    double
        E_across; /* MPa, across the grain, for the cup while clamped; NaN not known */
    double caul;  /* width of the caul between clamp and edge, 0 none */
    size_t nkind;
    const struct bt_clamp_kind *kind;          /* [nkind] */
    double pressure;                           /* wanted; NaN: from the density */
    double open_time, spread_time, place_time; /* minutes: the glue's at the shop's
                        temperature; to spread one joint; to set one clamp */
    size_t most_joints; /* that the maker wants in one stage; 0: no limit */
};

struct bt_clamp_place {
    double x;    /* along the joint from the left end */
    size_t kind; /* of request->kind */
    bool above;  /* above the panel, else below */
};

/* Joints glued at one time. */
struct bt_stage {
    size_t first, count; /* of order[] */
    double minutes;      /* from the first glue to the last clamp */
    size_t assemblies;   /* glued up side by side in this stage */
};

struct bt_clamping {
    double pressure, pressure_least, pressure_most; /* MPa: aimed at, and the band of
                                     the handbook */
    double force_joint; /* pressure x thickness x length: joints are in series, boards
                           add none */
    double spacing_spread; /* largest spacing by the 45 degree spread: 2 (narrowest
                              outer board + caul) + pad */
    double spacing_force;  /* by force; NaN not known */
    double spacing;        /* of the places chosen */
    size_t needed_spread, needed_force, needed; /* clamps */
    size_t nplace;
    struct bt_clamp_place *place; /* alternating below and above */
    size_t shortfall;             /* clamps missing for `needed` */
    double force_reached;         /* sum over the places; NaN not known */
    double pressure_reached;
    double end_distance; /* of the outer clamps from the ends */
    double moment;       /* N mm per mm of length: of clamps on one side only, at full
                            force and the largest offset */
    double cup_clamped;  /* mm, of the panel by that moment while clamped if all stand
                            on one side: crowned positive on top with all below */
    double cup_alternating; /* mm, what is left with the places as alternated */
    size_t nstage;
    struct bt_stage *stage;
    size_t *order;        /* [nboard - 1] joints in the order in which they are glued */
    bool open_time_short; /* one joint alone takes longer than the open time */
};

/*
 * Plan a glue-up.  Pressure: between that of the handbook for the lightest and for the
 * heaviest wood, by density (reference/glue.csv).  Stages: as many joints at a time as
 * can be spread and clamped in the open time; halves first, then halves of the panel
 * together, so that the last stage has one joint.
 *
 * Returns BT_OK; BT_EINPUT (a number out of its range: row is the board or kind);
 * BT_ENOMEM.
 */
BT_API enum bt_status bt_clamping_plan(const struct bt_clamping_request *request,
                                       struct bt_clamping *plan, struct bt_error *err);

BT_API void bt_clamping_clear(struct bt_clamping *plan);

/*
 * Pressure for a density, MPa: linear between reference/glue.csv's lowest- and
 * highest-density wood (what densities those are is stated in reference/).  Clamped to
 * that band.
 */
BT_API double bt_pressure_of_density(double density);

#endif
