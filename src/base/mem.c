/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Alone in its file so that a program can put its own in its place. */
#include "benchtrue/base/alloc.h"

#include <stdlib.h>

void *bt_mem_resize(void *block, size_t size)
{
    if (size == 0) {
        free(block);
        return NULL;
    }
    return realloc(block, size);
}
