/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_JUDGE_CHOICES_H
#define BENCHTRUE_JUDGE_CHOICES_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/judge/high_spots.h"
#include "benchtrue/judge/limits.h"
#include "benchtrue/judge/pull_flat.h"
#include "benchtrue/judge/removal.h"
#include "benchtrue/judge/trend.h"
#include "benchtrue/judge/work_plan.h"

/*
 * What can be done about a panel, what each choice costs, and in which order they are
 * worth trying.  Lengths in mm, forces in N, times in minutes.
 */

#define BT_CHOICE_LIST(X)                                                              \
    X(BT_CHOICE_LEAVE, "leave it")                                                     \
    X(BT_CHOICE_WAIT, "wait and measure again")                                        \
    X(BT_CHOICE_PULL, "pull it flat with its fixings")                                 \
    X(BT_CHOICE_HIGH_SPOTS, "plane the high spots only")                               \
    X(BT_CHOICE_FLATTEN, "flatten one face and thickness to parallel")                 \
    X(BT_CHOICE_ELSEWHERE, "wide sander or sled elsewhere")                            \
    X(BT_CHOICE_REGLUE, "rip at the joints and glue again")

#define BT_CHOICE_CODE(code, name) code,
enum bt_choice_kind { BT_CHOICE_LIST(BT_CHOICE_CODE) BT_CHOICES };
#undef BT_CHOICE_CODE

/* Their names; "unknown choice" for a number outside the list. */
BT_API const char *bt_choice_name(enum bt_choice_kind kind);

enum bt_choice_state {
    BT_CHOICE_POSSIBLE,
    BT_CHOICE_OPEN, /* something that would decide it is not known */
    BT_CHOICE_NOT   /* it cannot work, or must not be done */
};

/* `possible`, `cannot tell`, `no`; "unknown state" for a number outside the list. */
BT_API const char *bt_choice_state_name(enum bt_choice_state state);

/* Why a choice is open or not; the words are made where the units are known. */
enum bt_choice_reason {
    BT_REASON_NONE,
    BT_REASON_LIMIT_OVER,   /* leave: a limit is over */
    BT_REASON_LIMIT_OPEN,   /* leave: one is too close to call or not seen */
    BT_REASON_NO_LIMITS,    /* nothing says how flat it has to be */
    BT_REASON_HOLDS,        /* every limit holds, so that nothing has to be done */
    BT_REASON_MOVING,       /* it still moves */
    BT_REASON_SETTLED,      /* wait: it moves no more */
    BT_REASON_NO_SURFACE,   /* the readings do not give the heights of the face */
    BT_REASON_NO_LEVEL,     /* no level of the high spots can be found */
    BT_REASON_NO_THICKNESS, /* of the panel */
    BT_REASON_NO_LEAST_THICKNESS,
    BT_REASON_TOO_THIN,
    BT_REASON_NO_MACHINE, /* its width is not stated */
    BT_REASON_TOO_WIDE,   /* for it */
    BT_REASON_NOT_A_BEND, /* pull: neither cup, bow nor twist is what is wrong */
    BT_REASON_NO_WOOD,    /* pull: species not stated */
    BT_REASON_NO_SCREWS,  /* pull: their size is not stated */
    BT_REASON_SCREWS_TOO_WEAK,
    BT_REASON_WOOD_TOO_WEAK,
    BT_REASON_NO_JOINTS,
    BT_REASON_SMOOTH,        /* the joints are not where it bends */
    BT_REASON_JOINTS_UNSURE, /* nothing says that they are */
    BT_REASON_NO_WIDTH,
    BT_REASON_NO_LEAST_WIDTH,
    BT_REASON_TOO_NARROW
};

/* Why a choice stands where it does among those that are possible. */
enum bt_choice_rank {
    BT_RANK_NOTHING_TO_DO,
    BT_RANK_MOVES,       /* waiting first: what is cut now is wrong tomorrow */
    BT_RANK_NO_WOOD_OFF, /* it takes off nothing and can be undone */
    BT_RANK_UNSURE,      /* waiting before cutting: nothing says that it rests */
    BT_RANK_LEAST_OFF,   /* of those that take off wood, by how much */
    BT_RANK_LAST         /* every joint is made again, and then it is flattened */
};

/* Where the form that a choice leaves comes from. */
enum bt_choice_form {
    BT_FORM_UNKNOWN,
    BT_FORM_AS_READ,
    BT_FORM_AT_REST, /* where the trend says that it comes to rest */
    BT_FORM_PLANED,  /* of the face with the high spots taken down */
    BT_FORM_MACHINE, /* flat within what the machine cuts: 0, its u not ours to say */
    BT_FORM_FIXINGS  /* what was pulled: the largest distance from flat between and
                        beyond the fixings; rails taken as stiff and flat */
};

struct bt_choice {
    enum bt_choice_kind kind;
    enum bt_choice_state state;
    enum bt_choice_reason reason; /* BT_REASON_NONE where possible */
    enum bt_choice_rank rank;
    struct bt_measured thickness, width; /* left; not seen where not known */
    struct bt_measured removed;          /* most that comes off one face at a place */
    double removed_other;                /* the same of the other face; NaN: none */
    double volume;                       /* mm3 taken off; NaN: not known */
    double passes;                       /* NaN: not by passes */
    struct bt_measured force;            /* N, on the screw that carries most */
    double force_holds;                  /* N, what it may carry; NaN not known */
    struct bt_measured stress;           /* MPa, in the wood */
    double stress_holds;                 /* MPa, what the wood may carry for good */
    double minutes;                      /* of work; NaN: not known, or not ours */
    enum bt_choice_form form;            /* what is left of it: */
    struct bt_measured cup, bow, twist;  /* mm, on the face read; not seen: not known */
};

struct bt_choices_request {
    double limit[BT_FIGURE_COUNT];            /* mm, > 0; NaN: none */
    enum bt_verdict verdict[BT_FIGURE_COUNT]; /* on each that has a limit */
    double u[BT_FIGURE_COUNT];                /* of each figure, mm; NaN not known */
    struct bt_measured cup, bow, twist;       /* mm */
    struct bt_measured rest_cup, rest_bow, rest_twist; /* where they come to rest by the
                                                          trend; not seen: not known */
    /* The face read; n 0: heights are not known. */
    struct bt_removal_face face;
    struct bt_rectangle rectangle;
    const struct bt_removal_face *under; /* of the other face in the same frame
                                            (bt_removal_underside, bt_removal_turned);
                                            NULL: taken to be of even thickness */
    double local_span, band;             /* as struct bt_high_spots_request */
    double length, width, thickness;     /* of the panel; NaN not stated */
    double u_thickness;                  /* >= 0; NaN not known */
    bool hardwood; /* every wood that the species may mean is one: the rule of strength
                      across the grain; softwoods' gives less */
    const struct bt_wood *wood; /* NULL: species not stated */
    size_t njoint, nripped;     /* glue joints; those that would be ripped */
    enum { BT_JOINTS_UNSURE, BT_JOINTS_AT_FAULT, BT_JOINTS_STRAIGHT } joints;
    bool moving_known; /* false: there is nothing to compare with */
    enum bt_trend_verdict moving;
    struct bt_work_plan plan; /* as stated */
};

/* All choices, and what they were found with.  Arrays owned. */
struct bt_choices {
    struct bt_choice choice[BT_CHOICES]; /* best first; then the open ones, then those
                                            that cannot work */
    struct bt_work_plan plan;            /* as it was reckoned with */
    bool spots_found;
    struct bt_high_spots spots;
    double aim[BT_FIGURE_COUNT]; /* what they were to come down to, mm; NaN not asked */
    bool pair_found;
    struct bt_removal_pair pair; /* by request->under, else bt_removal_nominal */
    bool pair_exact;             /* the other face was known */
};

/*
 * Find them.
 *
 *   out   to be freed with bt_choices_clear; untouched on error
 *
 * Limits hold where each that is stated is `within`; figures that are not are brought
 * down to the limit less 2 u, at least half the limit.
 *
 * - Taking off wood (high spots, flatten, elsewhere, re-glue) is `no` while the panel
 *   moves, and where less than the least thickness would be left: value less 2 u.
 * - Flatten is for a machine of one's own, elsewhere for one that takes any width.
 * - Pulled flat: a cup or bow by lines of fixings spread over the extent from 5 % to
 *   95 % of it, a twist by the corners; E across the grain midway between tangential
 *   and radial, with half their difference over sqrt(3) in u.
 * - Form left: leave it, as read; wait, where the trend says; high spots, the form of
 * the heights less what comes off, u that of the figure and of a shaving (over
 * sqrt(12)); pulled, what is left between the fixings, with the sign and the relative u
 * of the form, twist held at its corners 0, what is not pulled as read; flattened,
 * elsewhere and re-glued (which is flattened afterwards) 0 with u NaN.
 * - Re-glue: nripped joints are ripped; 2 mm are taken for flattening it afterwards.
 *
 * Order: possible before open before no.  Of the possible ones as enum bt_choice_rank
 * says, of those that take off wood the one that takes least at any place first, where
 * alike (0.01 mm) the quicker.
 *
 * Returns BT_OK; BT_EINPUT (a limit that is not > 0; a plan out of the ranges above;
 * what bt_removal_least_depth refuses of a face); BT_ENOMEM.
 */
BT_API enum bt_status bt_choices_find(const struct bt_choices_request *request,
                                      struct bt_choices *out, struct bt_error *err);

/* NULL and zeroes are accepted. */
BT_API void bt_choices_clear(struct bt_choices *choices);

/* The best one that is possible; NULL where none is. */
BT_API const struct bt_choice *bt_choices_best(const struct bt_choices *choices);

#endif
