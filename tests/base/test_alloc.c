/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Allocation, with a bt_mem_resize that fails on call; links support/memory.c. */
#include "benchtrue/base/alloc.h"

#include <criterion/criterion.h>
#include <stdint.h>
#include <string.h>

#include "support/memory.h"

Test(alloc, new_items_are_all_zero)
{
    unsigned char *dirty = bt_alloc(64, 1), *p;

    cr_assert(dirty);
    memset(dirty, 0xa5, 64);
    bt_free(dirty);
    p = bt_alloc(16, 4);
    cr_assert(p);
    for (size_t i = 0; i < 64; i++)
        cr_expect_eq(p[i], 0, "byte %zu", i);
    bt_free(p);
    cr_expect_eq(memory_live(), 0);
}

Test(alloc, no_items_give_one_so_that_null_means_no_memory)
{
    double *p = bt_alloc(0, sizeof *p);

    cr_assert(p);
    cr_expect_eq(*p, 0);
    bt_free(p);
    cr_expect_eq(memory_live(), 0);
}

Test(alloc, a_size_that_overflows_or_is_none_is_refused_without_asking)
{
    memory_fail_at(0);
    cr_expect_null(bt_alloc(SIZE_MAX / 2 + 1, 2));
    cr_expect_null(bt_alloc(2, SIZE_MAX / 2 + 1));
    cr_expect_null(bt_alloc(SIZE_MAX, SIZE_MAX));
    cr_expect_null(bt_alloc(3, 0));
    cr_expect_eq(memory_calls(), 0);
}

Test(alloc, no_memory_gives_null)
{
    memory_fail_at(1);
    cr_expect_null(bt_alloc(3, 8));
    cr_expect_eq(memory_calls(), 1);
    memory_fail_at(1);
    cr_expect_null(bt_copy_text("ash", 3));
    cr_expect_eq(memory_live(), 0);
}

Test(alloc, an_array_grows_by_doubling_and_keeps_its_items)
{
    int *a = NULL;
    size_t room = 0, moves = 0;

    for (size_t n = 0; n < 1000; n++) {
        const size_t before = room;
        int *grown = bt_grow(a, &room, n + 1, sizeof *a);
        cr_assert(grown);
        a = grown;
        a[n] = (int)(3 * n);
        cr_assert(room >= n + 1);
        cr_expect(room == before || room == 8 || room == 2 * before, "%zu", room);
        moves += room != before;
    }
    cr_expect_eq(moves, 8); /* 8, 16, ... 1024 */
    for (size_t n = 0; n < 1000; n++)
        cr_expect_eq(a[n], (int)(3 * n));
    bt_free(a);
    cr_expect_eq(memory_live(), 0);
}

Test(alloc, an_array_grows_at_once_to_what_is_needed)
{
    size_t room = 0;
    char *a = bt_grow(NULL, &room, 1000, 3);

    cr_assert(a);
    cr_expect_eq(room, 1000);
    cr_expect_eq(bt_grow(a, &room, 1000, 3), a);
    cr_expect_eq(bt_grow(a, &room, 0, 3), a);
    cr_expect_eq(room, 1000);
    bt_free(a);
}

Test(alloc, an_array_that_cannot_grow_stays_as_it_was)
{
    size_t room = 0;
    int *a = bt_grow(NULL, &room, 8, sizeof *a);

    cr_assert(a);
    for (int i = 0; i < 8; i++)
        a[i] = 7 * i;
    memory_fail_at(1);
    cr_expect_null(bt_grow(a, &room, 9, sizeof *a));
    cr_expect_eq(room, 8);
    memory_fail_at(0);
    cr_expect_null(bt_grow(a, &room, SIZE_MAX / sizeof *a + 1, sizeof *a));
    cr_expect_eq(memory_calls(), 0); /* too large to ask for */
    cr_expect_eq(room, 8);
    for (int i = 0; i < 8; i++)
        cr_expect_eq(a[i], 7 * i);
    bt_free(a);
    cr_expect_eq(memory_live(), 0);
}

Test(alloc, a_copy_of_text_is_cut_at_its_length_and_ended)
{
    char *p = bt_copy_text("cherry shelf", 6), *empty = bt_copy_text("x", 0);
    char *none = bt_copy_text(NULL, 0), *nul = bt_copy_text("a\0b", 3);

    cr_assert(p && empty && none && nul);
    cr_expect_str_eq(p, "cherry");
    cr_expect_str_eq(empty, "");
    cr_expect_str_eq(none, "");
    cr_expect(memcmp(nul, "a\0b", 4) == 0);
    bt_free(p);
    bt_free(empty);
    bt_free(none);
    bt_free(nul);
    cr_expect_eq(memory_live(), 0);
}

Test(alloc, a_length_of_text_without_room_for_its_end_is_refused)
{
    cr_expect_null(bt_copy_text("oak", SIZE_MAX));
    cr_expect_eq(memory_live(), 0);
}

Test(alloc, freeing_accepts_null)
{
    bt_free(NULL);
    cr_expect_eq(memory_live(), 0);
}
