/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BT_REPORT_DECIDE_CAUSES_H
#define BT_REPORT_DECIDE_CAUSES_H

#include "benchtrue/report/decide_result.h"

/* Gather the evidence for the causes and score them; answer->result and the trend are
 * there.  BT_OK or BT_ENOMEM.  Private to the room. */
enum bt_status bt_decide_causes_find(struct bt_decide_answer *answer,
                                     struct bt_error *err);

/* Of cup, bow and twist that which is largest by its limit, else largest of all. */
enum bt_figure bt_decide_figure(const struct bt_set_result *result);

#endif
