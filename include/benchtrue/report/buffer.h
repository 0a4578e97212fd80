/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_BUFFER_H
#define BENCHTRUE_REPORT_BUFFER_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/base/status.h"

/*
 * Text that grows while it is written.  A write that finds no memory sets `failed`,
 * and later ones do nothing, so that a writer asks once, at its end, with
 * bt_buffer_status.  Start with all zero: struct bt_buffer b = {0};
 */
struct bt_buffer {
    char *text;    /* length bytes and a NUL; NULL as long as nothing was written */
    size_t length; /* bytes */
    size_t room;
    bool failed; /* memory ran out; the text ends where it did */
};

/* Add length bytes as they are. */
BT_API void bt_buffer_add(struct bt_buffer *buffer, const char *text, size_t length);

/* Add a text as it is. */
BT_API void bt_buffer_text(struct bt_buffer *buffer, const char *text);

/*
 * Add a text that came from a file or from the command line: every control
 * character becomes `?`, so that no name can move the cursor of a terminal or break
 * a line in two.
 */
BT_API void bt_buffer_name(struct bt_buffer *buffer, const char *text);

/* Add blanks up to a column, counted in characters from the last line break. */
BT_API void bt_buffer_column(struct bt_buffer *buffer, size_t column);

/*
 * Add formatted text.  For whole numbers and texts only: how a double is written
 * depends on the locale, see base/print.h.
 */
BT_API void bt_buffer_format(struct bt_buffer *buffer, const char *format, ...)
    BT_PRINTF(2, 3);

/* BT_OK, or BT_ENOMEM where a write has failed. */
BT_API enum bt_status bt_buffer_status(const struct bt_buffer *buffer);

/* Free the text and start anew; NULL is accepted. */
BT_API void bt_buffer_clear(struct bt_buffer *buffer);

#endif
