/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_INGEST_FILE_H
#define BENCHTRUE_INGEST_FILE_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/base/status.h"
#include "benchtrue/ingest/faults.h"

/*
 * The one place that opens and reads files; errno is looked at here only and
 * becomes a status with text.
 */

/*
 * Read a whole file into memory.
 *
 *   path     what to open
 *   name     how messages call it
 *   text     out: *length bytes and a NUL after them; free with bt_free
 *
 * A fault is added, and its status returned, with line and column 0: BT_ENOFILE
 * (`there is no such file`, `is a folder, not a file`, `may not be read:
 * permission denied`), BT_EREAD (anything that fails later, with the system's
 * text), BT_ENOMEM.
 */
BT_API enum bt_status bt_file_read(const char *path, const char *name, char **text,
                                   size_t *length, struct bt_faults *faults);

/*
 * Check and prepare text for line readers: skips a UTF-8 byte order mark, and
 * adds a fault with line and column for UTF-16 (either byte order, with or
 * without mark), a NUL byte, bytes that are not UTF-8, or a line of more than
 * 1,000,000 bytes (the first of each kind only).
 *
 *   start   out: offset of the first byte after a byte order mark
 *
 * Returns BT_OK, BT_EINPUT or BT_ENOMEM.
 */
BT_API enum bt_status bt_text_check(const char *text, size_t length, const char *name,
                                    size_t *start, struct bt_faults *faults);

/* Characters (not bytes) in text[length]; continuation bytes do not count. */
BT_API size_t bt_text_columns(const char *text, size_t length);

#endif
