/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_SURFACE_CORRECTION_H
#define BENCHTRUE_SURFACE_CORRECTION_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/export.h"

/*
 * Effects that many readings share.  Each is a number k, the same for all of them, and
 * what k = 1 does to each reading; its value is taken off the readings, and its u stays
 * as one error that all of them share, not as fresh noise of each.  With e from -1 to 1
 * along the line that was read, from its start:
 *
 *   straightness  of an edge as stated: value 0, u = limit/sqrt(3) (JCGM 100:2008,
 *                 4.3.7), 1 - e^2 to each gap read with it: an even hollow or crown,
 *                 which bow, cup and bowl cannot be told from
 *   own hollow    the same, known from a strike-turn-strike line test, with its u
 *   odd shape     (3 sqrt(3)/2) (e - e^3): the edge hollow by k towards the end of the
 *                 line and full by k towards its start.  Found from the readings
 *                 themselves where an edge was laid on one line both ways round, the
 *                 same end of the edge at the start of every line
 *   own weight    value 1, times the heights that the panel's own weight gives it
 *
 * Sources: reference/metrology/definitions.md, "Straightedge on a surface",
 * "Uncertainty"; the shapes themselves are the lowest even and odd polynomial that
 * vanish at the ends, our choice.
 */
enum bt_correction_kind {
    BT_CORRECTION_STRAIGHTNESS,
    BT_CORRECTION_OWN_HOLLOW,
    BT_CORRECTION_ODD,
    BT_CORRECTION_WEIGHT
};

/* Figures whose u is taken apart, in the order of enum bt_figure of judge/limits.h. */
enum bt_doubt_of {
    BT_DOUBT_CUP,
    BT_DOUBT_BOW,
    BT_DOUBT_TWIST,
    BT_DOUBT_RANGE,
    BT_DOUBT_ZONE,
    BT_DOUBT_LOCAL,
    BT_DOUBTS
};

struct bt_correction {
    enum bt_correction_kind kind;
    int instrument;  /* struct bt_group.instrument; -1 for the own weight */
    double value, u; /* mm; of the own weight the factor 1 and its u.  NaN where not
                        seen */
    bool seen;       /* an odd shape that the readings do not show is carried nowhere */
    double share[BT_DOUBTS];  /* mm, with sign: what one u of it does to the figure
                                 (range,  zone and gap with their places held); 0 where
                                 the  figure is not seen */
    double change[BT_DOUBTS]; /* mm: by how much taking its value off changed the
                                 figure */
};

/* `straightness`, `own hollow`, `odd shape`, `own weight`; "unknown correction" for a
 * number outside the list. */
BT_API const char *bt_correction_name(enum bt_correction_kind kind);

#endif
