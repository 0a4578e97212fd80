/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/base/alloc.h"
#include "benchtrue/draw/figure_movement.h"
#include "benchtrue/report/movement_text.h"

enum bt_status bt_movement_draw(const struct bt_movement_answer *answer,
                                enum bt_figure_format format,
                                struct bt_figure_bytes *out, struct bt_error *err)
{
    struct bt_fixing_way *way = bt_alloc(answer->nfixing, sizeof *way);
    bool *enough = bt_alloc(answer->nfixing, sizeof *enough);
    const struct bt_movement_figure input = {.job = answer->job,
                                             .length = answer->length,
                                             .seasons = &answer->seasons,
                                             .back = &answer->back,
                                             .front = &answer->front,
                                             .way = way,
                                             .enough = enough};
    enum bt_status status = BT_OK;

    if (!way || !enough)
        status = bt_error_set(err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
    for (size_t i = 0; status == BT_OK && i < answer->nfixing; i++) {
        way[i] = answer->fixing[i].way;
        enough[i] = answer->fixing[i].moves == BT_WITHIN;
    }
    if (status == BT_OK)
        status = bt_figure_movement(&input, format, out, err);
    bt_free(way);
    bt_free(enough);
    return status;
}
