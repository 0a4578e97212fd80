/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_RESULT_H
#define BENCHTRUE_REPORT_RESULT_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/ingest/job.h"
#include "benchtrue/judge/limits.h"
#include "benchtrue/surface/flatness.h"

/* One set, evaluated and judged: what text and JSON are made from. */
struct bt_set_result {
    const struct bt_job *job;
    const struct bt_set *set;
    struct bt_flatness flatness;
    size_t njudgement;
    struct bt_judgement judgement[BT_FIGURE_COUNT];
};

/*
 * Adjust the readings of a set and judge each figure that the job limits.
 *
 *   job, set  as loaded; both must outlive out
 *   out       to be freed with bt_set_result_clear, also after an error
 *
 * Returns what bt_flatness_evaluate returns.
 */
BT_API enum bt_status bt_set_evaluate(const struct bt_job *job,
                                      const struct bt_set *set,
                                      struct bt_set_result *out, struct bt_error *err);

BT_API void bt_set_result_clear(struct bt_set_result *result);

/* Where reading obs of flatness.used comes from. */
BT_API const struct bt_source *bt_set_reading_source(const struct bt_set_result *result,
                                                     size_t obs);

/* The figure that a limit of that name applies to. */
BT_API const struct bt_measured *bt_set_figure(const struct bt_set_result *result,
                                               enum bt_figure figure);

/*
 * The verdict on the set as a whole: `over` where one limit is over, else `not seen`
 * where one is not seen, else `too close to call` where one is, else `within` (also
 * where no limit is stated).
 */
BT_API enum bt_verdict bt_set_verdict(const struct bt_set_result *result);

#endif
