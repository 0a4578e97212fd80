/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/base/status.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <string.h>

Test(status, every_code_has_its_text)
{
    static const struct {
        enum bt_status status;
        const char *text;
    } rows[] = {{BT_OK, "done"},
                {BT_ECALL, "the program called the library wrongly"},
                {BT_EINPUT, "the data are not usable"},
                {BT_ESINGULAR, "the readings do not determine it"},
                {BT_ENOMEM, "out of memory"},
                {BT_ENOFILE, "cannot be opened"},
                {BT_EREAD, "cannot be read"},
                {BT_ECREATE, "cannot be created"},
                {BT_EWRITE, "cannot be written"}};

    cr_assert_eq((size_t)BT_STATUS_COUNT, sizeof rows / sizeof *rows);
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        cr_expect_eq((size_t)rows[i].status, i);
        cr_expect_str_eq(bt_status_text(rows[i].status), rows[i].text);
    }
}

Test(status, a_number_outside_the_list_is_an_unknown_status)
{
    cr_expect_str_eq(bt_status_text(BT_STATUS_COUNT), "unknown status");
    cr_expect_str_eq(bt_status_text((enum bt_status) - 1), "unknown status");
    cr_expect_str_eq(bt_status_text((enum bt_status)12345), "unknown status");
}

Test(status, an_error_keeps_code_place_and_message_and_gives_the_code_back)
{
    struct bt_error err = {0};

    cr_expect_eq(bt_error_set(&err, BT_EINPUT, 4, 17, "%s of %d", "row", 9), BT_EINPUT);
    cr_expect_eq(err.code, BT_EINPUT);
    cr_expect_eq(err.row, 4);
    cr_expect_eq(err.column, 17);
    cr_expect_str_eq(err.message, "row of 9");
}

Test(status, an_error_without_a_struct_gives_the_code_back)
{
    cr_expect_eq(bt_error_set(NULL, BT_ENOMEM, 1, 2, "%s", "lost"), BT_ENOMEM);
}

Test(status, a_message_that_is_too_long_is_cut_and_ended)
{
    struct bt_error err;
    char text[2 * sizeof err.message];

    memset(text, 'w', sizeof text);
    text[sizeof text - 1] = '\0';
    memset(&err, 0x7f, sizeof err);
    cr_expect_eq(bt_error_set(&err, BT_EREAD, 0, 0, "%s", text), BT_EREAD);
    cr_expect_eq(strlen(err.message), sizeof err.message - 1);
    cr_expect_eq(err.message[0], 'w');
}
