/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_TEXT_PARTS_H
#define BENCHTRUE_REPORT_TEXT_PARTS_H

#include "benchtrue/report/text.h"

/*
 * Parts of the text report; private to the room.  Each adds to out.
 */

/* The verdict in words and the next action, one line. */
void bt_text_verdict(struct bt_buffer *out, const struct bt_set_result *r,
                     const struct bt_text_options *options);

/* What to do about each thing that is over, not seen, too close or suspect. */
void bt_text_advice(struct bt_buffer *out, const struct bt_set_result *r,
                    const struct bt_text_options *options);

/* A word in the colour of a verdict, where colour is asked for. */
void bt_text_paint(struct bt_buffer *out, const struct bt_text_options *options,
                   enum bt_verdict verdict, const char *word);

/* What was read: `96 gaps at 45 places, 2 cells blank`. */
void bt_text_readings(struct bt_buffer *out, const struct bt_set *set);

/* Where the uncertainty of the readings comes from. */
void bt_text_origins(struct bt_buffer *out, const struct bt_set *set);

#endif
