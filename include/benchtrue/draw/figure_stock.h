/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_DRAW_FIGURE_STOCK_H
#define BENCHTRUE_DRAW_FIGURE_STOCK_H

#include "benchtrue/draw/figure.h"
#include "benchtrue/fit/stock.h"

/* What the figure of the rough stock shows.  Nothing is owned; all of it must outlive
 * the call. */
struct bt_stock_figure {
    const struct bt_job *job;       /* title, date, system, stock */
    const struct bt_stock *stock;   /* of job->stock */
    double wanted, kerf;            /* mm; wanted NaN: none */
    const enum bt_verdict *verdict; /* [stock->n] */
};

/*
 * The rough boards, to follow at the saw: each from above to one scale, with the cuts
 * to length and the strips to rip, dashed, offcuts hatched; beside it a bar of its
 * thickness to a scale of its own: what flattening takes, the allowance, what is left,
 * with the wanted thickness as a line across; and its verdict in words.  A PDF goes on
 * over as many pages as it takes.
 *
 * Format, out as for bt_figure_map.  Returns BT_OK; BT_EINPUT (no board); BT_ENOMEM;
 * BT_EWRITE.
 */
BT_API enum bt_status bt_figure_stock(const struct bt_stock_figure *input,
                                      enum bt_figure_format format,
                                      struct bt_figure_bytes *out,
                                      struct bt_error *err);

#endif
