/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_FIT_FIXING_H
#define BENCHTRUE_FIT_FIXING_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/export.h"

/*
 * How a panel is fixed to what carries it, as the maker states it: where each screw
 * goes and what room it has.  Lengths in mm, angles in rad, forces in N; NaN where not
 * stated.  Places as the piece lies: x along the grain from the left end, y across it
 * from the back edge.
 */

enum bt_fixing_kind {
    BT_FIXING_ROUND_HOLE,
    BT_FIXING_SLOT,
    BT_FIXING_FIGURE_EIGHT, /* plate of two discs: it turns about the screw in the
                               frame */
    BT_FIXING_CLIP,         /* its tongue slides in a groove of the frame */
    BT_FIXING_BUTTON,       /* the same of wood */
    BT_FIXING_BRACKET,      /* angle with a hole or a slot */
    BT_FIXING_KINDS
};

/* `round hole`, `slot`, `figure-eight`, `clip`, `button`, `bracket`; "unknown kind" for
 * a number outside the list. */
BT_API const char *bt_fixing_kind_name(enum bt_fixing_kind kind);

/* What the thread of the screw holds in. */
enum bt_fixing_into {
    BT_INTO_SOLID_WOOD,
    BT_INTO_PLYWOOD,
    BT_INTO_PARTICLE_BOARD,
    BT_INTO_MDF,
    BT_INTO_METAL,
    BT_INTO_KINDS
};

/* `solid wood`, `plywood`, `particle board`, `mdf`, `metal`; "unknown material". */
BT_API const char *bt_fixing_into_name(enum bt_fixing_into into);

struct bt_fixing {
    char *name; /* as typed; "" where not stated */
    size_t line;
    double x, y;
    enum bt_fixing_kind kind;
    double direction; /* of the slot, 0 across the grain to pi/2 along it; NaN */
    double slot;      /* its length over all, > 0 */
    double hole;      /* diameter of a hole, width of a slot, > 0 */
    double screw;     /* diameter of the shank, > 0 */
    double thread;    /* length in the material, > 0 */
    double travel;    /* of a figure-eight, clip, button or bracket: how far it lets the
                         panel go in all, across, >= 0; of a slot and a hole it follows */
    double arm;     /* of a figure-eight the distance between its two screws, of a clip
                       or button the length of its tongue, > 0 */
    double at;      /* where the screw stands in it today: from the middle of its way,
                       towards the front positive */
    double head;    /* diameter of the screw's head or its washer, > 0 */
    double through; /* thickness of what the head holds down on, > 0 */
    enum bt_fixing_into into;
    bool washer;
};

/* The line that does not move. */
enum bt_fixed_line {
    BT_FIXED_NOT_STATED,
    BT_FIXED_BACK,
    BT_FIXED_FRONT,
    BT_FIXED_CENTRE,
    BT_FIXED_AT
};

enum bt_ends { BT_ENDS_NONE, BT_ENDS_BREADBOARD, BT_ENDS_FRAME };

/* [fixing], and the rows of fixings.csv. */
struct bt_fixing_setup {
    enum bt_fixed_line fixed;
    double fixed_at; /* from the back edge, of BT_FIXED_AT; else NaN */
    enum bt_ends ends;
    double ends_width; /* of a breadboard end, along the panel's grain; of a frame's
                          groove its depth; > 0 */
    double ends_play;  /* room at each edge today, beyond the tongue's or the panel's
                          edge, >= 0 */
    double load;       /* that lifts the whole or pulls at it, > 0 */
    size_t n;
    struct bt_fixing *fixing;
};

/* Nothing stated, no fixing. */
BT_API struct bt_fixing_setup bt_fixing_none(void);

/* y of the line that does not move on a panel of that width; where nothing is stated
 * its middle. */
BT_API double bt_fixed_line_at(const struct bt_fixing_setup *setup, double width);

#endif
