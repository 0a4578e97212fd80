/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_DECIDE_RESULT_H
#define BENCHTRUE_REPORT_DECIDE_RESULT_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/draw/figure.h"
#include "benchtrue/judge/causes.h"
#include "benchtrue/judge/chalk.h"
#include "benchtrue/judge/choices.h"
#include "benchtrue/report/edge_setup.h"
#include "benchtrue/report/result.h"
#include "benchtrue/report/text.h"
#include "benchtrue/report/trend_result.h"

/* Of a stated thickness, as a standard uncertainty, mm (common practice, no source: a
 * caliper at a few places). */
#define BT_ASSUMED_U_THICKNESS 0.1

enum { BT_DECIDE_SPOTS = 9 };

/* `decide` of one job. */
struct bt_decide_answer {
    const struct bt_job *job;
    const struct bt_set *set;
    struct bt_set_result result;

    bool trend_known; /* there is a trend, and the set is its latest */
    struct bt_trend_answer trend;
    char trend_missing[480]; /* why not; "" */
    bool next_known;
    long next_day; /* to look again: bt_day_of_date */

    bool boards_known; /* setup, plan: how the boards were to be run */
    struct bt_edge_setup setup;
    struct bt_edge_plan plan;
    bool panel_known; /* the fence error read out of the panel */
    struct bt_panel_fence panel;
    double panel_score; /* (panel - fence)/u of the difference; NaN not compared */
    const struct bt_set *clamped; /* compared with the clamps on; NULL */

    struct bt_cause_evidence evidence;
    struct bt_causes causes;

    bool wood_known;
    struct bt_wood wood;
    size_t nface; /* places whose heights are known; 0: they are not */
    struct bt_point *place;
    double *height, *u_height, *share; /* [nface] */
    /* The other face in the frame of the one read: by thickness.csv, with the latest
     * set of the other face where there is one (`other`; NULL: top less thickness). */
    bool under_known;
    const struct bt_set *other;
    struct bt_removal_under under;
    size_t nripped;
    struct bt_choices choices;

    bool map_known;             /* something may be taken off: */
    enum bt_choice_kind map_of; /* the first such choice in order */
    double *depth;              /* [nface] mm */
    struct bt_chalk chalk;
    size_t nspot; /* at most BT_DECIDE_SPOTS */
    struct bt_chalk_spot spot[BT_DECIDE_SPOTS];
};

/*
 * Find why a panel is as it is and what to do about it.
 *
 *   job   as loaded, with all its sets; must outlive out
 *   set   of job: the one to decide by
 *   out   to be freed with bt_decide_answer_clear, also after an error
 *
 * The trend counts only where the set is the latest; what it says of movement holds
 * then.  Clamps: the latest set on the same face with the clamps on against this one
 * with them off; the figure is cup, bow or twist, that which is largest by its limit.
 * The other face: places of thickness.csv within job->same_point of places read; where
 * the two do not determine it the thickness is taken to be even.
 * Its own weight: as bt_own_weight_find reckons it.
 *
 * Returns BT_OK; what bt_set_evaluate, bt_choices_find return; BT_EINPUT (the set has
 * no reading); BT_ENOMEM.  What could not be found for want of data is no error.
 */
BT_API enum bt_status bt_decide_answer_find(const struct bt_job *job,
                                            const struct bt_set *set,
                                            struct bt_decide_answer *out,
                                            struct bt_error *err);

BT_API void bt_decide_answer_clear(struct bt_decide_answer *answer);

/* `within`: leave it; `over`: something is to be done; `not seen`: cannot tell. */
BT_API enum bt_verdict bt_decide_answer_verdict(const struct bt_decide_answer *answer);

/*
 * For people: the verdict and the next action in the first line; why, with points for
 * and against; the choices in order; where to plane how much; cautions.
 * For programs: one JSON object, docs/json.md.  Return BT_OK or BT_ENOMEM.
 */
BT_API enum bt_status bt_text_decide(const struct bt_decide_answer *answer,
                                     const struct bt_text_options *options,
                                     struct bt_buffer *out);
BT_API enum bt_status bt_json_decide(const struct bt_decide_answer *answer,
                                     struct bt_buffer *out);

/* The removal map: bt_figure_removal, which see; BT_EINPUT where nothing may be taken
 * off (map_known false). */
BT_API enum bt_status bt_decide_draw(const struct bt_decide_answer *answer,
                                     enum bt_figure_format format,
                                     struct bt_figure_bytes *out, struct bt_error *err);

#endif
