/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>

#include <math.h>
#include <string.h>

#include "benchtrue/draw/figure_movement.h"
#include "draw/written.h"
#include "support/memory.h"

/* An oak seat with three fixings (invented). */
static struct oak {
    struct bt_job job;
    struct bt_wood wood;
    struct bt_seasons_board board[2];
    struct bt_seasons seasons;
    struct bt_season_change back, front;
    struct bt_fixing fixing[3];
    struct bt_fixing_way way[3];
    bool enough[3];
    struct bt_movement_figure input;
} o;

static void make(void)
{
    memset(&o, 0, sizeof o);
    cr_assert_eq(bt_wood_find("white oak", 9, &o.wood, NULL), BT_OK);
    o.job.title = "Oak seat";
    o.job.date = "2026-05-04";
    o.job.panel = (struct bt_panel){900, 300, 22, "white oak"};
    o.board[0] = (struct bt_seasons_board){&o.wood, 160, {0, 0, 0}};
    o.board[1] = (struct bt_seasons_board){&o.wood, 140, {0, 0, 0}};
    o.seasons = (struct bt_seasons){
        .n = 2, .board = o.board, .fixed = 150, .driest = 7, .dampest = 11, .now = 8};
    cr_assert_eq(bt_seasons_shift(&o.seasons, 0, &o.back, NULL), BT_OK);
    cr_assert_eq(bt_seasons_shift(&o.seasons, 300, &o.front, NULL), BT_OK);
    for (size_t i = 0; i < 3; i++) {
        struct bt_season_change change;

        o.fixing[i] = (struct bt_fixing){.name = i ? "" : "back left",
                                         .x = 100 + 350 * (double)i,
                                         .y = 40 + 110 * (double)i,
                                         .kind = i == 0   ? BT_FIXING_SLOT
                                                 : i == 1 ? BT_FIXING_ROUND_HOLE
                                                          : BT_FIXING_FIGURE_EIGHT,
                                         .direction = NAN,
                                         .slot = i ? NAN : 14,
                                         .hole = NAN,
                                         .screw = 5,
                                         .thread = 15,
                                         .travel = NAN,
                                         .arm = NAN,
                                         .at = NAN,
                                         .head = NAN,
                                         .through = NAN};
        cr_assert_eq(bt_seasons_shift(&o.seasons, o.fixing[i].y, &change, NULL), BT_OK);
        o.way[i] = bt_fixing_way(&o.fixing[i], &change, i ? 1 : -1, 0.95);
        o.enough[i] = i < 2;
    }
    o.job.fixing = bt_fixing_none();
    o.job.fixing.n = 3;
    o.job.fixing.fixing = o.fixing;
    o.input = (struct bt_movement_figure){.job = &o.job,
                                          .length = o.job.panel.length,
                                          .seasons = &o.seasons,
                                          .back = &o.back,
                                          .front = &o.front,
                                          .way = o.way,
                                          .enough = o.enough};
}

Test(figure_movement, says_of_each_fixing_what_it_needs_and_gives,
     .fini = bt_figure_teardown)
{
    struct bt_figure_bytes b = {0};
    const char *text;

    make();
    cr_assert_eq(bt_figure_movement(&o.input, BT_FIGURE_SVG, &b, NULL), BT_OK);
    text = written_text(&b);
    cr_expect_not_null(strstr(text, "Oak seat"));
    cr_expect_not_null(strstr(text, "1  slot back left, 100 mm from the left, 40 mm "
                                    "from the back: needs 1.6 mm, gives 9 mm; set the "
                                    "screw 0.4 mm to the front of the middle"),
                       "%s", text);
    cr_expect_not_null(
        strstr(text, "3  figure-eight, 800 mm from the left, 260 mm from the back: "
                     "needs 1.6 mm, gives what is not known"));
    cr_expect_not_null(strstr(text, "3 !"));
    bt_figure_bytes_clear(&b);
}

/* 12 mm of page a metre: the largest slot is drawn 14 mm long at the most. */
Test(figure_movement, is_written_in_each_format, .fini = bt_figure_teardown)
{
    for (int format = BT_FIGURE_SVG; format <= BT_FIGURE_PNG; format++) {
        struct bt_figure_bytes b = {0};

        make();
        cr_expect_eq(
            bt_figure_movement(&o.input, (enum bt_figure_format)format, &b, NULL),
            BT_OK);
        cr_expect_gt(b.length, 1000);
        bt_figure_bytes_clear(&b);
    }
}

Test(figure_movement, refuses_a_panel_without_boards_or_length)
{
    struct bt_figure_bytes b = {0};
    struct bt_error err = {0};

    make();
    o.seasons.n = 0;
    cr_expect_eq(bt_figure_movement(&o.input, BT_FIGURE_SVG, &b, &err), BT_EINPUT);
    cr_expect_str_eq(err.message, "no board: nothing to fix");
    make();
    o.input.length = NAN;
    cr_expect_eq(bt_figure_movement(&o.input, BT_FIGURE_SVG, &b, &err), BT_EINPUT);
    cr_expect_str_eq(err.message, "the length of the panel is not known: write length "
                                  "in [panel] of job.ini");
    cr_expect_null(b.bytes);
}

Test(figure_movement, fails_cleanly_at_every_allocation, .fini = bt_figure_teardown)
{
    enum bt_status status = BT_ENOMEM;
    size_t k = 1;

    make();
    for (; status != BT_OK; k++) {
        struct bt_figure_bytes b = {0};
        struct bt_error err = {0};
        const size_t before = memory_live();

        cr_assert_lt(k, 2000, "never done");
        memory_fail_at(k);
        status = bt_figure_movement(&o.input, BT_FIGURE_SVG, &b, &err);
        cr_assert(status == BT_OK || status == BT_ENOMEM, "call %zu gave %d", k,
                  (int)status);
        bt_figure_bytes_clear(&b);
        cr_assert_eq(memory_live(), before, "call %zu leaked", k);
    }
    cr_expect_gt(k, 10, "nothing was allocated");
    memory_fail_at(0);
}
