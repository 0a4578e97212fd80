/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_MOVEMENT_FORM_H
#define BENCHTRUE_REPORT_MOVEMENT_FORM_H

#include "benchtrue/report/movement_result.h"

/* Form through the year: rings, unequal faces, how fast.  Private to the room.  BT_OK
 * or BT_ENOMEM. */
enum bt_status bt_movement_form_find(struct bt_movement_answer *answer,
                                     struct bt_error *err);

#endif
