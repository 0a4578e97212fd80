/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_DRAW_FIGURE_MOVEMENT_H
#define BENCHTRUE_DRAW_FIGURE_MOVEMENT_H

#include "benchtrue/draw/figure.h"
#include "benchtrue/fit/fixings.h"

/* What the figure of the fixings shows.  Nothing is owned; all of it must outlive the
 * call. */
struct bt_movement_figure {
    const struct bt_job *job;                    /* title, date, system, fixing: rows */
    double length;                               /* of the finished piece, mm */
    const struct bt_seasons *seasons;            /* boards, fixed line */
    const struct bt_season_change *back, *front; /* of the two edges */
    const struct bt_fixing_way *way;             /* [job->fixing.n] */
    const bool *enough;                          /* [job->fixing.n]: within */
};

/*
 * Where to set each screw: the panel to scale from above, back edge on top, left end on
 * the left, with its joints, the fixed line, and the outlines at its driest and
 * dampest.
 *
 * - Each fixing with its number; its slot or way, its screw of today as a dot where it
 *   is to be set, or stands, and as a bar how far it goes to the back and to the front.
 * - Slots, ways, screws and the outlines are drawn larger than the panel, all by the
 *   same whole number, which the figure says; lengths of slots are over all.
 * - In words: a line a fixing, what it needs, what it gives, where to set the screw.
 *
 * Width 210 mm.  PDF: pages of A4; SVG and PNG as high as what they show.
 *
 *   out  to be freed with bt_figure_bytes_clear; untouched on error
 *
 * Returns BT_OK; BT_EINPUT (no board, the length of the panel not known or not over 0);
 * BT_ENOMEM; BT_EWRITE.
 */
BT_API enum bt_status bt_figure_movement(const struct bt_movement_figure *input,
                                         enum bt_figure_format format,
                                         struct bt_figure_bytes *out,
                                         struct bt_error *err);

#endif
