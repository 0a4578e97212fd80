/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/base/alloc.h"

#include <stdint.h>
#include <string.h>

void *bt_alloc(size_t count, size_t size)
{
    void *block;

    if (count == 0)
        count = 1;
    if (size == 0 || count > SIZE_MAX / size)
        return NULL;
    block = bt_mem_resize(NULL, count * size);
    if (block)
        memset(block, 0, count * size);
    return block;
}

void *bt_grow(void *array, size_t *room, size_t need, size_t size)
{
    size_t want = *room;
    void *moved;

    if (need <= *room && array)
        return array;
    want = want > SIZE_MAX / 2 ? SIZE_MAX : want * 2;
    if (want < need)
        want = need;
    if (want < 8)
        want = 8;
    if (want > SIZE_MAX / size)
        return NULL;
    moved = bt_mem_resize(array, want * size);
    if (moved)
        *room = want;
    return moved;
}

char *bt_copy_text(const char *text, size_t length)
{
    char *copy = length < SIZE_MAX ? bt_alloc(length + 1, 1) : NULL;

    if (copy && length)
        memcpy(copy, text, length);
    return copy;
}

void bt_free(void *block)
{
    if (block)
        bt_mem_resize(block, 0);
}
