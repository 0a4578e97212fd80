/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_FENCE_RESULT_H
#define BENCHTRUE_REPORT_FENCE_RESULT_H

#include "benchtrue/judge/limits.h"
#include "benchtrue/report/edge_setup.h"

/* What the fence makes of this job's panel, one way of running its boards. */
struct bt_fence_way {
    enum bt_pattern pattern;
    struct bt_edge_plan plan;
    struct bt_section section; /* with every error of the edges */
    /* What the cup is made of, mm; u of section.cup is these together. */
    struct bt_measured from_fence; /* e alone */
    struct bt_measured from_taper; /* the boards' tapers alone, e 0 */
    double u_scatter;              /* of the edges, without the fence's twist */
    double u_twist;                /* the fence twisted along its length */
};

/* `fence` of one job. */
struct bt_fence_answer {
    const struct bt_job *job;
    struct bt_edge_setup setup; /* setup.fence_read is true */
    bool boards_known;          /* else nothing below is filled */
    struct bt_fence_way same, alternate;
    struct bt_fence_way planned; /* by [fence] pattern; zeroes where no_plan says why */
    char no_plan[480];           /* the rules leave a board no way to be run; "" */
    bool judged;                 /* the job limits the cup */
    struct bt_judgement cup;     /* of planned */
};

/*
 * Combine the checks of the fence and work out what it means for the job.
 *
 *   job     must outlive out
 *   out     to be freed with bt_fence_answer_clear, also after an error
 *
 * Returns BT_OK; BT_EINPUT (no check; what bt_fence_combine, bt_section_evaluate
 * refuse); BT_ENOMEM.  Rules that leave no way are no error here: how far the fence is
 * out does not hang on them.
 */
BT_API enum bt_status bt_fence_answer_find(const struct bt_job *job,
                                           struct bt_fence_answer *out,
                                           struct bt_error *err);

BT_API void bt_fence_answer_clear(struct bt_fence_answer *answer);

/*
 * The verdict: on the cup that the planned pattern makes where the job limits it and
 * boards are known; `not seen` where the checks contradict each other and that cup is
 * not over; else `too close to call` where square cannot be told from out of square,
 * else `within`.
 */
BT_API enum bt_verdict bt_fence_answer_verdict(const struct bt_fence_answer *answer);

#endif
