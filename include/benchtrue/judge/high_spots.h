/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_JUDGE_HIGH_SPOTS_H
#define BENCHTRUE_JUDGE_HIGH_SPOTS_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/base/status.h"
#include "benchtrue/judge/limits.h"
#include "benchtrue/judge/removal.h"

/*
 * Planing the high spots only: everything above one level comes off, and the level goes
 * down until the figures hold.  Three directions of the level are tried, since which
 * is best depends on the form: the least-squares plane, the minimum zone, and the plane
 * of least removed volume; the one that removes least volume is taken.  The rule needs
 * no more than a straightedge and chalk to follow; it is not the least possible
 * removal, which would be no plane.
 */

enum bt_high_spots_reference {
    BT_HIGH_SPOTS_MEAN,   /* parallel to the least-squares plane */
    BT_HIGH_SPOTS_ZONE,   /* to the planes of the minimum zone */
    BT_HIGH_SPOTS_VOLUME, /* to the plane of least removed volume */
    BT_HIGH_SPOTS_REFERENCES
};

struct bt_high_spots_request {
    struct bt_removal_face face;
    struct bt_rectangle rectangle; /* the panel, over which the form is taken */
    double aim[BT_FIGURE_COUNT];   /* mm, > 0: sizes that the figures must come down to;
                                      NaN: not asked for.  To be called `within` later a
                                      figure needs room for its u: the limit less 2 u */
    double local_span;             /* of the straightedge of BT_FIGURE_LOCAL, mm, > 0 */
    double band; /* places within half of it are on one line (bt_edge_search) */
    double step; /* mm, > 0: the level is found to this; NaN or 0: a 512th of the
                    largest removal of a whole face */
};

struct bt_high_spots {
    bool needed; /* false: every figure holds as it is; the depths are all 0 */
    enum bt_high_spots_reference reference;
    struct bt_plane plane; /* everything above it comes off */
    double *depth;         /* [face.n] mm; owned */
    double largest;        /* of them */
    double u;              /* of the height there, mm; NaN where not known */
    size_t highest;        /* index of the place */
    double mean;           /* by share: times the area the volume, mm */
    double touched;        /* share of the area where something comes off */
    double before[BT_FIGURE_COUNT], after[BT_FIGURE_COUNT]; /* mm, with sign; NaN where
                                               not asked for */
};

/*
 * Find the level: the highest, to `step`, at which every figure asked for is seen and
 * not larger than its aim, of 32 even levels from the highest place to the plane on
 * which the whole face would be flat, and then by halving.  Figures are those of
 * bt_scan_form (cup, bow, twist, range), bt_zone_fit (normal width) and the largest of
 * bt_edge_gap_search in the four directions.
 *
 *   out   to be freed with bt_high_spots_clear; untouched on error
 *
 * Returns BT_OK; BT_EINPUT (a fault of the face as in bt_removal_least_depth; nothing
 * asked for; an aim or span not > 0; rectangle without area; a figure that the places
 * do not show); BT_ESINGULAR (all places on one line); BT_ENOMEM.
 */
BT_API enum bt_status bt_high_spots_find(const struct bt_high_spots_request *request,
                                         struct bt_high_spots *out,
                                         struct bt_error *err);

/* NULL is accepted. */
BT_API void bt_high_spots_clear(struct bt_high_spots *spots);

#endif
