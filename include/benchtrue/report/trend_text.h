/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_TREND_TEXT_H
#define BENCHTRUE_REPORT_TREND_TEXT_H

#include "benchtrue/draw/figure_trend.h"
#include "benchtrue/report/text.h"
#include "benchtrue/report/trend_result.h"

/*
 * The answer of trend for people: the verdict in words and the next action in the first
 * line; each figure on each day; the change with u, limit and verdict; where each
 * figure comes to rest; which sets were left out and why.  Of the options system,
 * details and colour count.
 *
 *   out   the text is added to it
 *
 * Returns BT_OK or BT_ENOMEM.
 */
BT_API enum bt_status bt_text_trend(const struct bt_trend_answer *answer,
                                    const struct bt_text_options *options,
                                    struct bt_buffer *out);

/*
 * The same for programs: one JSON object as in report/json.h; docs/json.md lists its
 * keys.  Returns BT_OK or BT_ENOMEM; on error out holds nothing of it.
 */
BT_API enum bt_status bt_json_trend(const struct bt_trend_answer *answer,
                                    struct bt_buffer *out);

/*
 * The figure of cup, bow and twist over time: bt_figure_trend, which see for format,
 * out and errors.  Fits that their readings do not follow are not drawn.
 */
BT_API enum bt_status bt_trend_draw(const struct bt_trend_answer *answer,
                                    enum bt_figure_format format,
                                    struct bt_figure_bytes *out, struct bt_error *err);

#endif
