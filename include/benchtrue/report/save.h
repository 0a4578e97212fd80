/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_SAVE_H
#define BENCHTRUE_REPORT_SAVE_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/base/status.h"

/*
 * Write a file so that it is there whole or not at all: to `PATH.part` beside it,
 * then renamed.  What stood at path before is replaced.
 *
 * Returns BT_OK; BT_ECREATE (the folder does not exist, no permission), BT_EWRITE
 * (full disk and the like), each with the system's text, or BT_ENOMEM; nothing is
 * then left behind and what stood at path still does.
 */
BT_API enum bt_status bt_save_file(const char *path, const char *text, size_t length,
                                   struct bt_error *err);

/*
 * Write all of a text to an open descriptor, whatever portions the system takes it
 * in.  Returns BT_OK, or BT_EWRITE with the system's text.
 */
BT_API enum bt_status bt_save_to(int descriptor, const char *text, size_t length,
                                 struct bt_error *err);

/*
 * Make a folder, or take an existing one that is empty.
 *
 *   made  out: true where it did not exist before
 *
 * Returns BT_OK, or BT_ECREATE (not empty, no folder, no permission).
 */
BT_API enum bt_status bt_save_folder(const char *path, bool *made,
                                     struct bt_error *err);

/* Remove a file or an empty folder, to undo what the functions above did; silent
 * where that cannot be done. */
BT_API void bt_save_undo(const char *path);

#endif
