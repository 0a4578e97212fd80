/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_JOINT_WOOD_H
#define BENCHTRUE_REPORT_JOINT_WOOD_H

#include "benchtrue/ingest/job.h"
#include "benchtrue/wood/wood.h"

/*
 * The wood of a board: its own species, else that of the panel.  Private to the room.
 *
 * Returns BT_OK; BT_EINPUT (none stated, or no such species: the message says what to
 * write); BT_ENOMEM.  wood untouched on error.
 */
enum bt_status bt_joint_wood(const struct bt_job *job, size_t board,
                             struct bt_wood *wood, struct bt_error *err);

#endif
