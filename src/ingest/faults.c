/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/ingest/faults.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "base/utf8.h"
#include "benchtrue/base/alloc.h"
#include "benchtrue/ingest/file.h"

const char *bt_fault_shown(const char *text, size_t length, char shown[BT_SHOWN_ROOM])
{
    _Static_assert(BT_SHOWN_CHARACTERS == (int)BT_QUOTE_MAX, "messages of one length");
    return bt_quote(shown, text, length, BT_SHOWN_CHARACTERS);
}

/* vsnprintf cuts bytes: take away what is left of a character. */
static void drop_half_character(char *message)
{
    size_t length = strlen(message), last = length;

    while (last > 0 && length - last < 3 &&
           ((unsigned char)message[last] & 0xC0) != 0xC0)
        last--;
    if (last < length && ((unsigned char)message[last] & 0xC0) == 0xC0 &&
        bt_text_character(message + last, length - last) == 0)
        message[last] = '\0';
}

enum bt_status bt_fault_add(struct bt_faults *faults, enum bt_status code,
                            const char *file, size_t line, size_t column,
                            const char *format, ...)
{
    struct bt_fault *grown, *fault;
    va_list args;

    if (!faults)
        return code;
    grown = bt_grow(faults->item, &faults->room, faults->n + 1, sizeof *grown);
    if (!grown) {
        faults->lost = true;
        return BT_ENOMEM;
    }
    faults->item = grown;
    fault = &faults->item[faults->n];
    fault->file = bt_copy_text(file, strlen(file));
    if (!fault->file) {
        faults->lost = true;
        return BT_ENOMEM;
    }
    fault->code = code;
    fault->line = line;
    fault->column = column;
    va_start(args, format);
    if (vsnprintf(fault->message, sizeof fault->message, format, args) >=
        (int)sizeof fault->message)
        drop_half_character(fault->message);
    va_end(args);
    faults->n++;
    return code;
}

enum bt_status bt_faults_status(const struct bt_faults *faults)
{
    if (faults->lost)
        return BT_ENOMEM;
    return faults->n ? faults->item[0].code : BT_OK;
}

void bt_faults_clear(struct bt_faults *faults)
{
    if (!faults)
        return;
    for (size_t i = 0; i < faults->n; i++)
        bt_free(faults->item[i].file);
    bt_free(faults->item);
    memset(faults, 0, sizeof *faults);
}
