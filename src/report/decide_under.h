/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BT_REPORT_DECIDE_UNDER_H
#define BT_REPORT_DECIDE_UNDER_H

#include "benchtrue/report/decide_result.h"

/* Find answer->under, where thickness.csv tells it.  BT_OK or BT_ENOMEM.  Private to
 * the room. */
enum bt_status bt_decide_under_find(struct bt_decide_answer *answer);

/* It as a face, heights of the wood seen from above; n 0 where it is not known. */
struct bt_removal_face bt_decide_under_face(const struct bt_decide_answer *answer);

#endif
