/* SPDX-License-Identifier: GPL-3.0-or-later */

/* Rough boards to thicknesses; the tables that go with them. */
#include <criterion/criterion.h>

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "benchtrue/fit/stock.h"
#include "support/memory.h"
#include "support/reference.h"

/* 2400 x 200 x 34 mm with bow 8, cup 3, no twist; wanted 27. */
static struct bt_rough_board board(double bow, double cup, double twist)
{
    struct bt_rough_board b = {.name = "a",
                               .species = "",
                               .length = 2400,
                               .width = 200,
                               .moisture = NAN,
                               .cut = NAN,
                               .pieces = 1,
                               .rip = NAN};

    for (int i = 0; i < BT_STOCK_READINGS; i++)
        b.size[i] = b.u[i] = NAN;
    b.size[BT_STOCK_THICKNESS] = 34;
    b.size[BT_STOCK_BOW] = bow;
    b.size[BT_STOCK_CUP] = cup;
    b.size[BT_STOCK_TWIST] = twist;
    return b;
}

static struct bt_stock find_as(const struct bt_stock_setup *setup,
                               const struct bt_stock_request *as)
{
    struct bt_stock_request request = *as;
    struct bt_stock stock;
    struct bt_error err = {0};

    request.setup = setup;
    cr_assert_eq(bt_stock_find(&request, &stock, &err), BT_OK, "%s", err.message);
    return stock;
}

static const struct bt_stock_request usual = {
    .wanted = 27, .kerf = 3, .confidence = 0.95, .room = NAN};

static struct bt_stock find(const struct bt_stock_setup *setup)
{
    return find_as(setup, &usual);
}

static void near(double got, double want)
{
    cr_expect(fabs(got - want) <= 1e-9, "got %.12g, want %.12g", got, want);
}

/* By hand: whole 34 - 8 - 3; halves 34 - 2 - 3; strips of a half 34 - 8 - 0.75. */
Test(stock, each_way_of_cutting_first_gives_its_thickness)
{
    struct bt_rough_board b = board(8, 3, 0);
    struct bt_stock_setup setup = bt_stock_none();
    struct bt_stock stock;

    b.cut = 1200;
    b.rip = 100;
    setup.allowance = 0.5;
    setup.n = 1;
    setup.board = &b;
    stock = find(&setup);
    near(stock.board[0].piece[BT_STOCK_WHOLE].both, 34 - 11 - 1);
    near(stock.board[0].piece[BT_STOCK_WHOLE].one, 34 - 11 - 0.5);
    near(stock.board[0].piece[BT_STOCK_CUT].both, 34 - 5 - 1);
    near(stock.board[0].piece[BT_STOCK_RIPPED].both, 34 - 8.75 - 1);
    near(stock.board[0].piece[BT_STOCK_CUT_RIPPED].both, 34 - 2.75 - 1);
    cr_expect_eq(stock.board[0].planned, BT_STOCK_CUT_RIPPED);
    cr_expect_eq(stock.board[0].first, BT_STOCK_CUT);
    cr_expect_eq(stock.board[0].trouble, 0u);
    cr_expect(stock.board[0].piece[BT_STOCK_CUT].p == 1);
    cr_expect(stock.board[0].piece[BT_STOCK_WHOLE].p == 0);
    /* 200 wide: two strips of 98.5 and a kerf would fit, of 100 one does */
    cr_expect_eq(stock.board[0].strips, 1u);
    bt_stock_clear(&stock);
}

/* By hand: 34 - 8 s^2 - 3 >= 27 up to s = sqrt(1/2). */
Test(stock, longest_piece_and_widest_strip_just_make_it)
{
    struct bt_rough_board b = board(8, 3, 0);
    struct bt_stock_setup setup = bt_stock_none();
    struct bt_stock stock;

    setup.n = 1;
    setup.board = &b;
    stock = find(&setup);
    cr_expect(fabs(stock.board[0].longest - 2400 * sqrt(0.5)) <= 2.4);
    /* however narrow, its bow alone takes too much */
    cr_expect(isnan(stock.board[0].narrowest));
    bt_stock_clear(&stock);
}

Test(stock, a_board_is_seen_only_where_cup_bow_and_twist_are_read)
{
    for (int gone = BT_STOCK_CUP; gone <= BT_STOCK_TWIST; gone++) {
        struct bt_rough_board b = board(1, 1, 1);
        struct bt_stock_setup setup = bt_stock_none();
        struct bt_stock stock;

        b.size[gone] = NAN;
        setup.n = 1;
        setup.board = &b;
        stock = find(&setup);
        cr_expect_not(stock.board[0].seen);
        bt_stock_clear(&stock);
    }
}

/* Phi(1) of the normal distribution: 0.8413447461 (any table). */
Test(stock, probability_is_that_of_the_normal_distribution)
{
    struct bt_rough_board b = board(4, 0, 0);
    struct bt_stock_setup setup = bt_stock_none();
    struct bt_stock stock;

    b.u[BT_STOCK_THICKNESS] = 1.8;
    b.u[BT_STOCK_BOW] = 2.4; /* with that: 3, which is how far 30 is over 27 */
    setup.n = 1;
    setup.board = &b;
    stock = find(&setup);
    near(stock.board[0].piece[0].u, 3);
    cr_expect(fabs(stock.board[0].piece[0].p - 0.8413447461) <= 1e-9);
    cr_expect(fabs(stock.common.p - 0.8413447461) <= 1e-9);
    /* 1.644853627: the quantile of 95 % */
    cr_expect(fabs(stock.common.sure - (30 - 1.644853627 * 3)) <= 1e-6);
    bt_stock_clear(&stock);
}

/* By hand: 26, 30, 31 thick: the first limits; in two lengths (2400 - 3)/2. */
Test(stock, the_worst_board_limits_the_panel_and_what_helps_is_told)
{
    struct bt_rough_board b[] = {board(3, 0, 0), board(8, 0, 0), board(4, 0, 0)};
    struct bt_stock_setup setup = bt_stock_none();
    const double half = 1198.5 / 2400;
    struct bt_stock stock;

    setup.n = 3;
    setup.board = b;
    stock = find(&setup);
    cr_expect_eq(stock.common.limiting, 1u);
    near(stock.common.thickness, 26);
    near(stock.common.without, 30);
    near(stock.common.shorter, fmin(30, 34 - 8 * half * half));
    near(stock.common.narrower, 26);
    cr_expect(stock.common.p == 0);
    bt_stock_clear(&stock);
}

/* Pieces of 150 mm: two and a kerf make 303, not 304.8; three do. */
Test(stock, pieces_too_short_for_the_machines_are_surfaced_together)
{
    struct bt_rough_board b = board(8, 0, 0);
    struct bt_stock_setup setup = bt_stock_none();
    struct bt_stock stock;

    b.cut = 150;
    b.pieces = 6;
    setup.n = 1;
    setup.board = &b;
    stock = find(&setup);
    cr_expect_eq(stock.board[0].piece[BT_STOCK_CUT].together, 3u);
    near(stock.board[0].piece[BT_STOCK_CUT].length, 456);
    cr_expect_eq(stock.board[0].trouble, 0u);
    bt_stock_clear(&stock);
    b.pieces = 2;
    stock = find(&setup);
    cr_expect_eq(stock.board[0].trouble,
                 (unsigned)(BT_STOCK_SHORT_FOR_JOINTER | BT_STOCK_SHORT_FOR_PLANER));
    bt_stock_clear(&stock);
}

Test(stock, machines_and_crook_are_minded)
{
    struct bt_rough_board b = board(0, 0, 0);
    struct bt_stock_setup setup = bt_stock_none();
    struct bt_stock_request thin = usual;
    struct bt_stock stock;

    b.rip = 195;
    b.size[BT_STOCK_CROOK] = 6;
    setup.jointer_width = 150;
    setup.planer_width = 190;
    setup.n = 1;
    setup.board = &b;
    thin.wanted = 12.5;
    stock = find_as(&setup, &thin);
    near(stock.board[0].straight, 194);
    cr_expect_eq(stock.board[0].trouble,
                 (unsigned)(BT_STOCK_NO_STRIP | BT_STOCK_WIDE_FOR_JOINTER |
                            BT_STOCK_WIDE_FOR_PLANER | BT_STOCK_THIN_FOR_PLANER));
    bt_stock_clear(&stock);
}

/* By hand: 34 x 0.0025 x (12 - 8) = 0.34; a drier board is not counted on to swell. */
/* By hand: half of the length has a quarter of the crook. */
Test(stock, a_shorter_piece_loses_less_width_to_crook)
{
    struct bt_rough_board b = board(0, 0, 0);
    struct bt_stock_setup setup = bt_stock_none();
    struct bt_stock stock;

    b.cut = 1200;
    b.rip = 97;
    b.size[BT_STOCK_CROOK] = 12;
    setup.n = 1;
    setup.board = &b;
    stock = find(&setup);
    near(stock.board[0].straight, 197);
    /* 97 + 3 + 97 */
    cr_expect_eq(stock.board[0].strips, 2u);
    bt_stock_clear(&stock);
}

Test(stock, drying_to_the_room_takes_thickness)
{
    struct bt_rough_board b = board(0, 0, 0);
    struct bt_stock_setup setup = bt_stock_none();
    const double c = 0.0025, u_c = 0.0005;
    struct bt_stock_request damp = usual;
    struct bt_stock stock;

    damp.room = 8;
    damp.c = &c;
    damp.u_c = &u_c;
    b.moisture = 12;
    setup.n = 1;
    setup.board = &b;
    stock = find_as(&setup, &damp);
    near(stock.board[0].dries, 0.34);
    near(stock.board[0].piece[0].both, 33.66);
    near(stock.board[0].piece[0].u, 34 * 4 * 0.0005);
    bt_stock_clear(&stock);
    b.moisture = 6;
    stock = find_as(&setup, &damp);
    near(stock.board[0].piece[0].both, 34);
    bt_stock_clear(&stock);
}

Test(stock, refuses_what_is_no_board)
{
    static const struct {
        double length, kerf, confidence;
        size_t n;
        const char *message;
    } rows[] = {
        {2400, 3, 0.95, 0, "no rough board"},
        {NAN, 3, 0.95, 1, "length, width and thickness must be over 0 mm"},
        {2400, -1, 0.95, 1, "kerf and allowance must be 0 or more"},
        {2400, NAN, 0.95, 1, "kerf and allowance must be 0 or more"},
        {2400, 3, 1, 1, "the confidence must be above 0.5 and below 1"},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct bt_rough_board b = board(1, 1, 1);
        struct bt_stock_setup setup = bt_stock_none();
        struct bt_stock_request request = usual;
        struct bt_stock stock;
        struct bt_error err = {0};

        b.length = rows[i].length;
        setup.n = rows[i].n;
        setup.board = &b;
        request.setup = &setup;
        request.kerf = rows[i].kerf;
        request.confidence = rows[i].confidence;
        cr_expect_eq(bt_stock_find(&request, &stock, &err), BT_EINPUT);
        cr_expect_str_eq(err.message, rows[i].message);
    }
}

/* ---- tables ---- */

/* The sizes as the reference words them: `rough 4/4 -> surfaced one side 7/8, two
 * sides 13/16`. */
static double inches(const char *text)
{
    int whole = 0, over = 0, under = 0, n = 0;

    if (sscanf(text, "%d-%d/%d%n", &whole, &over, &under, &n) == 3 && n)
        return whole + (double)over / under;
    if (sscanf(text, "%d/%d", &over, &under) == 2)
        return (double)over / under;
    return NAN;
}

Test(stock_rules, quarters_are_those_of_the_reference)
{
    char path[512], line[512];
    size_t found = 0;
    FILE *file;

    snprintf(path, sizeof path, "%s/stock.csv", BT_REFERENCE_DIR);
    file = fopen(path, "r");
    cr_assert_not_null(file);
    while (fgets(line, sizeof line, file)) {
        const char *rough = strstr(line, "\"rough "), *one, *two;
        const struct bt_quarter *quarter;

        if (!rough)
            continue;
        one = strstr(line, "one side ") + 9;
        two = strstr(line, "two sides ") + 10;
        quarter = bt_quarter_find(rough + 7, strcspn(rough + 7, " "));
        cr_assert_not_null(quarter, "%s", line);
        cr_expect(fabs(quarter->rough - 25.4 * inches(rough + 7)) <= 1e-9);
        cr_expect(fabs(quarter->two_sides - 25.4 * inches(two)) <= 1e-9, "%s", line);
        if (*one == '-')
            cr_expect(isnan(quarter->one_side));
        else
            cr_expect(fabs(quarter->one_side - 25.4 * inches(one)) <= 1e-9, "%s", line);
        cr_expect_not_null(strstr(quarter->source, "hardwood dimension chart"));
        found++;
    }
    fclose(file);
    cr_expect_eq(found, bt_quarter_count());
    cr_expect_gt(found, 10u);
}

Test(stock_rules, the_size_to_buy_yields_what_is_wanted)
{
    cr_expect_str_eq(bt_quarter_for(27)->name, "6/4");
    cr_expect_str_eq(bt_quarter_for(13.0 / 16 * 25.4)->name, "4/4");
    cr_expect_null(bt_quarter_for(100));
    cr_expect_null(bt_quarter_for(NAN));
    cr_expect_null(bt_quarter_find("9/4", 3));
    cr_expect_null(bt_quarter_at(bt_quarter_count()));
    cr_expect_null(bt_stock_rule(BT_STOCK_RULE_COUNT));
    cr_expect(fabs(bt_stock_rule(BT_RULE_SCANT)->value - 25.4 / 16) <= 1e-12);
    cr_expect(fabs(bt_stock_rule(BT_RULE_METER_PRECISION)->value - 1) <= 1e-12);
}
