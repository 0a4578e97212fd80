/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "ingest/names.h"

#include <stdint.h>
#include <string.h>

#include "benchtrue/base/alloc.h"

static char lower(char c)
{
    return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

/* FNV-1a, 64 bit. */
static uint64_t hash(const char *text, size_t length, long tag, bool any_case)
{
    uint64_t h = 0xcbf29ce484222325u ^ (uint64_t)tag;

    for (size_t i = 0; i < length; i++)
        h = (h ^ (unsigned char)(any_case ? lower(text[i]) : text[i])) * 0x100000001b3u;
    return h ^ (h >> 32);
}

static bool is_same(const struct bt_names *names, const char *a, const char *b,
                    size_t n)
{
    return names->any_case ? bt_names_alike(a, b, n) : memcmp(a, b, n) == 0;
}

/* Where a name stands, or the free place where it would. */
static struct bt_name *place_of(const struct bt_names *names, const char *text,
                                size_t length, long tag)
{
    size_t i = (size_t)hash(text, length, tag, names->any_case) & (names->room - 1);

    for (;; i = (i + 1) & (names->room - 1)) {
        struct bt_name *name = &names->item[i];
        if (!name->text || (name->tag == tag && name->length == length &&
                            is_same(names, name->text, text, length)))
            return name;
    }
}

size_t bt_names_find(const struct bt_names *names, const char *text, size_t length,
                     long tag)
{
    const struct bt_name *name;

    if (!names->room)
        return SIZE_MAX;
    name = place_of(names, text, length, tag);
    return name->text ? name->number : SIZE_MAX;
}

static enum bt_status make_room(struct bt_names *names)
{
    struct bt_names larger = {.n = names->n,
                              .room = names->room ? names->room * 2 : 16,
                              .any_case = names->any_case};

    larger.item = bt_alloc(larger.room, sizeof *larger.item);
    if (!larger.item)
        return BT_ENOMEM;
    for (size_t i = 0; i < names->room; i++) {
        const struct bt_name *name = &names->item[i];
        if (name->text)
            *place_of(&larger, name->text, name->length, name->tag) = *name;
    }
    bt_free(names->item);
    *names = larger;
    return BT_OK;
}

enum bt_status bt_names_add(struct bt_names *names, const char *text, size_t length,
                            long tag, size_t number)
{
    /* Half empty at least, so that a search always ends soon. */
    if (2 * (names->n + 1) > names->room && make_room(names) != BT_OK)
        return BT_ENOMEM;
    *place_of(names, text, length, tag) =
        (struct bt_name){.text = text, .length = length, .tag = tag, .number = number};
    names->n++;
    return BT_OK;
}

bool bt_names_alike(const char *a, const char *b, size_t n)
{
    for (size_t i = 0; i < n; i++)
        if (lower(a[i]) != lower(b[i]))
            return false;
    return true;
}

void bt_names_clear(struct bt_names *names)
{
    bt_free(names->item);
    *names = (struct bt_names){.any_case = names->any_case};
}
