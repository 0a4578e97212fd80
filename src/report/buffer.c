/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/report/buffer.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "benchtrue/base/alloc.h"

/* Room for more bytes and the NUL; false when there is none. */
static bool make_room(struct bt_buffer *buffer, size_t more)
{
    char *grown;

    if (buffer->failed)
        return false;
    grown = bt_grow(buffer->text, &buffer->room, buffer->length + more + 1, 1);
    if (!grown) {
        buffer->failed = true;
        return false;
    }
    buffer->text = grown;
    return true;
}

void bt_buffer_add(struct bt_buffer *buffer, const char *text, size_t length)
{
    if (!make_room(buffer, length))
        return;
    if (length)
        memcpy(buffer->text + buffer->length, text, length);
    buffer->length += length;
    buffer->text[buffer->length] = '\0';
}

void bt_buffer_text(struct bt_buffer *buffer, const char *text)
{
    bt_buffer_add(buffer, text, strlen(text));
}

void bt_buffer_name(struct bt_buffer *buffer, const char *text)
{
    size_t start = buffer->length;

    bt_buffer_text(buffer, text);
    if (buffer->failed)
        return;
    for (size_t i = start; i < buffer->length; i++) {
        unsigned char c = (unsigned char)buffer->text[i];
        if (c < 0x20 || c == 0x7f)
            buffer->text[i] = '?';
    }
}

void bt_buffer_column(struct bt_buffer *buffer, size_t column)
{
    size_t have = 0;

    for (size_t i = buffer->length; i > 0 && buffer->text[i - 1] != '\n'; i--)
        have += ((unsigned char)buffer->text[i - 1] & 0xc0) != 0x80;
    for (; have < column && !buffer->failed; have++)
        bt_buffer_add(buffer, " ", 1);
}

void bt_buffer_format(struct bt_buffer *buffer, const char *format, ...)
{
    va_list args;
    int need;

    va_start(args, format);
    need = vsnprintf(NULL, 0, format, args);
    va_end(args);
    if (need < 0)
        buffer->failed = true;
    if (!make_room(buffer, (size_t)(need < 0 ? 0 : need)))
        return;
    va_start(args, format);
    vsnprintf(buffer->text + buffer->length, (size_t)need + 1, format, args);
    va_end(args);
    buffer->length += (size_t)need;
}

enum bt_status bt_buffer_status(const struct bt_buffer *buffer)
{
    return buffer->failed ? BT_ENOMEM : BT_OK;
}

void bt_buffer_clear(struct bt_buffer *buffer)
{
    if (!buffer)
        return;
    bt_free(buffer->text);
    memset(buffer, 0, sizeof *buffer);
}
