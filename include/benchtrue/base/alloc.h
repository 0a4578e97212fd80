/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_BASE_ALLOC_H
#define BENCHTRUE_BASE_ALLOC_H

#include <stddef.h>

#include "benchtrue/export.h"

/*
 * The one function through which the library takes and gives back memory:
 * grow, shrink or take (block NULL) to size bytes; size 0 frees and returns
 * NULL.  Returns NULL when there is no memory, and block is then untouched.
 *
 * A program that links the static library may define a function of this name
 * itself (it stands alone in its object file, so the linker then leaves ours
 * out); the tests do so to make each allocation fail in turn.
 */
BT_API void *bt_mem_resize(void *block, size_t size);

/*
 * count items of size bytes, all zero.  count 0 gives one zeroed item, so that
 * NULL always means "no memory".  NULL when count * size overflows.  Give back
 * with bt_free.
 */
BT_API void *bt_alloc(size_t count, size_t size);

/*
 * Make room for at least need items of size bytes in an array that grows:
 * returns the array, moved if it had to be, with *room updated; NULL (array
 * and *room untouched) when there is no memory.  array may be NULL with
 * *room 0.  New room is not cleared.
 */
BT_API void *bt_grow(void *array, size_t *room, size_t need, size_t size);

/*
 * A copy of the first length bytes of text, NUL-terminated; NULL when there is
 * no memory.  Give back with bt_free.
 */
BT_API char *bt_copy_text(const char *text, size_t length);

/* Give back what the functions above gave; NULL is accepted. */
BT_API void bt_free(void *block);

#endif
