/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_DRAW_FIGURE_CLAMPS_H
#define BENCHTRUE_DRAW_FIGURE_CLAMPS_H

#include "benchtrue/draw/figure.h"
#include "benchtrue/joint/clamping.h"

/* What the figure of the clamps shows.  Nothing is owned; all of it must outlive the
 * call. */
struct bt_clamps_figure {
    const struct bt_job *job; /* title, date, system; board names where nboard is that
                                 of the request */
    const struct bt_clamping_request *request; /* width[], length, caul, kind[] */
    const struct bt_clamping *plan;            /* of that request */
    const char *const *kind_name; /* [request->nkind]; NULL: those of job->clamp, in its
                                     order */
};

/*
 * The clamps, to follow at the glue-up: the panel to scale from above, back edge on
 * top, left end on the left.
 *
 * - The boards with their names, the joints with their numbers from the back edge, the
 *   stage in which each is glued.
 * - The clamps at their places, numbered from the left end, above the panel as full
 *   bars, under it dashed, the kind of each; distances from the left end and from
 *   clamp to clamp.
 * - Cauls along the outer edges, where there are any.
 * - In words: clamps of each kind, the force of each and of the joint, what is missing;
 *   the stages in order with their joints and minutes.
 *
 * Width 210 mm; no letters under 2.3 mm.  PDF: pages of A4, one where it holds
 * everything; SVG and PNG are as high as what they show.  Otherwise as bt_figure_map.
 *
 *   out  to be freed with bt_figure_bytes_clear; untouched on error
 *
 * Returns BT_OK; BT_EINPUT (no board; a width, length or caul that is not finite or not
 * > 0 (caul: >= 0): row is the board; a place off the joint or of a kind that is not
 * there: row; stages that do not hold each joint once: row is the stage); BT_ENOMEM;
 * BT_EWRITE (cairo failed otherwise).  A force that is NaN is called not known.
 */
BT_API enum bt_status bt_figure_clamps(const struct bt_clamps_figure *input,
                                       enum bt_figure_format format,
                                       struct bt_figure_bytes *out,
                                       struct bt_error *err);

#endif
