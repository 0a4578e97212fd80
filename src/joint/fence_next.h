/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BT_JOINT_FENCE_NEXT_H
#define BT_JOINT_FENCE_NEXT_H

#include "benchtrue/joint/fence.h"
#include "joint/fence_fit.h"

/*
 * Which one more check would make u(e) least.  Private.
 *
 *   row[n + 1]  those of the model, with room for one more (and as much room)
 *   tau2        held as it is, not NaN
 *   enlarge     likewise, see bt_fence_enlarge
 *   cutter      NaN not known
 *   result      in: station[]; out: next_*
 *
 * False where numbers are too large or too small.
 */
bool bt_fence_next(const struct bt_fence_request *request,
                   const struct bt_fence_model *model, struct bt_fence_row row[],
                   double tau2, double enlarge, double cutter,
                   struct bt_fence_room *room, struct bt_fence_result *result);

#endif
