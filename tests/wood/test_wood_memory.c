/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Each allocation of a search for a wood fails in turn; links support/memory.c. */
#include <criterion/criterion.h>
#include <string.h>

#include "benchtrue/wood/wood.h"
#include "support/memory.h"

static void expect_all_failures(const char *text)
{
    size_t live = memory_live(), calls;
    struct bt_wood w = {.nspecies = 42};
    struct bt_error err = {0};

    memory_fail_at(0);
    cr_assert_eq(bt_wood_find(text, strlen(text), &w, NULL), BT_OK);
    calls = memory_calls();
    cr_expect(calls >= 2, "%s: %zu", text, calls);
    for (size_t k = 1; k <= calls; k++) {
        w.nspecies = 42;
        memory_fail_at(k);
        cr_expect_eq(bt_wood_find(text, strlen(text), &w, &err), BT_ENOMEM, "%s: %zu",
                     text, k);
        cr_expect_str_eq(err.message, "out of memory");
        cr_expect_eq(w.nspecies, 42);
        cr_expect_eq(memory_live(), live, "%s: %zu", text, k);
    }
    memory_fail_at(0);
    cr_expect_eq(bt_wood_find(text, strlen(text), &w, &err), BT_OK);
    cr_expect_eq(memory_live(), live);
}

Test(wood_memory, a_search_says_so_when_any_allocation_fails_and_keeps_none)
{
    expect_all_failures("white ash");
    expect_all_failures("oak");
}

Test(wood_memory, a_name_not_known_needs_no_memory)
{
    struct bt_wood w;
    struct bt_error err = {0};

    memory_fail_from(1);
    cr_expect_eq(bt_wood_find("wallnut", 7, &w, &err), BT_EINPUT);
    cr_expect_eq(memory_calls(), 0);
    memory_fail_at(0);
}
