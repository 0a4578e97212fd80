/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BT_REPORT_TEXT_DECIDE_CHOICES_H
#define BT_REPORT_TEXT_DECIDE_CHOICES_H

#include "benchtrue/report/decide_result.h"

/* The choices in order, and the table for chalk marks; private to text_decide. */
void bt_text_decide_choices(struct bt_buffer *out, const struct bt_decide_answer *a,
                            const struct bt_text_options *options);
void bt_text_decide_map(struct bt_buffer *out, const struct bt_decide_answer *a,
                        const struct bt_text_options *options);

#endif
