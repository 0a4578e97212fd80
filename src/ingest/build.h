/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_INGEST_BUILD_H
#define BENCHTRUE_INGEST_BUILD_H

#include "ingest/gather.h"
#include "ingest/points.h"

/* From what was gathered to the observations of a set: the steps in the order in
 * which bt_gather_build takes them. */

/* Notes of one subject after which only their number is told. */
enum { BT_NOTES_SHOWN = 20 };

struct bt_build {
    struct bt_gather *g;
    size_t *order; /* [norder] gaps and heights by line or set-up, as typed within */
    size_t norder;
    double *s;               /* [ntyped] gap: mm along its line */
    bool *drop;              /* [ntyped] adds nothing and is left out */
    size_t *point;           /* [nplace] the point of each place */
    size_t nkept;            /* readings that are not dropped */
    int *group_of_placement; /* [nplacement], [nsetup], [ninstrument]; BT_NO_GROUP
                                where there is none */
    int *group_of_setup;
    int *group_of_instrument;
    struct bt_points points;
    size_t group_room;
    size_t nmerge_note;
};

/* Straightedge lines: ends, length and straightness of those whose places are
 * given, places along each, the least step; lines read at one place are dropped. */
enum bt_status bt_build_lines(struct bt_build *b);

/* Set-ups of a dial: those read at one place are dropped. */
enum bt_status bt_build_setups(struct bt_build *b);

/* Places become points. */
enum bt_status bt_build_points(struct bt_build *b);

/* Observations, groups, sources and counts of the set. */
enum bt_status bt_build_observations(struct bt_build *b);

/* Repeated readings, and feet and sticks where nothing else is read. */
enum bt_status bt_build_notes(struct bt_build *b);

/* Of the readings not taken: which belong to lines that were begun, and where a 0 may
 * have been forgotten. */
enum bt_status bt_build_blanks(struct bt_build *b);

/* order[*from .. *to) is the next run of readings of one line or set-up; false at
 * the end.  Begin with *to 0. */
bool bt_build_run(const struct bt_build *b, enum bt_reading_kind kind, size_t *from,
                  size_t *to);

static inline const struct bt_point *bt_build_place(const struct bt_build *b, size_t i)
{
    return &b->g->place[b->g->typed[i].place];
}

#endif
