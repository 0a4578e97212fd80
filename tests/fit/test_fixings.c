/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "benchtrue/fit/fixings.h"

static const double pi = 3.14159265358979323846;

static void near(double got, double want, double tolerance)
{
    cr_expect(fabs(got - want) <= tolerance, "got %.9g, want %.9g", got, want);
}

static struct bt_fixing fixing(enum bt_fixing_kind kind)
{
    return (struct bt_fixing){.kind = kind,
                              .direction = NAN,
                              .slot = NAN,
                              .hole = NAN,
                              .screw = NAN,
                              .thread = NAN,
                              .travel = NAN,
                              .arm = NAN,
                              .at = NAN,
                              .head = NAN,
                              .through = NAN};
}

static struct bt_season_change change(double dry, double damp, double u)
{
    return (struct bt_season_change){.dry = dry,
                                     .damp = damp,
                                     .range = damp - dry,
                                     .u_dry = u,
                                     .u_damp = u,
                                     .u_range = 1.5 * u};
}

/* A slot 16 long and 6 wide, a screw of 5: its centre has a place of straight sides 10
 * long and round ends of 0.5. */
Test(fixings, the_way_in_a_slot_is_the_chord_that_the_screw_has_in_it)
{
    static const struct {
        double degrees, travel;
    } rows[] = {
        {0, 11},                  /* slot less screw */
        {90, 1},                  /* width less screw */
        {30, 2},                  /* 0.5/sin 30, twice: out by the side */
        {45, 1.4142135623730951}, /* 0.5/sin 45, twice */
        {3, 2 * 5.41920},         /* out by the round end, drawn: 5 cos 3 + sqrt(0.25
                                    - 25 sin^2 3) */
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct bt_fixing f = fixing(BT_FIXING_SLOT);
        const struct bt_season_change c = change(-1, 1, 0);

        f.slot = 16;
        f.hole = 6;
        f.screw = 5;
        f.direction = rows[i].degrees * pi / 180;
        near(bt_fixing_way(&f, &c, 1, 0.95).travel, rows[i].travel, 1e-4);
    }
}

/* The end of the chord lies on the outline: at the radius from the axis or from the
 * middle of the end. */
Test(fixings, the_chord_of_a_stadium_ends_on_its_outline)
{
    for (int degrees = 0; degrees <= 90; degrees++) {
        const double angle = degrees * pi / 180;
        const double reach = bt_stadium_reach(10, 0.5, angle);
        const double x = reach * cos(angle), y = reach * sin(angle);
        const double distance = x <= 5 ? y : hypot(x - 5, y);

        near(distance, 0.5, 1e-9);
    }
    cr_expect(isnan(bt_stadium_reach(-1, 0.5, 0)));
    cr_expect(isnan(bt_stadium_reach(1, NAN, 0)));
}

Test(fixings, a_slot_without_a_width_fits_the_screw)
{
    struct bt_fixing f = fixing(BT_FIXING_SLOT);
    const struct bt_season_change c = change(-1, 1, 0);

    f.slot = 14;
    f.screw = 5;
    near(bt_fixing_way(&f, &c, 1, 0.95).travel, 9, 1e-12);
    f.direction = pi / 2;
    near(bt_fixing_way(&f, &c, 1, 0.95).travel, 0, 1e-12);
    f.slot = NAN;
    cr_expect(isnan(bt_fixing_way(&f, &c, 1, 0.95).travel));
}

Test(fixings, each_kind_lets_the_panel_go_as_it_is_made)
{
    const struct bt_season_change c = change(-1, 2, 0);
    struct bt_fixing f = fixing(BT_FIXING_ROUND_HOLE);

    near(bt_fixing_way(&f, &c, 1, 0.95).travel, 0.3, 1e-12);
    f.hole = 6.5;
    f.screw = 5;
    near(bt_fixing_way(&f, &c, 1, 0.95).travel, 1.5, 1e-12);
    f = fixing(BT_FIXING_FIGURE_EIGHT);
    cr_expect(isnan(bt_fixing_way(&f, &c, 1, 0.95).travel));
    f.arm = 18; /* 30 degrees to each side: 9 mm and 9 mm */
    near(bt_fixing_way(&f, &c, 1, 0.95).travel, 18, 1e-12);
    f.travel = 7;
    near(bt_fixing_way(&f, &c, 1, 0.95).travel, 7, 1e-12);
    f = fixing(BT_FIXING_BUTTON);
    cr_expect(isnan(bt_fixing_way(&f, &c, 1, 0.95).travel));
    f.arm = 10;
    near(bt_fixing_way(&f, &c, 1, 0.95).travel, 7, 1e-12);
    f.arm = 2;
    cr_expect(bt_fixing_way(&f, &c, 1, 0.95).travel == 0);
    f.direction = pi / 2; /* in the rail at the end: it slides along its groove */
    cr_expect(isinf(bt_fixing_way(&f, &c, 1, 0.95).travel));
    f = fixing(BT_FIXING_BRACKET);
    near(bt_fixing_way(&f, &c, 1, 0.95).travel, 0.3, 1e-12);
    f.slot = 12;
    f.screw = 4;
    near(bt_fixing_way(&f, &c, 1, 0.95).travel, 8, 1e-12);
}

/* From today 1 mm to the back when dry, 3 mm to the front when damp: of 6 mm of way 2
 * are left, and the screw is best set 1 mm behind the middle. */
Test(fixings, the_screw_is_set_so_that_both_ends_keep_the_same)
{
    struct bt_fixing f = fixing(BT_FIXING_SLOT);
    const struct bt_season_change c = change(-1, 3, 0.2);
    struct bt_fixing_way way;

    f.slot = 11;
    f.screw = 5;
    way = bt_fixing_way(&f, &c, 1, 0.95);
    near(way.need, 4, 1e-12);
    near(way.u_need, 0.3, 1e-12);
    near(way.to_front, 3, 1e-12);
    near(way.to_back, 1, 1e-12);
    near(way.at_best, -1, 1e-12);
    near(way.at, -1, 1e-12);
    near(way.left_front, 1, 1e-12);
    near(way.left_back, 1, 1e-12);
    /* Phi(2/0.3) */
    near(way.p_enough, 1, 1e-9);
    /* 5 + 4 + 1.6448536 0.3 */
    near(way.slot_needed, 9.4934561, 1e-6);
    cr_expect(isnan(way.setback));
    cr_expect_not(way.along);
    cr_expect_not(way.off_line);
}

Test(fixings, a_screw_set_elsewhere_strikes_at_one_end)
{
    struct bt_fixing f = fixing(BT_FIXING_SLOT);
    const struct bt_season_change c = change(-1, 3, 0.5);
    struct bt_fixing_way way;

    f.slot = 11;
    f.screw = 5;
    f.at = 0.5;
    way = bt_fixing_way(&f, &c, 1, 0.95);
    near(way.at_best, -1, 1e-12);
    near(way.left_front, -0.5, 1e-12);
    near(way.left_back, 2.5, 1e-12);
    /* Phi(-1) */
    near(way.p_enough, 0.15865525 - 0.0000002867, 1e-6);
}

Test(fixings, a_panel_that_is_at_its_dampest_today_only_shrinks)
{
    struct bt_fixing f = fixing(BT_FIXING_SLOT);
    const struct bt_season_change c = change(-3, -1, 0.1);
    struct bt_fixing_way way;

    f.slot = 11;
    f.screw = 5;
    way = bt_fixing_way(&f, &c, 1, 0.95);
    /* today counts: it has to come from here */
    near(way.need, 3, 1e-12);
    cr_expect(way.to_front == 0);
    near(way.at_best, 1.5, 1e-12);
    near(way.u_need, 0.1, 1e-12);
}

Test(fixings, behind_the_line_the_panel_goes_to_the_back_when_damp)
{
    struct bt_fixing f = fixing(BT_FIXING_BUTTON);
    const struct bt_season_change c = change(1, -2, 0);
    struct bt_fixing_way way;

    f.arm = 9; /* 6 mm of way, 3 of which are needed */
    way = bt_fixing_way(&f, &c, -1, 0.95);
    near(way.to_back, 2, 1e-12);
    near(way.to_front, 1, 1e-12);
    /* its shoulder may come 2 mm nearer, and half of what is left over is kept */
    near(way.setback, 3.5, 1e-12);
    /* in front of the line the rail is on the other side */
    near(bt_fixing_way(&f, &c, 1, 0.95).setback, 2.5, 1e-12);
}

Test(fixings, a_slot_along_the_grain_and_a_hole_off_the_line_are_pointed_out)
{
    const struct bt_season_change moves = change(-1, 2, 0.1), rests = change(0, 0, 0);
    struct bt_fixing f = fixing(BT_FIXING_SLOT);

    f.slot = 14;
    f.screw = 5;
    f.direction = pi / 2;
    cr_expect(bt_fixing_way(&f, &moves, 1, 0.95).along);
    cr_expect(bt_fixing_way(&f, &moves, 1, 0.95).p_enough < 1e-6);
    f.direction = pi / 6;
    cr_expect_not(bt_fixing_way(&f, &moves, 1, 0.95).along);
    f = fixing(BT_FIXING_ROUND_HOLE);
    cr_expect(bt_fixing_way(&f, &moves, 1, 0.95).off_line);
    cr_expect_not(bt_fixing_way(&f, &rests, 1, 0.95).off_line);
    cr_expect(bt_fixing_way(&f, &rests, 1, 0.95).p_enough == 1);
}

Test(fixings, a_change_that_is_not_known_makes_nothing_known)
{
    struct bt_fixing f = fixing(BT_FIXING_SLOT);
    const struct bt_season_change c = change(NAN, 1, 0.1);
    struct bt_fixing_way way;

    f.slot = 14;
    f.screw = 5;
    way = bt_fixing_way(&f, &c, 1, 0.95);
    cr_expect(isnan(way.need) && isnan(way.p_enough) && isnan(way.slot_needed));
}

/* ---- two fixings that hold the wood between them ---- */

static struct bt_wood red_oak(void)
{
    struct bt_wood w;

    cr_assert_eq(bt_wood_find("red oak", 7, &w, NULL), BT_OK);
    return w;
}

/* Red oak of 500 mm, flat, 6 to 10 %: 0.00369 a percent. */
Test(fixings, the_worst_pair_of_rigid_fixings_is_named_with_its_strain)
{
    const struct bt_wood wood = red_oak();
    const struct bt_seasons_board b = {&wood, 500, {0, 0, 0}};
    const struct bt_seasons s = {
        .n = 1, .board = &b, .fixed = 250, .driest = 6, .dampest = 10, .now = 8};
    struct bt_fixing f[3] = {fixing(BT_FIXING_ROUND_HOLE), fixing(BT_FIXING_ROUND_HOLE),
                             fixing(BT_FIXING_ROUND_HOLE)};
    struct bt_fixing_way way[3] = {{.travel = 0}, {.travel = 1}, {.travel = 0.5}};
    struct bt_fixing_pair pair;

    f[0].y = 450;
    f[1].y = 50;
    f[2].y = 250;
    cr_assert_eq(bt_fixing_pair_find(&s, 3, f, way, &pair, NULL), BT_OK);
    cr_assert(pair.held);
    /* 50-450: (5.904 - 1)/400; 250-450: (2.952 - 0.5)/200; 50-250: (2.952 - 1.5)/200 */
    cr_expect(pair.back == 2 || pair.back == 1);
    near(pair.strain, 0.01226, 1e-9);
    way[0].travel = way[2].travel = NAN;
    cr_assert_eq(bt_fixing_pair_find(&s, 3, f, way, &pair, NULL), BT_OK);
    cr_expect_not(pair.held);
    cr_expect(isnan(pair.movement));
}

Test(fixings, two_on_one_line_across_hold_nothing)
{
    const struct bt_wood wood = red_oak();
    const struct bt_seasons_board b = {&wood, 500, {0, 0, 0}};
    const struct bt_seasons s = {
        .n = 1, .board = &b, .fixed = 250, .driest = 6, .dampest = 10, .now = 8};
    struct bt_fixing f[2] = {fixing(BT_FIXING_ROUND_HOLE),
                             fixing(BT_FIXING_ROUND_HOLE)};
    struct bt_fixing_way way[2] = {{.travel = 0}, {.travel = 0}};
    struct bt_fixing_pair pair;

    f[0].y = f[1].y = 250;
    f[0].x = 100;
    f[1].x = 900;
    cr_assert_eq(bt_fixing_pair_find(&s, 2, f, way, &pair, NULL), BT_OK);
    cr_expect_not(pair.held);
    f[1].y = 260;
    cr_assert_eq(bt_fixing_pair_find(&s, 2, f, way, &pair, NULL), BT_OK);
    cr_expect(pair.held);
    near(pair.strain, 4 * 0.00369, 1e-9);
    cr_expect(pair.back == 0 && pair.front == 1);
}
