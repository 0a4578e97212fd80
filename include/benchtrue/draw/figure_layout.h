/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_DRAW_FIGURE_LAYOUT_H
#define BENCHTRUE_DRAW_FIGURE_LAYOUT_H

#include "benchtrue/draw/figure.h"
#include "benchtrue/fit/cutouts.h"
#include "benchtrue/fit/layout.h"

/* What the figure of a layout shows.  Nothing is owned; all of it must outlive the
 * call. */
struct bt_layout_figure {
    const struct bt_job *job;          /* title, date, system, names of the boards */
    const struct bt_outline *outline;  /* of the finished piece */
    const struct bt_layout_plan *plan; /* found */
    double turn;                       /* of the outline on the blank, rad */
    struct bt_point at;                /* of its corner A on the blank, mm */
    double blank_length;               /* mm, > 0 */
    const struct bt_layout_request *request; /* widths, jointing, places kept clear */
    size_t ncutout;
    const struct bt_cutout *cutout; /* [ncutout] */
    size_t nfixing;
    const struct bt_fixing *fixing; /* [nfixing] */
};

/*
 * The blank to scale from above, back edge on top, left end on the left: the boards
 * with their names (`turned` where the other face shows), the joints with their
 * distance from the back edge of the blank, the outline of the finished piece on it,
 * dashed bands that are kept clear of joints, cut-outs with their names, and the
 * fixings.  In words: the trims, and where the outline's corner A lies and how it is
 * turned.
 *
 * Width 210 mm.  Otherwise as bt_figure_map.
 *
 * Returns BT_OK; BT_EINPUT (no plan, no outline, a length that is not > 0); BT_ENOMEM;
 * BT_EWRITE.
 */
BT_API enum bt_status bt_figure_layout(const struct bt_layout_figure *input,
                                       enum bt_figure_format format,
                                       struct bt_figure_bytes *out,
                                       struct bt_error *err);

#endif
