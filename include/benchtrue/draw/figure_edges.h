/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_DRAW_FIGURE_EDGES_H
#define BENCHTRUE_DRAW_FIGURE_EDGES_H

#include "benchtrue/draw/figure.h"
#include "benchtrue/joint/edge_plan.h"
#include "benchtrue/joint/section.h"

/* What the figure of the edges shows.  Nothing is owned; all of it must outlive the
 * call. */
struct bt_edges_figure {
    const struct bt_job *job; /* title, date, system; nboard, and of each board name and
                                 rule.grain, as given before any board is turned */
    const struct bt_edge_plan *plan;  /* run, conflict; nboard as the job's.  back and
                                         front (also of a conflict) are those of the
                                         board as it is glued */
    const struct bt_section *section; /* of that plan; nboard as the job's */
    enum bt_pattern pattern;          /* as asked for */
    enum bt_feed feed;
    struct bt_edge_errors errors; /* e and u_e are written, the rest is not looked at */
};

/*
 * The edges, to follow at the jointer: seen from the left end, back edge on the left.
 *
 * - The show faces in their order with the layout triangle over them (a pencilled
 *   triangle across all boards, common practice, no source: it tells order, face and
 *   ends of each board; here its base is at the left end) and the run of the grain.
 * - Every board's end, apart, to one scale in thickness and width, all its angles
 *   exaggerated by the round factor that is written beside: name, width, the mark of
 *   each edge (`in`, `out`), a bar along the face that goes to the fence for it, a
 *   boxed exclamation mark where a rule speaks against it.
 * - The section as it comes out of the clamps, edges together, its bends exaggerated
 *   by the round factor written beside, with the cup.
 * - A table: per board and edge the mark, the face to the fence and the end that leads
 *   through the machine; per joint kink and opening; warnings in words.
 *
 * Width 210 mm; no letters under 2.3 mm.  PDF: one page of A4 for up to 24 boards,
 * more boards (and names that the table has to cut, which are written out below it) go
 * on on further pages of A4; SVG and PNG are as high as what they show.  Otherwise as
 * bt_figure_map.
 *
 *   out  to be freed with bt_figure_bytes_clear; untouched on error
 *
 * Returns BT_OK; BT_EINPUT (no board; as many boards in job, plan and section are not
 * the same; a conflict of a board that is not there: row; a corner, a kink, an
 * opening or e that is not finite, a face without width, an edge without height, one
 * that leans by pi/4 or more: row is the board or the joint); BT_ENOMEM; BT_EWRITE
 * (cairo failed otherwise).  A u that is NaN is left out.
 */
BT_API enum bt_status bt_figure_edges(const struct bt_edges_figure *input,
                                      enum bt_figure_format format,
                                      struct bt_figure_bytes *out,
                                      struct bt_error *err);

#endif
