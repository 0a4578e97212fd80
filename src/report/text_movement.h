/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_TEXT_MOVEMENT_H
#define BENCHTRUE_REPORT_TEXT_MOVEMENT_H

#include "benchtrue/report/movement_text.h"

/* Parts of the text of `movement`.  Private to the room. */

/* A length as on a rule, no finer than its u; 0: as stated. */
void bt_movement_say(struct bt_buffer *out, double mm, double u, enum bt_system system);

/* A length that is to be made: up to the next half millimetre or 1/32 in. */
void bt_movement_make(struct bt_buffer *out, double mm, enum bt_system system);

/* `fixing 3 (back left)`, `fixing 3`. */
void bt_movement_name(struct bt_buffer *out, const struct bt_movement_answer *a,
                      size_t i);

/* The first line. */
void bt_movement_verdict(struct bt_buffer *out, const struct bt_movement_answer *a,
                         const struct bt_text_options *options);

/* The sections on fixings: where each goes, what it holds with details or a load. */
void bt_movement_fixings(struct bt_buffer *out, const struct bt_movement_answer *a,
                         const struct bt_text_options *options);

/* The section on the form through the year. */
void bt_movement_form(struct bt_buffer *out, const struct bt_movement_answer *a,
                      const struct bt_text_options *options);

/* What is good to know, with sources. */
void bt_movement_advice(struct bt_buffer *out, const struct bt_movement_answer *a);

#endif
