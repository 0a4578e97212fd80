/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_KEPT_H
#define BENCHTRUE_REPORT_KEPT_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/export.h"
#include "benchtrue/report/buffer.h"

/* Texts that must live as long as what points at them.  Private to the room.  A lack of
 * memory is remembered, and the text is "" then. */
struct kept {
    bool failed;
    size_t n, room;
    char **text;
};

/* The text of a buffer, which is empty then. */
const char *kept_take(struct kept *kept, struct bt_buffer *text);

/* A formatted text, as bt_buffer_format; cut at 511 bytes. */
const char *kept_say(struct kept *kept, const char *format, ...) BT_PRINTF(2, 3);

void kept_clear(struct kept *kept);

#endif
