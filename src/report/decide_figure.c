/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/draw/figure_removal.h"
#include "report/decide_words.h"

enum bt_status bt_decide_draw(const struct bt_decide_answer *answer,
                              enum bt_figure_format format, struct bt_figure_bytes *out,
                              struct bt_error *err)
{
    const bool by_hand = answer->map_of == BT_CHOICE_HIGH_SPOTS;
    const struct bt_work_plan *plan = &answer->choices.plan;
    const struct bt_removal_figure input = {
        .job = answer->job,
        .set = answer->set,
        .what = by_hand ? "Plane the high spots only"
                        : "Flatten this face, then thickness the other parallel to it",
        .n = answer->nface,
        .p = answer->place,
        .depth = answer->depth,
        .u = bt_decide_map_u(answer),
        .pass = by_hand ? plan->shaving : plan->depth_per_pass,
        .chalk = &answer->chalk,
        .nspot = answer->nspot,
        .spot = answer->spot};

    if (!answer->map_known)
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "there is no removal map: no choice that takes off wood "
                            "is possible");
    return bt_figure_removal(&input, format, out, err);
}
