/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_STOCK_RESULT_H
#define BENCHTRUE_REPORT_STOCK_RESULT_H

#include "benchtrue/draw/figure.h"
#include "benchtrue/fit/stock.h"
#include "benchtrue/ingest/job.h"
#include "benchtrue/report/buffer.h"
#include "benchtrue/report/text.h"
#include "benchtrue/wood/drying.h"

/* `stock` of one job. */
struct bt_stock_answer {
    const struct bt_job *job;
    double wanted; /* mm; NaN: none is stated */
    const char *wanted_source;
    double kerf; /* mm */
    bool kerf_assumed;
    double room; /* moisture that the wood comes to, percent; NaN not known */
    const char *room_source;
    double *c, *u_c; /* [n] as bt_stock_request */
    struct bt_stock stock;
    struct bt_days *wait; /* [n] days until it is as dry as the room, to the precision
                             of a meter; NaN not known */
    enum bt_verdict
        *verdict; /* [n] whether it makes the wanted thickness as planned; over:
                     it does not; not seen too where nothing is wanted */
};

/*
 * Work out a job's rough stock: all of stock.csv, with [stock], the thickness of
 * [panel] where that states none, the kerf of [plan], the moisture of [climate] (now,
 * else midway between driest and dampest), else of the air of the set in hand.
 *
 * out: to be freed with bt_stock_answer_clear, also after an error.  Returns BT_OK;
 * BT_EINPUT (no rough board; a species that is not known: the message says what to
 * write); BT_ENOMEM.
 */
BT_API enum bt_status bt_stock_answer_find(const struct bt_job *job,
                                           struct bt_stock_answer *out,
                                           struct bt_error *err);

BT_API void bt_stock_answer_clear(struct bt_stock_answer *answer);

/* `over` where a board does not make the wanted thickness, else the doubt of any;
 * `within` where all do, or nothing is wanted. */
BT_API enum bt_verdict bt_stock_answer_verdict(const struct bt_stock_answer *answer);

/* For people: the first line is the verdict and the next action.  BT_OK, BT_ENOMEM. */
BT_API enum bt_status bt_text_stock(const struct bt_stock_answer *answer,
                                    const struct bt_text_options *options,
                                    struct bt_buffer *out);

/* For programs: one JSON object and a line break; keys in docs/json.md.  BT_OK,
 * BT_ENOMEM; out holds nothing of it then. */
BT_API enum bt_status bt_json_stock(const struct bt_stock_answer *answer,
                                    struct bt_buffer *out);

/* The figure of it: bt_figure_stock, which see for format, out and errors. */
BT_API enum bt_status bt_stock_draw(const struct bt_stock_answer *answer,
                                    enum bt_figure_format format,
                                    struct bt_figure_bytes *out, struct bt_error *err);

#endif
