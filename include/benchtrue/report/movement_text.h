/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_MOVEMENT_TEXT_H
#define BENCHTRUE_REPORT_MOVEMENT_TEXT_H

#include "benchtrue/draw/figure.h"
#include "benchtrue/report/buffer.h"
#include "benchtrue/report/movement_result.h"
#include "benchtrue/report/text.h"

/*
 * `movement` for people: verdict and next action first; the panel between its driest
 * and its dampest; each fixing; ends, walls, form; what is good to know, with its
 * sources.  Details: board by board, and what each fixing holds.
 *
 *   out  the text is added to it
 *
 * BT_OK or BT_ENOMEM.
 */
BT_API enum bt_status bt_text_movement(const struct bt_movement_answer *answer,
                                       const struct bt_text_options *options,
                                       struct bt_buffer *out);

/* The same for programs, as json.h says; docs/json.md lists the keys.  On error out
 * holds nothing of it. */
BT_API enum bt_status bt_json_movement(const struct bt_movement_answer *answer,
                                       struct bt_buffer *out);

/* The figure of the fixings: bt_figure_movement, which see for format, out and errors.
 */
BT_API enum bt_status bt_movement_draw(const struct bt_movement_answer *answer,
                                       enum bt_figure_format format,
                                       struct bt_figure_bytes *out,
                                       struct bt_error *err);

#endif
