/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/draw/figure_stock.h"
#include "benchtrue/report/stock_result.h"

enum bt_status bt_stock_draw(const struct bt_stock_answer *answer,
                             enum bt_figure_format format, struct bt_figure_bytes *out,
                             struct bt_error *err)
{
    const struct bt_stock_figure input = {.job = answer->job,
                                          .stock = &answer->stock,
                                          .wanted = answer->wanted,
                                          .kerf = answer->kerf,
                                          .verdict = answer->verdict};

    return bt_figure_stock(&input, format, out, err);
}
