/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_OPENING_RESULT_H
#define BENCHTRUE_REPORT_OPENING_RESULT_H

#include "benchtrue/draw/figure.h"
#include "benchtrue/fit/piece.h"
#include "benchtrue/ingest/job.h"
#include "benchtrue/report/movement_result.h"
#include "benchtrue/report/text.h"

/* A verdict of `opening` on one question, and whether it was asked. */
enum bt_opening_fault {
    BT_OPENING_FITS,
    BT_OPENING_UNSEEN,      /* the corners are not determined */
    BT_OPENING_DISAGREES,   /* the readings contradict each other */
    BT_OPENING_NO_WAY_IN,   /* no way in is known within the headroom */
    BT_OPENING_HEADROOM,    /* it goes in tilted, and the headroom is not stated */
    BT_OPENING_SMALL_JOINT, /* a joint is less than movement or sealant needs */
    BT_OPENING_SCRIBE,      /* a wall needs more than may be scribed */
    BT_OPENING_PANEL        /* the panel is smaller than the piece */
};

/* `opening` of one job. */
struct bt_opening_answer {
    const struct bt_job *job;
    struct bt_wall_profile profile[BT_WALLS];
    bool traced[BT_WALLS]; /* made from the template's points */
    struct bt_quad_result quad;
    struct bt_opening_plan plan; /* of the job, thickness of the panel filled in */
    bool movement_known;         /* species and [climate] are stated */
    char wood[208];              /* "" not known */
    /* As `movement` has it, of the piece's width: from now to the dampest and driest,
     * of the width and of its edges, towards the front positive; all 0 where not known.
     */
    struct bt_season_change whole, back_edge, front_edge;
    double fixed; /* y of the line that does not move */
    enum bt_fixed_why fixed_why;
    enum bt_now_from now_from; /* BT_NOW_MIDDLE: nothing says, half-way is taken */
    bool has_piece;
    struct bt_piece piece;
    bool tilts;           /* the way in that is left is one end first from above */
    bool level;           /* let in from above, level */
    double height_needed; /* mm of headroom for it; NaN not known */
    double panel_short, panel_narrow; /* mm that the panel lacks, 0 where it is enough
                                         or its size not stated */
    enum bt_opening_fault fault;      /* the gravest */
};

/*
 * Everything about the opening of a job.
 *
 *   out  to be freed with bt_opening_answer_clear, also after an error
 *
 * Returns BT_OK, also where the corners are not determined (fault says so and there is
 * no piece); BT_EINPUT (no opening.csv or no reading in it; what bt_quad_fit,
 * bt_piece_find and bt_wood_find refuse); BT_ENOMEM.
 */
BT_API enum bt_status bt_opening_answer_find(const struct bt_job *job,
                                             struct bt_opening_answer *out,
                                             struct bt_error *err);

BT_API void bt_opening_answer_clear(struct bt_opening_answer *answer);

/* `over` where there is no way in, a joint is too small, more has to be scribed than
 * may be, or the panel is too small; `not seen` where corners or headroom are not
 * known; `too close to call` where the readings contradict each other; else `within`.
 */
BT_API enum bt_verdict
bt_opening_answer_verdict(const struct bt_opening_answer *answer);

/* As the other verbs: report/joint_text.h, report/joint_json.h; docs/json.md lists the
 * keys.  Each returns BT_OK or BT_ENOMEM. */
BT_API enum bt_status bt_text_opening(const struct bt_opening_answer *answer,
                                      const struct bt_text_options *options,
                                      struct bt_buffer *out);
BT_API enum bt_status bt_json_opening(const struct bt_opening_answer *answer,
                                      struct bt_buffer *out);

/* The figure of it: bt_figure_opening, which see for format, out and errors. */
BT_API enum bt_status bt_opening_draw(const struct bt_opening_answer *answer,
                                      enum bt_figure_format format,
                                      struct bt_figure_bytes *out,
                                      struct bt_error *err);

#endif
