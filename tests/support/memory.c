/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/memory.h"

#include <stdbool.h>
#include <stdlib.h>

#include "benchtrue/base/alloc.h"

/* One test runs in one process, and in one thread of it. */
static size_t calls, live, fail_at;
static bool fail_after;

void memory_fail_at(size_t k)
{
    calls = 0;
    fail_at = k;
    fail_after = false;
}

void memory_fail_from(size_t k)
{
    memory_fail_at(k);
    fail_after = true;
}

size_t memory_calls(void)
{
    return calls;
}

size_t memory_live(void)
{
    return live;
}

void *bt_mem_resize(void *block, size_t size)
{
    void *moved;

    if (size == 0) {
        live -= block != NULL;
        free(block);
        return NULL;
    }
    calls++;
    if (fail_at && (calls == fail_at || (fail_after && calls > fail_at)))
        return NULL;
    moved = realloc(block, size);
    live += moved && !block;
    return moved;
}
