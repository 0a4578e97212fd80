/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_TESTS_MEMORY_H
#define BENCHTRUE_TESTS_MEMORY_H

#include <stddef.h>

/*
 * A bt_mem_resize of the tests' own, in place of the library's (base/alloc.h), that
 * fails when told to and counts blocks.  A program that links this must not link
 * src/base/mem.c.
 */

/* Fail the k-th call from now that asks for memory, from 1, and that one only; 0: none.
 * Calls are counted from 0 again. */
void memory_fail_at(size_t k);

/* Fail all from the k-th on. */
void memory_fail_from(size_t k);

/* Calls that asked for memory since then, the failed ones among them. */
size_t memory_calls(void);

/* Blocks taken and not given back since the program began. */
size_t memory_live(void);

#endif
