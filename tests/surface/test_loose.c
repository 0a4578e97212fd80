/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Readings that hang loose say nothing of the panel and must not hide what others say.
 */
#include <criterion/criterion.h>
#include <gsl/gsl_errno.h>
#include <math.h>
#include <string.h>

#include "benchtrue/surface/flatness.h"
#include "support/builder.h"
#include "surface/loose.h"

static void quiet_gsl(void)
{
    gsl_set_error_handler_off();
}

TestSuite(loose, .init = quiet_gsl);

/* Cup 1.2 hollow, bow 0.4 crowned, twist 0.8 with A and C high, over 1200 x 400. */
static double panel(double x, double y)
{
    const double u = x / 600 - 1, v = y / 200 - 1;

    return 1.2 * v * v - 0.4 * u * u + 0.2 * u * v;
}

static struct bt_point at(double x, double y)
{
    return (struct bt_point){x, y};
}

/* 5 x 3 places, both ways, both diagonals. */
static void grid(struct builder *b, bool diagonals)
{
    builder_init(b, 0.02, panel);
    for (int j = 0; j < 3; j++)
        builder_run(b, at(0, 200 * j), at(1200, 200 * j), 5);
    for (int i = 0; i < 5; i++)
        builder_run(b, at(300 * i, 0), at(300 * i, 400), 3);
    if (diagonals) {
        builder_run(b, at(0, 0), at(1200, 400), 3);
        builder_run(b, at(1200, 0), at(0, 400), 3);
    }
}

static void expect_figures(const struct builder *b, size_t nloose, bool by_sticks)
{
    struct bt_flatness f;
    struct bt_error err;

    cr_assert_eq(bt_flatness_evaluate(
                     &b->r, &(struct bt_flatness_options){.length = 1200, .width = 400},
                     &f, &err),
                 BT_OK, "%s", err.message);
    cr_expect_eq(f.nloose, nloose, "%zu", f.nloose);
    cr_expect_eq(f.used->nobs + f.nloose, b->r.nobs);
    cr_expect(f.form.cup.seen && fabs(f.form.cup.value + 1.2) <= 1e-9);
    cr_expect(f.form.bow.seen && fabs(f.form.bow.value - 0.4) <= 1e-9);
    cr_expect(f.form.twist.seen && fabs(f.form.twist.value - 0.8) <= 1e-9);
    cr_expect_eq(f.form.twist_from_readings, by_sticks);
    cr_expect_eq(f.residual.range.seen, !by_sticks);
    for (size_t p = 0; p < f.used->npoint && !by_sticks; p++)
        cr_expect(!isnan(f.z[p]), "place %zu", p);
    for (size_t i = 0; i < f.used->nobs; i++) {
        const size_t from = bt_flatness_reading(&f, i);
        cr_expect_eq(f.used->obs[i].value, b->r.obs[from].value);
        for (size_t k = 0; k < f.nloose; k++)
            cr_expect_neq(from, f.loose[k]);
    }
    bt_flatness_clear(&f);
}

Test(loose, nothing_is_left_out_of_lines_that_hang_together)
{
    struct builder b;

    grid(&b, true);
    expect_figures(&b, 0, false);
    builder_clear(&b);
}

Test(loose, a_line_that_meets_the_rest_at_one_place_does_not_hide_the_figures)
{
    struct builder b;

    grid(&b, true);
    builder_line(&b, 3, (const struct bt_point[]){{300, 200}, {450, 270}, {600, 340}});
    expect_figures(&b, 3, false);
    builder_clear(&b);
}

Test(loose, a_line_that_meets_nothing_does_not_hide_the_figures)
{
    struct builder b;

    grid(&b, true);
    builder_line(&b, 3, (const struct bt_point[]){{310, 210}, {450, 280}, {590, 350}});
    expect_figures(&b, 3, false);
    builder_clear(&b);
}

Test(loose, a_line_that_meets_only_a_loose_line_is_left_out_with_it)
{
    struct builder b;

    grid(&b, true);
    builder_line(&b, 3, (const struct bt_point[]){{310, 210}, {450, 280}, {590, 350}});
    builder_line(&b, 3, (const struct bt_point[]){{310, 210}, {310, 300}, {310, 380}});
    expect_figures(&b, 6, false);
    builder_clear(&b);
}

Test(loose, a_bar_and_a_level_at_places_of_their_own_are_left_out)
{
    struct builder b;

    grid(&b, true);
    builder_bar(&b, BT_NO_GROUP, at(310, 10), at(400, 10), at(500, 10));
    builder_slope(&b, BT_NO_GROUP, at(310, 30), at(400, 30));
    builder_bar(&b, BT_NO_GROUP, at(300, 200), at(450, 200), at(600, 200)); /* stays */
    expect_figures(&b, 2, false);
    builder_clear(&b);
}

Test(loose, sticks_at_places_of_their_own_show_twist_where_lines_do_not)
{
    struct builder b;

    grid(&b, false);
    builder_wind(&b, 60, 1140, 30, 370, 600);
    expect_figures(&b, 1, true);
    builder_clear(&b);
}

Test(loose, sticks_at_places_of_their_own_add_nothing_where_diagonals_are_read)
{
    struct builder b;

    grid(&b, true);
    builder_wind(&b, 60, 1140, 30, 370, 600);
    expect_figures(&b, 1, false);
    builder_clear(&b);
}

Test(loose, sticks_alone_are_kept)
{
    struct builder b;
    bool loose[2];
    size_t n;

    builder_init(&b, 0.02, panel);
    builder_wind(&b, 60, 1140, 30, 370, 600);
    builder_wind(&b, 60, 1140, 30, 370, 600);
    cr_assert_eq(bt_loose_find(&b.r, loose, &n), BT_OK);
    cr_expect_eq(n, 0);
    builder_clear(&b);
}

Test(loose, lines_that_nothing_ties_together_are_all_kept)
{
    struct builder b;
    bool loose[64];
    size_t n;

    builder_init(&b, 0.02, panel);
    for (int j = 0; j < 3; j++)
        builder_run(&b, at(0, 200 * j), at(1200, 200 * j), 5);
    cr_assert_eq(bt_loose_find(&b.r, loose, &n), BT_OK);
    cr_expect_eq(n, 0);
    builder_clear(&b);
}

/* Left out, the line would leave the right half of the panel to guesswork. */
Test(loose, a_line_that_alone_reaches_an_end_of_the_panel_is_kept)
{
    struct builder b;
    bool loose[64];
    size_t n;

    builder_init(&b, 0.02, panel);
    for (int j = 0; j < 3; j++)
        builder_run(&b, at(0, 200 * j), at(600, 200 * j), 5);
    for (int i = 0; i < 5; i++)
        builder_run(&b, at(150 * i, 0), at(150 * i, 400), 3);
    builder_line(&b, 3, (const struct bt_point[]){{600, 200}, {900, 200}, {1200, 200}});
    cr_assert_eq(bt_loose_find(&b.r, loose, &n), BT_OK);
    cr_expect_eq(n, 0);
    builder_clear(&b);
}

Test(loose, the_straightness_of_the_edge_enters_the_twist_taken_from_readings)
{
    struct builder b;
    struct bt_flatness f;
    double plain;

    /* The diagonals touch the other lines nowhere: only the readings show twist. */
    grid(&b, false);
    builder_wind(&b, 60, 1140, 30, 370, 600);
    builder_run(&b, at(30, 10), at(1170, 390), 5);
    cr_assert_eq(bt_flatness_evaluate(
                     &b.r, &(struct bt_flatness_options){.length = 1200, .width = 400},
                     &f, NULL),
                 BT_OK);
    cr_assert(f.form.twist_from_readings);
    plain = f.form.twist.u;
    bt_flatness_clear(&f);
    for (size_t g = 0; g < b.r.ngroup; g++) {
        b.r.group[g].straightness = 5;
        b.r.group[g].instrument = 0;
    }
    cr_assert_eq(bt_flatness_evaluate(
                     &b.r, &(struct bt_flatness_options){.length = 1200, .width = 400},
                     &f, NULL),
                 BT_OK);
    cr_expect(f.form.twist.u > 2 * plain, "%g against %g", f.form.twist.u, plain);
    bt_flatness_clear(&f);
    builder_clear(&b);
}
