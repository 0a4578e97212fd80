/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_JOINT_STAGES_H
#define BENCHTRUE_JOINT_STAGES_H

#include "benchtrue/joint/clamping.h"

/*
 * Fill stage, nstage, order and open_time_short of the plan from the request, which has
 * been checked.  Private to the room.
 *
 *   clamps  to set for one assembly
 *   sets    assemblies that can be clamped at one time, 1 or more
 *
 * False, and what was taken left in the plan, without memory.
 */
bool bt_stages_plan(const struct bt_clamping_request *request, size_t clamps,
                    size_t sets, struct bt_clamping *plan);

#endif
