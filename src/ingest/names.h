/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_INGEST_NAMES_H
#define BENCHTRUE_INGEST_NAMES_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/base/status.h"

/*
 * Names and the numbers that stand for them, found in constant time.  A name is a
 * text and a tag, so that one text can mean different things (a line read with two
 * edges).  The texts stay the caller's and must outlive the map.
 */
struct bt_names {
    size_t n, room; /* room: a power of two, or 0 */
    bool any_case;  /* capitals do not matter; stated before the first name is added */
    struct bt_name {
        const char *text; /* NULL: free place */
        size_t length;
        long tag;
        size_t number;
    } * item;
};

/* The number of a name, SIZE_MAX where it is not known. */
size_t bt_names_find(const struct bt_names *names, const char *text, size_t length,
                     long tag);

/* Add a name that is not known yet; BT_OK or BT_ENOMEM. */
enum bt_status bt_names_add(struct bt_names *names, const char *text, size_t length,
                            long tag, size_t number);

/* Are n bytes alike but for the case of ASCII letters?  (strncasecmp depends on the
 * locale.) */
bool bt_names_alike(const char *a, const char *b, size_t n);

/* any_case stays. */
void bt_names_clear(struct bt_names *names);

#endif
