/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_SURFACE_PLAN_H
#define BENCHTRUE_SURFACE_PLAN_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/base/status.h"
#include "benchtrue/surface/readings.h"

/*
 * Which readings to take: the least effort with the instruments at hand that makes
 * every figure wanted seen, and its standard uncertainty small enough.
 *
 * The uncertainty of a figure hangs on where readings stand and on their u, not on what
 * they will show.  So each set of placements that comes into question is adjusted as if
 * it had been read (bt_network_adjust, bt_form_fit, values 0): what is promised is what
 * `flatness` will then find, no more and no less.
 */

/* What one placement is. */
enum bt_plan_kind {
    BT_PLAN_LINE,   /* straightedge and feelers: a gap at each place */
    BT_PLAN_SETUP,  /* dial over a reference: a height at each place */
    BT_PLAN_BAR,    /* bar stepped along a line, half its foot distance at a time: a
                       rise at each place but the first and the last */
    BT_PLAN_LEVEL,  /* level moved along a line, on two blocks: a slope from each place
                       to the next */
    BT_PLAN_STICKS, /* winding sticks: one reading, places (x1,y1) (x1,y2) (x2,y1)
                       (x2,y2) */
    BT_PLAN_KINDS
};

struct bt_plan_instrument {
    enum bt_plan_kind kind;
    double u;            /* of one reading, mm; level: mm/mm; > 0 */
    double straightness; /* line: limit of the edge, mm; 0 or NaN none stated */
    int edge;            /* line: bt_group.instrument of that edge in `taken`, so that
                            its straightness is one error; -1 none */
    bool zero_unknown;   /* bar, level */
    bool level;          /* set-up: over a level, flat reference */
    double reach;        /* line: length of the edge.  Set-up: the farthest that two of
                            its places may lie apart.  Bar: distance of its feet, which
                            must be stated.  Sticks: length over which they are read.
                            mm; NaN: as long as is wanted (sticks: from y1 to y2).  Not
                            looked at for a level. */
    double own_hollow_u; /* line: u of the edge's own hollow where it was tested, which
                            then stands in place of the straightness, mm; 0 or NaN not
                            tested */
};

enum bt_plan_figure {
    BT_PLAN_CUP,
    BT_PLAN_BOW,
    BT_PLAN_TWIST,
    BT_PLAN_SURFACE, /* the largest u of a height over the mean plane; for range, zone
                        and gaps */
    BT_PLAN_FIGURES
};

struct bt_plan_request {
    double length, width;            /* of the panel, mm */
    const struct bt_readings *taken; /* readings that there are; NULL or no nobs: none.
                                        Not a scan. */
    size_t ninstrument;
    const struct bt_plan_instrument *instrument;
    double aim[BT_PLAN_FIGURES]; /* u wanted, mm; NaN: figure not wanted */
    double step; /* places are whole multiples of it, mm, > 0 (a bar's excepted) */
    double same_point; /* places nearer than this are one, mm, >= 0 */
};

/* Effort: readings, and what placing costs in readings; common sense, no source. */
#define BT_PLAN_COST_LINE 4.0   /* lay the edge on, see that it lies */
#define BT_PLAN_COST_SETUP 10.0 /* build up a reference */
#define BT_PLAN_COST_BAR 1.0    /* each step of a bar or level */
#define BT_PLAN_COST_STICKS 4.0

/* A reading counts as checked by others from this redundancy number on: a gross error
 * of 4/sqrt(0.05), 18 times its u, makes its studentised residual 4. */
#define BT_PLAN_CHECKED 0.05

struct bt_plan_step {
    enum bt_plan_kind kind;
    size_t instrument; /* index into request.instrument */
    size_t first, n;   /* places, in the order in which they are read */
    size_t nreading;
};

struct bt_plan_expected {
    bool wanted;
    double aim;    /* u wanted, mm */
    double before; /* u by the readings taken; NaN not seen */
    double after;  /* u with the plan; NaN not seen */
    double best;   /* least u found with all that the instruments can read once; NaN:
                      they cannot see it */
    bool reached;  /* after <= aim */
};

struct bt_plan {
    size_t nstep;
    struct bt_plan_step *step; /* in walking order; none where nothing helps or nothing
                                  is needed */
    size_t nplace;
    struct bt_point *place; /* of all steps */
    struct bt_plan_expected figure[BT_PLAN_FIGURES];
    size_t nreading;
    double cost;
    size_t dof;       /* with what was taken; of that alone where there is no step */
    size_t checked;   /* of the plan's readings, by others: BT_PLAN_CHECKED */
    bool sound;       /* a gross error would be noticed, see below */
    size_t evaluated; /* sets of placements that were tried */
};

/*
 * Plan.
 *
 * Places: five to seventeen stations along the length and three or five across, on
 * which lines along, across and corner to corner cross; a station goes to where
 * readings were taken where that is near.  With a bar, places half its foot distance
 * apart are tried as well.  An edge shorter than a line is laid on several times, with
 * two places in common, and askew where it is too short for the diagonals.  Lines are
 * read once, diagonals under an edge and set-ups at most twice, sticks four times.
 * A plan for anything but the twist alone reads the corners, the middles of the sides
 * and the middle; for the twist alone the corners.
 *
 * Search: from everything that could be read, the placement whose loss costs least u
 * for the effort it saves is left out or read at fewer places, as long as all aims are
 * kept; then one or two placements are exchanged for a cheaper one; then the same in
 * orders of chance (of fixed seed).  This from three starts, for every instrument by
 * itself and for all together; the cheapest plan wins.  It need not be the best that
 * there is: of eleven small cases that were searched to the end ten were, one cost
 * 56 where 44 would do (tests/surface/test_plan.c).
 *
 * A plan is sound where each line shares two or more places and each set-up three with
 * other placements, the whole has two or more degrees of freedom, and at least half of
 * its readings are checked by others (BT_PLAN_CHECKED).  A plan that is not is made
 * only where the instruments do not allow a sound one.
 *
 * An aim under what can be reached is replaced by 1.25 times the best; a figure that
 * cannot be seen is left out.  `reached` tells.  Nothing is planned where the readings
 * taken do already and some of them check others (dof over 0); where none does, the
 * least that makes the plan sound is.
 *
 *   request  length, width, step > 0 and finite, aims NaN or > 0
 *   out      to be freed with bt_plan_clear, also after an error
 *
 * Returns BT_OK; BT_EINPUT (not finite, not > 0: row is the instrument where it is
 * one's; no figure is wanted; no instrument; a bar whose feet are not stated or do not
 * fit twice on the panel); BT_ECALL (a scan); what bt_network_adjust returns;
 * BT_ENOMEM.
 */
BT_API enum bt_status bt_plan_find(const struct bt_plan_request *request,
                                   struct bt_plan *out, struct bt_error *err);

/*
 * The readings of a plan, each showing 0, behind those that were taken: what
 * bt_flatness_evaluate is to be given to see what is promised.
 *
 *   out  to be freed with bt_readings_clear, also after an error
 *
 * Returns BT_OK or BT_ENOMEM.
 */
BT_API enum bt_status bt_plan_readings(const struct bt_plan_request *request,
                                       const struct bt_plan *plan,
                                       struct bt_readings *out);

/* Free and set to zero; NULL is accepted. */
BT_API void bt_plan_clear(struct bt_plan *plan);

#endif
