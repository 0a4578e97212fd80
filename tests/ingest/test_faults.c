/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>
#include <string.h>

#include "benchtrue/ingest/faults.h"
#include "support/memory.h"

Test(faults, keeps_every_fault_in_the_order_found)
{
    struct bt_faults faults = {0};

    cr_expect_eq(bt_faults_status(&faults), BT_OK);
    for (size_t i = 1; i <= 100; i++)
        cr_expect_eq(bt_fault_add(&faults, i == 1 ? BT_EREAD : BT_EINPUT, "a.csv", i,
                                  2 * i, "number %zu", i),
                     i == 1 ? BT_EREAD : BT_EINPUT);
    cr_assert_eq(faults.n, 100);
    cr_expect_eq(faults.item[56].line, 57);
    cr_expect_eq(faults.item[56].column, 114);
    cr_expect_str_eq(faults.item[56].message, "number 57");
    cr_expect_str_eq(faults.item[56].file, "a.csv");
    cr_expect_eq(bt_faults_status(&faults), BT_EREAD);
    bt_faults_clear(&faults);
    cr_expect_eq(faults.n, 0);
    cr_expect_null(faults.item);
    bt_faults_clear(NULL);
}

Test(faults, returns_the_code_where_nothing_is_kept)
{
    cr_expect_eq(bt_fault_add(NULL, BT_EINPUT, "a.csv", 1, 1, "x"), BT_EINPUT);
}

Test(faults, says_so_where_there_is_no_memory_to_keep_one)
{
    for (size_t k = 1; k <= 2; k++) {
        struct bt_faults faults = {0};

        memory_fail_from(k);
        cr_expect_eq(bt_fault_add(&faults, BT_EINPUT, "a.csv", 1, 1, "x"), BT_ENOMEM);
        cr_expect(faults.lost);
        cr_expect_eq(faults.n, 0);
        cr_expect_eq(bt_faults_status(&faults), BT_ENOMEM);
        bt_faults_clear(&faults);
        cr_expect_not(faults.lost);
    }
}

Test(faults, cuts_a_long_message_after_a_whole_character)
{
    static const char *const heads[] = {"", "x", "xx", "xxx"};
    char text[700];

    for (size_t i = 0; i + 4 < sizeof text; i += 4)
        memcpy(text + i, "\xF0\x9F\xAA\xB5", 5); /* U+1FAB5, a log */
    for (size_t i = 0; i < 4; i++) {
        struct bt_faults faults = {0};
        size_t room = sizeof faults.item->message - 1;

        bt_fault_add(&faults, BT_EINPUT, "f", 1, 1, "%s%s", heads[i], text);
        cr_expect_eq(strlen(faults.item[0].message), i + (room - i) / 4 * 4,
                     "after %zu bytes", i);
        bt_faults_clear(&faults);
    }
}

Test(faults, shows_at_most_sixty_characters_and_no_half_ones)
{
    char shown[BT_SHOWN_ROOM], text[62 * 4 + 1] = "", want[BT_SHOWN_ROOM] = "";

    for (size_t i = 0; i < 60; i++)
        memcpy(text + 4 * i, "\xF0\x9F\xAA\xB5", 5);
    cr_expect_str_eq(bt_fault_shown(text, 240, shown), text);
    strcpy(want, text);
    strcat(want, "...");
    memcpy(text + 240, "\xC2\xBD", 3);
    cr_expect_str_eq(bt_fault_shown(text, 242, shown), want);
    cr_expect_str_eq(bt_fault_shown("", 0, shown), "");
    cr_expect_str_eq(bt_fault_shown("17 7/8\" long", 7, shown), "17 7/8\"");
}

Test(faults, never_repeats_a_control_character_a_turning_mark_or_a_broken_byte)
{
    char shown[BT_SHOWN_ROOM];

    cr_expect_str_eq(bt_fault_shown("a\x1B[31m\t\x7F\0b", 10, shown), "a?[31m???b");
    cr_expect_str_eq(bt_fault_shown("\xC2\x9B"
                                    "1m\xC2\xA0\xC2\xBD",
                                    8, shown),
                     "?1m\xC2\xA0\xC2\xBD");
    cr_expect_str_eq(bt_fault_shown("\xFFx\xE2\x80", 4, shown), "?x??");
    cr_expect_str_eq(bt_fault_shown("gap\xE2\x80\xAE"
                                    "50",
                                    8, shown),
                     "gap?50");
}
