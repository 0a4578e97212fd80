/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/report/result.h"

#include <math.h>
#include <string.h>

const struct bt_measured *bt_set_figure(const struct bt_set_result *result,
                                        enum bt_figure figure)
{
    switch (figure) {
    case BT_FIGURE_CUP:
        return &result->flatness.form.cup;
    case BT_FIGURE_BOW:
        return &result->flatness.form.bow;
    case BT_FIGURE_TWIST:
        return &result->flatness.form.twist;
    case BT_FIGURE_RANGE:
    case BT_FIGURE_COUNT:
        break;
    }
    return &result->flatness.residual.range;
}

static void judge_all(struct bt_set_result *result)
{
    const struct bt_limits *limits = &result->job->limits;

    result->njudgement = 0;
    for (int i = 0; i < BT_FIGURE_COUNT; i++) {
        enum bt_figure figure = (enum bt_figure)i;
        const struct bt_measured *m = bt_set_figure(result, figure);

        if (isnan(limits->limit[i]))
            continue;
        result->judgement[result->njudgement++] = bt_judge(
            figure, m->value, m->u, m->seen, limits->limit[i], limits->confidence);
    }
}

enum bt_status bt_set_evaluate(const struct bt_job *job, const struct bt_set *set,
                               struct bt_set_result *out, struct bt_error *err)
{
    enum bt_status status;

    memset(out, 0, sizeof *out);
    out->job = job;
    out->set = set;
    status = bt_flatness_evaluate(&set->readings, job->panel.length, job->panel.width,
                                  set->one_reference, &out->flatness, err);
    if (status == BT_OK)
        judge_all(out);
    return status;
}

void bt_set_result_clear(struct bt_set_result *result)
{
    if (!result)
        return;
    bt_flatness_clear(&result->flatness);
    memset(result, 0, sizeof *result);
}

/* How much a verdict counts for the set as a whole. */
static int weight(enum bt_verdict verdict)
{
    switch (verdict) {
    case BT_OVER:
        return 3;
    case BT_NOT_SEEN:
        return 2;
    case BT_TOO_CLOSE:
        return 1;
    case BT_WITHIN:
        break;
    }
    return 0;
}

enum bt_verdict bt_set_verdict(const struct bt_set_result *result)
{
    enum bt_verdict worst = BT_WITHIN;

    for (size_t i = 0; i < result->njudgement; i++)
        if (weight(result->judgement[i].verdict) > weight(worst))
            worst = result->judgement[i].verdict;
    return worst;
}

const struct bt_source *bt_set_reading_source(const struct bt_set_result *result,
                                              size_t obs)
{
    return &result->set->source[bt_flatness_reading(&result->flatness, obs)];
}
