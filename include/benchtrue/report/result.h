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

#endif
