/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_DRAW_FIGURE_REMOVAL_H
#define BENCHTRUE_DRAW_FIGURE_REMOVAL_H

#include "benchtrue/draw/figure.h"
#include "benchtrue/judge/chalk.h"

/* What the removal map shows.  Nothing is owned; all of it must outlive the call. */
struct bt_removal_figure {
    const struct bt_job *job; /* title, date, system, joints, panel */
    const struct bt_set *set; /* name, date, face */
    const char *what; /* one line: `Plane the high spots only, to within cup 0.5 mm` */
    size_t n;         /* places */
    const struct bt_point *p;     /* [n] mm, as read on that face */
    const double *depth;          /* [n] what comes off, mm, >= 0; NaN not known */
    double u;                     /* of the largest, mm; NaN not known */
    double pass;                  /* depth of one pass, mm; NaN: passes are not said */
    const struct bt_chalk *chalk; /* of the same places and depths */
    size_t nspot;                 /* 0: no order is given */
    const struct bt_chalk_spot *spot; /* [nspot] in the order to plane them; nine are
                                         shown at most */
};

/*
 * The removal map: where to plane how much, to be chalked on the face.
 *
 * - The panel to scale as it was read, back edge on top; bands of depth in colour
 *   between the places, as in bt_figure_map; nothing is drawn where nothing comes off.
 *   The corners' letters are left out: the columns of the chalk grid carry letters.
 * - The chalk grid with its letters and numbers, and in each cell the most that comes
 *   off there; `-` where nothing does, `?` where nothing was read.  Cells too small for
 *   a number stay empty.
 * - Spots numbered in the order to plane them.
 * - The same as a table, by cell, and the spots with depth and passes.
 * - The usual cautions in one line: read again before the last pass.
 *
 * Width 210 mm; no letters under 2.3 mm.  PDF: pages of A4, one where it holds
 * everything; SVG and PNG are as high as what they show.  Otherwise as bt_figure_map.
 *
 *   out  to be freed with bt_figure_bytes_clear; untouched on error
 *
 * Returns BT_OK; BT_EINPUT (no place; a place that is not finite or over 1 km away, a
 * depth below 0 or infinite: row; a spot whose cell is not there: row); BT_ENOMEM;
 * BT_EWRITE (cairo or qhull failed otherwise, with their words).
 */
BT_API enum bt_status bt_figure_removal(const struct bt_removal_figure *input,
                                        enum bt_figure_format format,
                                        struct bt_figure_bytes *out,
                                        struct bt_error *err);

#endif
