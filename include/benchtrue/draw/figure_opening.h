/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_DRAW_FIGURE_OPENING_H
#define BENCHTRUE_DRAW_FIGURE_OPENING_H

#include "benchtrue/draw/figure.h"
#include "benchtrue/fit/piece.h"
#include "benchtrue/ingest/job.h"

/* What the figure of an opening shows.  Nothing is owned; all of it must outlive the
 * call. */
struct bt_opening_figure {
    const struct bt_job *job; /* title, date, system, feelers */
    const struct bt_quad_result *quad;
    const struct bt_wall_profile *profile; /* [BT_WALLS] */
    const struct bt_opening_plan *plan;
    const struct bt_piece
        *piece;           /* NULL: none is planned, the opening alone is drawn */
    bool tilts;           /* the way in that is left is one end first */
    bool level;           /* let in from above, level */
    double height_needed; /* mm of headroom for it; NaN not known */
};

/*
 * The opening and the piece from above, to one scale, back wall on top, left on the
 * left.
 *
 * - The opening as measured: corners A to D with their angles, sides, diagonals; the
 *   walls, whose hollows and bumps are drawn larger by a whole number that the figure
 *   says.
 * - The piece in it, walls as they are: the gap at each wall, the overhang, the
 *   numbers of the cuts in their order, thick where an edge is scribed, the reference
 *   edge named, an arrow for the way in.
 * - In words: the cuts with angle and offset over a length, gaps in spacers, the way
 *   in.
 *
 * Width 210 mm.  PDF: pages of A4; SVG and PNG are as high as what they show.
 *
 *   out  to be freed with bt_figure_bytes_clear; untouched on error
 *
 * Returns BT_OK; BT_EINPUT (a corner that is not seen: `the corners are not
 * determined: nothing to draw`); BT_ENOMEM; BT_EWRITE.
 */
BT_API enum bt_status bt_figure_opening(const struct bt_opening_figure *input,
                                        enum bt_figure_format format,
                                        struct bt_figure_bytes *out,
                                        struct bt_error *err);

#endif
