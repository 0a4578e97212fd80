/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>

#include <math.h>
#include <string.h>

#include "benchtrue/draw/figure_stock.h"
#include "draw/written.h"

enum { BOARDS = 40 };

/* Boards of an oak window seat (invented). */
static struct case_of {
    struct bt_rough_board rough[BOARDS];
    struct bt_job job;
    struct bt_stock stock;
    enum bt_verdict verdict[BOARDS];
    struct bt_stock_figure input;
} c;

static void make_case(size_t n)
{
    struct bt_stock_request request = {
        .wanted = 22, .kerf = 3, .confidence = 0.95, .room = NAN};
    struct bt_error err = {0};

    memset(&c, 0, sizeof c);
    c.job.title = "Window seat";
    c.job.date = "2026-03-02";
    c.job.stock = bt_stock_none();
    c.job.stock.allowance = 0.5;
    c.job.stock.n = n;
    c.job.stock.board = c.rough;
    for (size_t i = 0; i < n; i++) {
        struct bt_rough_board *b = &c.rough[i];

        *b = (struct bt_rough_board){.name = i % 2 ? "long <&> one" : "short",
                                     .species = "",
                                     .length = i % 2 ? 2500 : 900,
                                     .width = 160,
                                     .moisture = NAN,
                                     .cut = i % 2 ? 800 : NAN,
                                     .pieces = i % 2 ? 2 : 1,
                                     .rip = i % 4 == 3 ? 70 : NAN};
        for (int k = 0; k < BT_STOCK_READINGS; k++) {
            b->size[k] = k == BT_STOCK_THICKNESS ? 28 : 3;
            b->u[k] = 0.3;
        }
        c.verdict[i] = BT_OVER;
    }
    request.setup = &c.job.stock;
    if (n)
        cr_assert_eq(bt_stock_find(&request, &c.stock, &err), BT_OK, "%s", err.message);
    c.input = (struct bt_stock_figure){&c.job, &c.stock, 22, 3, c.verdict};
}

Test(figure_stock, says_what_is_followed_at_the_saw, .fini = bt_figure_teardown)
{
    static const char *const words[] = {
        "<title>Window seat</title>",
        "Rough stock, 2026-03-02, 4 boards, wanted 22 mm",
        "\nshort: 900 mm x 160 mm\n",
        "\nlong &lt;&amp;&gt; one: 2500 mm x 160 mm, 2 pieces of 800 mm, 2 strips of "
        "70 "
        "mm\n",
        "both faces 2",
        "over",
    };
    struct bt_figure_bytes b = {0};
    struct bt_error err = {0};
    const char *text;

    make_case(4);
    cr_assert_eq(bt_figure_stock(&c.input, BT_FIGURE_SVG, &b, &err), BT_OK, "%s",
                 err.message);
    text = written_text(&b);
    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        cr_expect_not_null(strstr(text, words[i]), "'%s' is missing", words[i]);
    bt_figure_bytes_clear(&b);
    bt_stock_clear(&c.stock);
}

Test(figure_stock, forty_boards_are_drawn_in_every_format, .fini = bt_figure_teardown)
{
    make_case(BOARDS);
    for (int format = BT_FIGURE_SVG; format <= BT_FIGURE_PNG; format++) {
        struct bt_figure_bytes b = {0};
        struct bt_error err = {0};

        cr_expect_eq(bt_figure_stock(&c.input, (enum bt_figure_format)format, &b, &err),
                     BT_OK, "%s", err.message);
        cr_expect_gt(b.length, 5000u);
        bt_figure_bytes_clear(&b);
    }
    bt_stock_clear(&c.stock);
}

Test(figure_stock, refuses_no_board)
{
    struct bt_figure_bytes b = {0};
    struct bt_error err = {0};

    make_case(0);
    cr_expect_eq(bt_figure_stock(&c.input, BT_FIGURE_SVG, &b, &err), BT_EINPUT);
    cr_expect_str_eq(err.message, "no rough board to draw");
}
