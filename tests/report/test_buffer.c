/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>

#include "benchtrue/report/buffer.h"

Test(buffer, holds_what_was_added_and_ends_in_nul)
{
    struct bt_buffer b = {0};

    bt_buffer_text(&b, "gap ");
    bt_buffer_add(&b, "0.25 mm", 4);
    bt_buffer_format(&b, " at %zu of %s", (size_t)17, "back edge");
    cr_expect_str_eq(b.text, "gap 0.25 at 17 of back edge");
    cr_expect_eq(b.length, 27);
    cr_expect_eq(bt_buffer_status(&b), BT_OK);
    bt_buffer_clear(&b);
}

Test(buffer, adding_nothing_gives_an_empty_text)
{
    struct bt_buffer b = {0};

    bt_buffer_text(&b, "");
    cr_expect_str_eq(b.text, "");
    bt_buffer_clear(&b);
}

Test(buffer, grows_far_beyond_its_first_room)
{
    struct bt_buffer b = {0};

    for (int i = 0; i < 5000; i++)
        bt_buffer_format(&b, "%d,", i % 10);
    cr_expect_eq(b.length, 10000);
    cr_expect_eq(b.text[9998], '9');
    bt_buffer_clear(&b);
    cr_expect_null(b.text);
}

Test(buffer, makes_control_characters_of_a_name_harmless)
{
    struct bt_buffer b = {0};

    bt_buffer_name(&b, "oak\x1b[2J\n\t\x7f caf\xc3\xa9");
    cr_expect_str_eq(b.text, "oak?[2J??? caf\xc3\xa9");
    bt_buffer_clear(&b);
}

Test(buffer, counts_columns_in_characters_from_the_last_line_break)
{
    struct bt_buffer b = {0};

    bt_buffer_text(&b, "first line\n\xc3\xa9\xc2\xbd");
    bt_buffer_column(&b, 5);
    bt_buffer_text(&b, "x");
    bt_buffer_column(&b, 3);
    cr_expect_str_eq(b.text, "first line\n\xc3\xa9\xc2\xbd   x");
    bt_buffer_clear(&b);
}

Test(buffer, clearing_nothing_is_allowed)
{
    bt_buffer_clear(NULL);
}
