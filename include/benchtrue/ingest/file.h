/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_INGEST_FILE_H
#define BENCHTRUE_INGEST_FILE_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/base/status.h"
#include "benchtrue/ingest/faults.h"

/* Bytes of the longest line that is read, its line end not counted. */
#define BT_LINE_MAX 1000000

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
 * permission denied`), BT_EREAD (`cannot be opened: ` or `cannot be read: ` with the
 * system's text: anything else that fails), BT_ENOMEM (`out of memory`).  *text is
 * then NULL and *length 0.
 */
BT_API enum bt_status bt_file_read(const char *path, const char *name, char **text,
                                   size_t *length, struct bt_faults *faults);

/*
 * Check and prepare text for line readers: skips a UTF-8 byte order mark, and
 * adds a fault with line and column for UTF-16 (either byte order, with or
 * without mark; nothing else is then looked for), a NUL byte, bytes that are not
 * UTF-8, or a line of more than 1,000,000 bytes (the first of each kind only).
 *
 *   start   out: offset of the first byte after a byte order mark
 *
 * Returns BT_OK, BT_EINPUT or BT_ENOMEM.
 */
BT_API enum bt_status bt_text_check(const char *text, size_t length, const char *name,
                                    size_t *start, struct bt_faults *faults);

/*
 * One line of a text: text[length] points into it, without the line end (LF, CRLF
 * or a CR alone).  Before the first call number is 0.
 */
struct bt_line {
    size_t number; /* from 1 */
    const char *text;
    size_t length;
};

/*
 * Take the line that begins at *at and move *at behind its line end.  Returns
 * false, and changes nothing, at the end of the text: text after the last line end
 * is a line, nothing after it is none.
 */
BT_API bool bt_text_line(const char *text, size_t length, size_t *at,
                         struct bt_line *line);

/* Characters (not bytes) in text[length]; continuation bytes do not count. */
BT_API size_t bt_text_columns(const char *text, size_t length);

/*
 * Bytes of the character that text[length] begins with, 1 to 4; 0 where it is not
 * UTF-8 (cut off, longer than needed, half of a UTF-16 pair, over U+10FFFF) or
 * length is 0.  Source: RFC 3629, section 4.
 */
BT_API size_t bt_text_character(const char *text, size_t length);

#endif
