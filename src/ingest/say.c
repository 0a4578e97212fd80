/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "ingest/say.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "benchtrue/base/nearest.h"

const char *bt_say_list(char out[BT_KNOWN_ROOM], size_t n, const char *const known[])
{
    size_t used = 0;

    out[0] = '\0';
    for (size_t i = 0; i < n; i++) {
        size_t length = strlen(known[i]);
        if (used + length + 8 > BT_KNOWN_ROOM) {
            snprintf(out + used, BT_KNOWN_ROOM - used, ", ...");
            break;
        }
        used += (size_t)snprintf(out + used, BT_KNOWN_ROOM - used, "%s%s",
                                 i ? ", " : "", known[i]);
    }
    return out;
}

const char *bt_say_near(char out[BT_KNOWN_ROOM], const char *near, size_t n,
                        const char *const known[])
{
    char list[BT_KNOWN_ROOM], shown[BT_SHOWN_ROOM];

    if (near)
        snprintf(out, BT_KNOWN_ROOM, "did you mean '%s'?",
                 bt_fault_shown(near, strlen(near), shown));
    else if (n)
        snprintf(out, BT_KNOWN_ROOM, "known are: %.300s", bt_say_list(list, n, known));
    else
        snprintf(out, BT_KNOWN_ROOM, "none is declared");
    return out;
}

const char *bt_say_known(char out[BT_KNOWN_ROOM], const char *word, size_t length,
                         size_t n, const char *const known[])
{
    return bt_say_near(out, bt_nearest(word, length, n, known), n, known);
}

const char *bt_say_place(char out[BT_PLACE_ROOM], const struct bt_point *place,
                         enum bt_system system)
{
    char x[BT_PRINT_ROOM], y[BT_PRINT_ROOM];

    bt_print_length(x, place->x, 0, system, BT_LENGTH_RULE);
    bt_print_length(y, place->y, 0, system, BT_LENGTH_RULE);
    snprintf(out, BT_PLACE_ROOM, "x %s, y %s", x, y);
    return out;
}

const char *bt_say_plural(size_t n)
{
    return n == 1 ? "" : "s";
}

enum bt_status bt_note_add(struct bt_notes *notes, const char *file, size_t line,
                           const char *format, ...)
{
    char text[600];
    struct bt_note *grown, *note;
    va_list args;

    grown = bt_grow(notes->item, &notes->room, notes->n + 1, sizeof *grown);
    if (!grown)
        return BT_ENOMEM;
    notes->item = grown;
    va_start(args, format);
    vsnprintf(text, sizeof text, format, args);
    va_end(args);
    note = &notes->item[notes->n];
    note->line = line;
    note->matters = false;
    note->file = bt_copy_text(file, strlen(file));
    note->text = bt_copy_text(text, strlen(text));
    notes->n++;
    return note->file && note->text ? BT_OK : BT_ENOMEM;
}

enum bt_status bt_note_matters(struct bt_notes *notes, enum bt_status status)
{
    if (status == BT_OK)
        notes->item[notes->n - 1].matters = true;
    return status;
}

void bt_notes_free(struct bt_note *item, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        bt_free(item[i].file);
        bt_free(item[i].text);
    }
    bt_free(item);
}
