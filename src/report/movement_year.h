/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_MOVEMENT_YEAR_H
#define BENCHTRUE_REPORT_MOVEMENT_YEAR_H

#include "benchtrue/report/movement_result.h"

/*
 * The part of the answer that `opening` tells too: seasons, strips, fixed line, and how
 * the whole and its edges go.  As bt_movement_answer_find, without fixings, walls and
 * form.  Private to the room.
 */
enum bt_status bt_movement_year_find(const struct bt_job *job,
                                     const struct bt_movement_piece *piece,
                                     struct bt_movement_answer *out,
                                     struct bt_error *err);

#endif
