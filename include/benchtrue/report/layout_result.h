/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_LAYOUT_RESULT_H
#define BENCHTRUE_REPORT_LAYOUT_RESULT_H

#include "benchtrue/draw/figure.h"
#include "benchtrue/fit/cover.h"
#include "benchtrue/fit/cutouts.h"
#include "benchtrue/fit/layout.h"
#include "benchtrue/ingest/job.h"
#include "benchtrue/report/buffer.h"
#include "benchtrue/report/text.h"

/* A plan laid under the outline. */
struct bt_laid {
    struct bt_layout_plan plan;
    double turn; /* of the outline on the blank, rad */
    struct bt_point
        at; /* of its corner A on the blank, mm from the blank's back left */
    double blank_length;        /* mm */
    double end_left, end_right; /* least wood beyond the ends, mm */
    /* Of each strip, where it ends at the left and the right end of the piece, square
     * to its back edge; [0] is where the first begins. */
    double left[BT_LAYOUT_BOARDS + 1], right[BT_LAYOUT_BOARDS + 1];
};

struct bt_layout_report {
    const struct bt_job *job;
    struct bt_outline outline; /* of the finished piece */
    bool shaped;               /* it is no rectangle along the back edge */
    struct bt_point low, high; /* its extent */
    struct bt_layout_request request;
    struct bt_layout_board *board; /* of request */
    struct bt_layout_clear clear[BT_LAYOUT_CLEARS];
    size_t clear_cutout[BT_LAYOUT_CLEARS]; /* whose place it is; SIZE_MAX: [layout] */
    struct bt_layout_answer answer;        /* with the back edge along the grain */
    struct bt_laid best;                   /* plan.found false: there is none */
    struct bt_laid turned;       /* where a turn saves wood, or makes one possible; else
                                    plan.found is false */
    bool needs_turn;             /* best is the turned one */
    struct bt_cutout_check *cut; /* [job->layout.ncutout] against best */
    double narrowest, width_u, beside, clearance, ends; /* taken */
    bool narrowest_assumed, width_u_assumed, beside_assumed, clearance_assumed;
};

/*
 * Lay out the boards of a job.
 *
 *   outline  of the finished piece; NULL: the rectangle of [layout] or [panel]
 *   out      to be freed with bt_layout_report_clear, also after an error
 *
 * A cut-out keeps joints away: from all of it and `clearance` beside it where it is a
 * circle or narrow enough to lie in every board, else from its two long edges.
 *
 * Returns as bt_layout_choose and bt_cover_find; BT_EINPUT too where there are no
 * boards or the size of the piece is not stated.
 */
BT_API enum bt_status bt_layout_report_find(const struct bt_job *job,
                                            const struct bt_outline *outline,
                                            struct bt_layout_report *out,
                                            struct bt_error *err);

BT_API void bt_layout_report_clear(struct bt_layout_report *report);

/* Within: a layout keeps every rule and every cut-out its distances; over: none does,
 * or a cut-out does not; not seen: none was found, but not all could be tried. */
BT_API enum bt_verdict bt_layout_report_verdict(const struct bt_layout_report *report);

/* For people: verdict and next action first; with details the states visited and what
 * was taken.  For programs: one JSON object, docs/json.md lists the keys.  BT_OK or
 * BT_ENOMEM. */
BT_API enum bt_status bt_text_layout(const struct bt_layout_report *report,
                                     const struct bt_text_options *options,
                                     struct bt_buffer *out);
BT_API enum bt_status bt_json_layout(const struct bt_layout_report *report,
                                     struct bt_buffer *out);

/* The figure of the best layout: bt_figure_layout, which see for format, out and
 * errors; BT_EINPUT too where there is none. */
BT_API enum bt_status bt_layout_draw(const struct bt_layout_report *report,
                                     enum bt_figure_format format,
                                     struct bt_figure_bytes *out, struct bt_error *err);

#endif
