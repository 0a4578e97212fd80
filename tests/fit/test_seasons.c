/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "benchtrue/fit/seasons.h"

static const double pi = 3.14159265358979323846;

static struct bt_wood wood_of(const char *text)
{
    struct bt_wood w;

    cr_assert_eq(bt_wood_find(text, strlen(text), &w, NULL), BT_OK, "%s", text);
    return w;
}

static struct bt_seasons_board board(const struct bt_wood *wood, double width,
                                     double degrees)
{
    const double angle = degrees * pi / 180;

    return (struct bt_seasons_board){wood, width, {angle, angle, angle}};
}

static struct bt_seasons seasons(size_t n, const struct bt_seasons_board b[],
                                 double driest, double dampest, double now)
{
    return (struct bt_seasons){
        .n = n, .board = b, .driest = driest, .dampest = dampest, .now = now};
}

static void near(double got, double want, double tolerance)
{
    cr_expect(fabs(got - want) <= tolerance, "got %.9g, want %.9g", got, want);
}

/* The width changes of reference/checks.py, section 3: white fir is the handbook's own,
 * p. 13-17; red oak of 600 mm flat and quarter cut. */
Test(seasons, worked_width_changes_are_met_from_today_to_either_season)
{
    static const struct {
        const char *species;
        double width, degrees, dry, now, damp, to_dry, to_damp, tolerance;
    } rows[] = {
        {"white fir", 232, 0, 8, 8, 11, 0, 1.7052, 5e-5},
        {"red oak", 600, 0, 6, 6, 9, 0, 6.642, 5e-4},
        {"red oak", 600, 90, 6, 6, 9, 0, 2.844, 5e-4},
        {"red oak", 600, 0, 6, 9, 9, -6.642, 0, 5e-4},
        {"sugar maple", 600, 0, 6, 6, 10, 0, 8.472, 5e-4},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const struct bt_wood wood = wood_of(rows[i].species);
        const struct bt_seasons_board b = board(&wood, rows[i].width, rows[i].degrees);
        const struct bt_seasons s =
            seasons(1, &b, rows[i].dry, rows[i].damp, rows[i].now);
        struct bt_season_change c;

        cr_assert_eq(bt_seasons_width(&s, &c, NULL), BT_OK);
        near(c.dry, rows[i].to_dry, rows[i].tolerance);
        near(c.damp, rows[i].to_damp, rows[i].tolerance);
        near(c.range, rows[i].to_damp - rows[i].to_dry, 2 * rows[i].tolerance);
        cr_expect_eq(c.form, BT_MOVEMENT_COEFFICIENT);
        cr_expect_not(c.outside);
        /* a wood known to 15 % and moistures that are certain */
        cr_expect(c.u_range >= 0.1499 * c.range && c.u_range <= 0.16 * c.range);
    }
}

Test(seasons, a_panel_moves_board_by_board_by_its_ring_angle)
{
    const struct bt_wood wood = wood_of("red oak");
    const struct bt_seasons_board b[] = {board(&wood, 200, 0), board(&wood, 100, 90)};
    struct bt_seasons s = seasons(2, b, 6, 9, 7);
    struct bt_season_change c;

    s.fixed = 50;
    /* behind the line: 50 mm of flat cut, to the back as it swells */
    cr_assert_eq(bt_seasons_shift(&s, 0, &c, NULL), BT_OK);
    near(c.damp, -50 * 0.00369 * 2, 1e-9);
    near(c.dry, 50 * 0.00369 * 1, 1e-9);
    near(c.range, -50 * 0.00369 * 3, 1e-9);
    /* in front of it: 150 mm of flat cut and 40 mm of quarter cut */
    cr_assert_eq(bt_seasons_shift(&s, 240, &c, NULL), BT_OK);
    near(c.damp, (150 * 0.00369 + 40 * 0.00158) * 2, 1e-9);
    near(c.dry, -(150 * 0.00369 + 40 * 0.00158) * 1, 1e-9);
    cr_assert_eq(bt_seasons_shift(&s, 50, &c, NULL), BT_OK);
    cr_expect(c.damp == 0 && c.dry == 0 && c.range == 0);
}

Test(seasons, what_is_between_two_lines_adds_up_to_the_whole)
{
    const struct bt_wood wood = wood_of("ash");
    const struct bt_seasons_board b[] = {board(&wood, 120, 10), board(&wood, 131, 45),
                                         board(&wood, 99, 80)};
    const struct bt_seasons s = seasons(3, b, 5, 13, 9);
    struct bt_season_change left, right, all;

    cr_assert_eq(bt_seasons_between(&s, 0, 187, &left, NULL), BT_OK);
    cr_assert_eq(bt_seasons_between(&s, 350, 187, &right, NULL), BT_OK);
    cr_assert_eq(bt_seasons_width(&s, &all, NULL), BT_OK);
    near(left.dry + right.dry, all.dry, 1e-9);
    near(left.damp + right.damp, all.damp, 1e-9);
    /* one tree: u adds up as well */
    near(left.u_range + right.u_range, all.u_range, 1e-9);
}

Test(seasons, u_of_each_moisture_counts_where_it_is_used)
{
    const struct bt_wood wood = wood_of("red oak");
    const struct bt_seasons_board b = board(&wood, 500, 0);
    struct bt_seasons s = seasons(1, &b, 6, 10, 8);
    struct bt_season_change without, with;
    const double rate = 500 * 0.00369;

    cr_assert_eq(bt_seasons_width(&s, &without, NULL), BT_OK);
    s.u_driest = 0.4;
    s.u_dampest = 0.6;
    s.u_now = 0.3;
    cr_assert_eq(bt_seasons_width(&s, &with, NULL), BT_OK);
    near(with.u_dry, hypot(without.u_dry, rate * 0.5), 1e-9);
    near(with.u_damp, hypot(without.u_damp, rate * hypot(0.6, 0.3)), 1e-9);
    near(with.u_range, hypot(without.u_range, rate * hypot(0.4, 0.6)), 1e-9);
    near(with.scatter, without.u_range, 1e-12);
}

Test(seasons, a_moisture_outside_the_range_of_the_coefficients_is_said)
{
    const struct bt_wood wood = wood_of("red oak");
    const struct bt_seasons_board b = board(&wood, 500, 0);
    const struct bt_seasons s = seasons(1, &b, 4.5, 10, 8);
    struct bt_season_change c;

    cr_assert_eq(bt_seasons_width(&s, &c, NULL), BT_OK);
    cr_expect(c.outside);
    cr_expect_eq(c.form, BT_MOVEMENT_LONG);
}

Test(seasons, hardly_anything_moves_along_the_grain)
{
    const struct bt_wood wood = wood_of("red oak");
    const struct bt_seasons_board b = board(&wood, 500, 0);
    struct bt_seasons s = seasons(1, &b, 6, 12, 8);
    struct bt_season_change c = bt_seasons_along(&s, 2000);

    /* 0.15 % over 30 points: 2000 mm by 4 points is 0.4 mm */
    near(c.damp, 0.4, 1e-12);
    near(c.dry, -0.2, 1e-12);
    near(c.range, 0.6, 1e-12);
    near(c.u_range, 2000 * 9.6e-6 * 6, 1e-12);
    c = bt_seasons_along(&s, NAN);
    cr_expect(isnan(c.dry) && isnan(c.damp) && isnan(c.range));
}

Test(seasons, what_cannot_be_is_refused_and_nothing_is_written)
{
    const struct bt_wood wood = wood_of("red oak");
    const struct bt_seasons_board b[] = {board(&wood, 500, 0), board(&wood, 0, 0)};
    const struct {
        struct bt_seasons s;
        size_t row;
        const char *message;
    } rows[] = {
        {seasons(1, b, 6, 10, 80), 0,
         "wood at 80 % is too wet to be fitted: let it dry to the room first"},
        {seasons(1, b, 6, NAN, 8), 0, "the moisture must be 0 % to 30 %"},
        {seasons(1, b, -1, 10, 8), 0, "the moisture must be 0 % to 30 %"},
        {seasons(1, b, 10, 6, 8), 0, "the dampest is drier than the driest"},
        {seasons(0, b, 6, 10, 8), 0, "a panel has one board at least"},
        {seasons(2, b, 6, 10, 8), 1, "the width must be over 0 mm"},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct bt_season_change c = {.dry = 77};
        struct bt_error err = {0};

        cr_expect_eq(bt_seasons_width(&rows[i].s, &c, &err), BT_EINPUT, "%s",
                     rows[i].message);
        cr_expect_str_eq(err.message, rows[i].message);
        cr_expect_eq(err.row, rows[i].row, "%s", rows[i].message);
        cr_expect(c.dry == 77);
    }
}

Test(seasons, a_line_or_a_u_that_is_no_number_is_refused)
{
    const struct bt_wood wood = wood_of("red oak");
    const struct bt_seasons_board b = board(&wood, 500, 0);
    struct bt_seasons s = seasons(1, &b, 6, 10, 8);
    struct bt_season_change c;
    struct bt_error err = {0};

    cr_expect_eq(bt_seasons_shift(&s, NAN, &c, &err), BT_EINPUT);
    cr_expect_str_eq(err.message, "a line of the panel is no number");
    s.u_now = NAN;
    cr_expect_eq(bt_seasons_width(&s, &c, &err), BT_EINPUT);
    cr_expect_str_eq(err.message,
                     "u of a moisture must be 0 or more, and the fixed line a number");
}
