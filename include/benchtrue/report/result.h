/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_RESULT_H
#define BENCHTRUE_REPORT_RESULT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "benchtrue/ingest/job.h"
#include "benchtrue/judge/limits.h"
#include "benchtrue/report/own_weight.h"
#include "benchtrue/surface/extremes.h"
#include "benchtrue/surface/flatness.h"

/* One set, evaluated and judged: what text and JSON are made from. */
struct bt_set_result {
    const struct bt_job *job;
    const struct bt_set *set;
    struct bt_own_weight weight;
    struct bt_flatness flatness;
    struct bt_extremes extremes;
    size_t nspan;              /* straightedge lengths that were laid on, 1 or more */
    double span[BT_SPANS_MAX]; /* mm; [0] is that of the figure `local` */
    size_t ndirection;         /* angles that were stated beside the four directions */
    double direction[BT_OBLIQUES_MAX]; /* rad from the grain, x towards y */
    bool span_asked; /* [0] was stated as a limit or asked for, not the default */
    struct bt_measured local;  /* largest gap under an edge of span[0] in any direction;
                                  seen where both along and across are, or where what
                                  was seen is over the limit already */
    struct bt_sure local_sure; /* NaN where local is not seen */
    size_t njudgement;
    struct bt_judgement judgement[BT_FIGURE_COUNT]; /* of range, zone and local by
                                                       their intervals at that
                                                       confidence, p_within NaN */
};

/* What a user asks for beside what the job states; all zero: nothing. */
struct bt_set_request {
    size_t nspan;
    const double *span; /* [nspan] lengths of a straightedge, mm, > 0 */
    size_t ndirection;
    const double *direction; /* [ndirection] angles at which each is laid on, rad from
                                the grain, from x towards y as the face lay that was
                                read, finite */
    uint64_t seed; /* of the draws behind the intervals of range, zone and gaps */
    size_t draws;  /* BT_DRAWS_LEAST to BT_DRAWS_MOST; 0: BT_DRAWS_DEFAULT, or
                      what the confidence of the limits wants */
};

/*
 * Adjust the readings of a set, look for zone, straightedge figures and kinks at the
 * joints, and judge each figure that the job limits.
 *
 *   job, set   as loaded; both must outlive out
 *   request    straightedge lengths beside that of the local limit, and angles beside
 *              along, across and the diagonals; equal ones (to 1e-9) count once.
 *              Without a length and without a local limit 300 mm, or 12 in where
 *              job->system is inches (common practice).  NULL: nothing
 *   out        to be freed with bt_set_result_clear, also after an error
 *
 * What the panel's own weight did is taken off where the set says how it lay
 * (bt_own_weight_find).
 *
 * Joints are turned to the face that was read; those outside the rectangle of the form
 * (which happens where the panel's size is not stated) are left out.
 *
 * Returns what bt_flatness_evaluate and bt_extremes_evaluate return, or BT_ECALL (more
 * than BT_SPANS_MAX lengths or BT_OBLIQUES_MAX angles).
 */
BT_API enum bt_status bt_set_evaluate(const struct bt_job *job,
                                      const struct bt_set *set,
                                      const struct bt_set_request *request,
                                      struct bt_set_result *out, struct bt_error *err);

BT_API void bt_set_result_clear(struct bt_set_result *result);

/* Where reading obs of flatness.used comes from. */
BT_API const struct bt_source *bt_set_reading_source(const struct bt_set_result *result,
                                                     size_t obs);

/* The figure that a limit of that name applies to; of a number outside the list the
 * range. */
BT_API const struct bt_measured *bt_set_figure(const struct bt_set_result *result,
                                               enum bt_figure figure);

/* How sure a largest figure is; NULL for cup, bow and twist, whose u says it. */
BT_API const struct bt_sure *bt_set_sure(const struct bt_set_result *result,
                                         enum bt_figure figure);

/*
 * Whether the draws behind a largest figure are enough for the confidence that the job
 * asks for (bt_draws_enough); true where nothing was drawn.
 */
BT_API bool bt_set_draws_enough(const struct bt_set_result *result,
                                const struct bt_sure *sure);

/* The verdict on a figure; NULL where it has no limit. */
BT_API const struct bt_judgement *bt_set_judgement(const struct bt_set_result *result,
                                                   enum bt_figure figure);

/*
 * Whether the readings contradict each other so much that luck alone would do it in
 * fewer than one of a thousand sets (a bound of our own): then nothing that they show
 * is to be relied on.  false where none checks another.
 */
BT_API bool bt_set_disagrees(const struct bt_set_result *result);

/*
 * The verdict on the set as a whole: `over` where one limit is over, else `not seen`
 * where one is not seen, else `too close to call` where one is or the readings disagree
 * (bt_set_disagrees), else `within` (also where no limit is stated).
 */
BT_API enum bt_verdict bt_set_verdict(const struct bt_set_result *result);

#endif
