/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BT_JOINT_FENCE_CHECK_H
#define BT_JOINT_FENCE_CHECK_H

#include "benchtrue/joint/fence.h"

/* What is asked of the checks of a fence, see joint/fence.h.  Private. */

/* Whether u_own counts: else the check has no instrument, or its error cancels. */
bool bt_fence_has_own(const struct bt_fence_check *check);

/* BT_OK or BT_EINPUT, as bt_fence_combine refuses. */
enum bt_status bt_fence_validate(const struct bt_fence_request *request,
                                 struct bt_error *err);

#endif
