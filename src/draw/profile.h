/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_DRAW_PROFILE_H
#define BENCHTRUE_DRAW_PROFILE_H

#include "benchtrue/draw/figure.h"

/* One place on a line. */
struct profile_place {
    double s;     /* along the line from its start, mm */
    double z;     /* mm */
    size_t point; /* index; several readings of one place: the first */
};

struct profile {
    size_t start, count;              /* of place, ascending in s */
    struct bt_point from, to;         /* ends of what was read */
    double span;                      /* of the edge, mm; NaN: as long as the line */
    enum bt_edge_direction direction; /* where span is given */
    double angle;                     /* of an oblique one, rad */
    bool own; /* heights from its own gaps, offset and tilt unknown */
    size_t left, right, deepest; /* places, from start; all 0 where there is no gap */
    double gap;                  /* largest, mm, >= 0 */
    double u;                    /* of the gap, mm; NaN where not known */
};

/* All lines of a set.  All zero: none. */
struct profiles {
    size_t n, room;
    struct profile *profile;
    size_t nplace, place_room;
    struct profile_place *place;
};

/*
 * Gather the lines that bt_figure_lines describes, in its order, without its limit,
 * each with its largest gap.  Returns BT_OK or BT_ENOMEM.  Free with profiles_clear.
 */
enum bt_status profiles_gather(const struct bt_figure_input *in, struct profiles *out,
                               struct bt_error *err);

void profiles_clear(struct profiles *profiles);

/*
 * Upper hull of n places, ascending in s: hull[] gets the indices of its corners, room
 * for n.  Returns how many.
 */
size_t profile_hull(size_t n, const struct profile_place place[], size_t hull[]);

/* The largest gap between a hull and its places. */
void profile_gap(size_t n, const struct profile_place place[], size_t nhull,
                 const size_t hull[], struct profile *profile);

/* Height of the straight line through two places, at s. */
double profile_edge(const struct profile_place *a, const struct profile_place *b,
                    double s);

/* Gathering adds a line: its places first, then this, which orders them, joins those at
 * one place to their mean, and finds the gap; fewer than three places are dropped. */
enum bt_status profile_add_place(struct profiles *out, struct profile_place place,
                                 struct bt_error *err);
enum bt_status profile_end(struct profiles *out, struct profile line,
                           struct bt_error *err);

#endif
