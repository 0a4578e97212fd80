/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_JUDGE_REMOVAL_PRIVATE_H
#define BENCHTRUE_JUDGE_REMOVAL_PRIVATE_H

#include "benchtrue/judge/removal.h"

/* BT_OK, or BT_EINPUT for what is wrong with a face; name goes before the message. */
enum bt_status removal_check(const struct bt_removal_face *face, const char *name,
                             struct bt_error *err);

#endif
