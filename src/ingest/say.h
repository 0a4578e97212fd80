/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_INGEST_SAY_H
#define BENCHTRUE_INGEST_SAY_H

#include <stddef.h>

#include "benchtrue/base/print.h"
#include "benchtrue/ingest/job.h"

/* Pieces of messages, all in the caller's storage, and notes. */

enum { BT_KNOWN_ROOM = 320, BT_PLACE_ROOM = 112 };

/* "did you mean 'gap'?" where near is not NULL, else "known are: a, b" or, with
 * n 0, "none is declared".  Returns out. */
const char *bt_say_near(char out[BT_KNOWN_ROOM], const char *near, size_t n,
                        const char *const known[]);

/* The same, near being the one of the known that bt_nearest finds. */
const char *bt_say_known(char out[BT_KNOWN_ROOM], const char *word, size_t length,
                         size_t n, const char *const known[]);

/* "a, b, c", cut with "..." where there is no room.  Returns out. */
const char *bt_say_list(char out[BT_KNOWN_ROOM], size_t n, const char *const known[]);

/* "x 100 mm, y 25 mm".  Returns out. */
const char *bt_say_place(char out[BT_PLACE_ROOM], const struct bt_point *place,
                         enum bt_system system);

/* "" for 1, "s" for other counts. */
const char *bt_say_plural(size_t n);

/* Notes while they are being collected. */
struct bt_notes {
    size_t n, room;
    struct bt_note *item;
};

/* Add one; BT_OK or BT_ENOMEM. */
enum bt_status bt_note_add(struct bt_notes *notes, const char *file, size_t line,
                           const char *format, ...) BT_PRINTF(4, 5);

/* The note that was added last matters to what is found; returns status. */
enum bt_status bt_note_matters(struct bt_notes *notes, enum bt_status status);

/* Free n notes and their array; NULL is accepted. */
void bt_notes_free(struct bt_note *item, size_t n);

#endif
