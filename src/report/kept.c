/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/kept.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "benchtrue/base/alloc.h"

static const char *keep(struct kept *kept, const char *text, size_t length)
{
    char *copy = bt_copy_text(text, length);
    char **grown =
        copy ? bt_grow(kept->text, &kept->room, kept->n + 1, sizeof *grown) : NULL;

    if (!grown) {
        kept->failed = true;
        bt_free(copy);
        return "";
    }
    kept->text = grown;
    kept->text[kept->n++] = copy;
    return copy;
}

const char *kept_take(struct kept *kept, struct bt_buffer *text)
{
    const char *copy = "";

    if (text->failed)
        kept->failed = true;
    else if (text->text)
        copy = keep(kept, text->text, text->length);
    bt_buffer_clear(text);
    return copy;
}

const char *kept_say(struct kept *kept, const char *format, ...)
{
    char text[512];
    va_list args;

    va_start(args, format);
    vsnprintf(text, sizeof text, format, args);
    va_end(args);
    return keep(kept, text, strlen(text));
}

void kept_clear(struct kept *kept)
{
    for (size_t i = 0; i < kept->n; i++)
        bt_free(kept->text[i]);
    bt_free(kept->text);
    memset(kept, 0, sizeof *kept);
}
