/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Bow, cup and twist of a panel of known form, from every kind of reading. */
#include <criterion/criterion.h>
#include <gsl/gsl_errno.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "benchtrue/surface/form.h"
#include "benchtrue/surface/lsq.h"
#include "support/builder.h"

static void quiet_gsl(void)
{
    gsl_set_error_handler_off();
}

TestSuite(form, .init = quiet_gsl);

/* -- the panel --------------------------------------------------------------------- */

static const struct bt_rectangle panel = {0, 0, 1200, 600};

enum { NX = 9, NY = 5 };

static const double bow = 1.385, cup = -0.715, twist = 2.31;

static double known(double x, double y)
{
    const double u = x / 600 - 1, v = y / 300 - 1;

    return 0.9 - 0.4 * u + 0.25 * v - bow * u * u + twist / 4 * u * v - cup * v * v;
}

/* 25 mm in from the edges. */
static struct bt_point at(int i, int j)
{
    return (struct bt_point){25 + 1150.0 * i / (NX - 1), 25 + 550.0 * j / (NY - 1)};
}

static void lengthwise(struct builder *b)
{
    for (int j = 0; j < NY; j++)
        builder_run(b, at(0, j), at(NX - 1, j), NX);
}

static void crosswise(struct builder *b)
{
    for (int i = 0; i < NX; i++)
        builder_run(b, at(i, 0), at(i, NY - 1), NY);
}

static void diagonals(struct builder *b)
{
    builder_run(b, at(0, 0), at(NX - 1, NY - 1), NY);
    builder_run(b, at(NX - 1, 0), at(0, NY - 1), NY);
}

static void heights(struct builder *b, int dim, int first, int last)
{
    struct bt_point p[NX * NY];
    size_t n = 0;

    for (int i = first; i <= last; i++)
        for (int j = 0; j < NY; j++)
            p[n++] = at(i, j);
    builder_heights(b, dim, n, p);
}

static void bars_x(struct builder *b, int group)
{
    for (int j = 0; j < NY; j++)
        for (int i = 1; i + 1 < NX; i++)
            builder_bar(b, group, at(i - 1, j), at(i, j), at(i + 1, j));
}

static void bars_y(struct builder *b, int group)
{
    for (int i = 0; i < NX; i++)
        for (int j = 1; j + 1 < NY; j++)
            builder_bar(b, group, at(i, j - 1), at(i, j), at(i, j + 1));
}

static void bars_oblique(struct builder *b, int group)
{
    builder_bar(b, group, at(0, 0), at(1, 1), at(2, 2));
    builder_bar(b, group, at(8, 0), at(7, 1), at(6, 2));
}

/* own: a zero of its own for each row and column of the grid. */
static void slopes(struct builder *b, int group, bool own, bool along, bool across)
{
    for (int j = 0; along && j < NY; j++) {
        const int g = own ? builder_group(b, 1) : group;
        for (int i = 0; i + 1 < NX; i++)
            builder_slope(b, g, at(i, j), at(i + 1, j));
    }
    for (int i = 0; across && i < NX; i++) {
        const int g = own ? builder_group(b, 1) : group;
        for (int j = 0; j + 1 < NY; j++)
            builder_slope(b, g, at(i, j), at(i, j + 1));
    }
}

/* Sticks that touch at other places each time: no height is read twice. */
static void sticks(struct builder *b)
{
    builder_wind(b, 30, 1170, 30, 570, 600);
    builder_wind(b, 80, 900, 60, 540, 600);
    builder_wind(b, 200, 1100, 90, 510, 600);
}

/* -- what each scheme sees --------------------------------------------------------- */

enum { BOW = 1, CUP = 2, TWIST = 4, DIRECT = 8, ALL = BOW | CUP | TWIST };

static const struct {
    const char *name;
    int sees;
} schemes[] = {{"lines both ways", BOW | CUP},
               {"lines both ways and diagonals", ALL},
               {"lines lengthwise", BOW},
               {"lines crosswise", CUP},
               {"lines lengthwise, one across, one diagonal", ALL},
               {"heights over a known reference", ALL},
               {"heights over a level reference", ALL},
               {"heights with tilt", ALL},
               {"bars lengthwise, known zero", BOW},
               {"bars crosswise, known zero", CUP},
               {"bars both ways, known zero", BOW | CUP},
               {"bars both ways and oblique, known zero", ALL},
               {"bars both ways, one unknown zero", 0},
               {"bars both ways and both diagonals, one unknown zero", ALL},
               {"bars both ways, two unknown zeros", 0},
               {"slopes along, known zero", BOW | TWIST},
               {"slopes both ways, known zero", ALL},
               {"slopes both ways, unknown zeros", ALL},
               {"slopes both ways, a zero for each row", BOW | CUP},
               {"sticks alone", TWIST | DIRECT},
               {"sticks at the corners", TWIST},
               {"lines both ways and sticks at grid points", ALL},
               {"two set-ups that share a row across", CUP | TWIST},
               {"two set-ups that share two rows across", ALL}};

static void build(struct builder *b, int row)
{
    int g, h;

    builder_init(b, 0.02, known);
    switch (row) {
    case 0:
    case 1:
    case 21:
        lengthwise(b);
        crosswise(b);
        if (row == 1)
            diagonals(b);
        if (row == 21)
            builder_wind(b, 25, 1175, 25, 575, 600);
        break;
    case 2:
        lengthwise(b);
        break;
    case 3:
        crosswise(b);
        break;
    case 4:
        lengthwise(b);
        builder_run(b, at(0, 0), at(0, NY - 1), NY);
        builder_run(b, at(8, 0), at(8, NY - 1), NY);
        builder_run(b, at(0, 0), at(8, 4), NY);
        break;
    case 5:
    case 6:
        heights(b, row - 5, 0, NX - 1);
        break;
    case 7:
        heights(b, 3, 0, NX - 1);
        break;
    case 8:
    case 9:
    case 10:
    case 11:
        if (row != 9)
            bars_x(b, BT_NO_GROUP);
        if (row != 8)
            bars_y(b, BT_NO_GROUP);
        if (row == 11)
            bars_oblique(b, BT_NO_GROUP);
        break;
    case 12:
    case 13:
        g = builder_group(b, 1);
        bars_x(b, g);
        bars_y(b, g);
        if (row == 13) {
            builder_bar(b, g, at(0, 0), at(4, 2), at(8, 4));
            builder_bar(b, g, at(8, 0), at(4, 2), at(0, 4));
        }
        break;
    case 14:
        g = builder_group(b, 1);
        h = builder_group(b, 1);
        bars_x(b, g);
        bars_y(b, h);
        break;
    case 15:
        slopes(b, BT_NO_GROUP, false, true, false);
        break;
    case 16:
        slopes(b, BT_NO_GROUP, false, true, true);
        break;
    case 17:
        g = builder_group(b, 1);
        h = builder_group(b, 1);
        slopes(b, g, false, true, false);
        slopes(b, h, false, false, true);
        break;
    case 18:
        slopes(b, 0, true, true, true);
        break;
    case 19:
        sticks(b);
        break;
    case 20:
        builder_wind(b, 25, 1175, 25, 575, 600);
        break;
    case 22:
    case 23:
        heights(b, 3, 0, 4);
        heights(b, 3, row == 22 ? 4 : 3, NX - 1);
        break;
    default:
        cr_assert_fail("a scheme that this test does not know");
    }
}

static void fit_in(const struct builder *b, const struct bt_rectangle *r,
                   struct bt_form *form)
{
    struct bt_network *net;
    struct bt_error err = {0};

    cr_assert_eq(bt_network_adjust(&b->r, &net, &err), BT_OK, "%s", err.message);
    cr_assert_eq(bt_form_fit(&b->r, net, r, form, &err), BT_OK, "%s", err.message);
    bt_network_free(net);
}

static void expect_figure(const char *scheme, const char *name, struct bt_measured got,
                          double want, bool seen)
{
    cr_expect_eq(got.seen, seen, "%s: %s is%s seen", scheme, name,
                 got.seen ? "" : " not");
    if (seen)
        cr_expect(fabs(got.value - want) <= 1e-10 && got.u > 0 && isfinite(got.u),
                  "%s: %s %.13g, u %g", scheme, name, got.value, got.u);
    else
        cr_expect(isnan(got.value) && isnan(got.u), "%s: %s has a value", scheme, name);
}

Test(form, returns_the_figures_of_a_known_panel_from_each_scheme_that_sees_them)
{
    for (size_t k = 0; k < sizeof schemes / sizeof *schemes; k++) {
        struct builder b;
        struct bt_form form;
        const char *name = schemes[k].name;

        build(&b, (int)k);
        fit_in(&b, &panel, &form);
        expect_figure(name, "bow", form.bow, bow, schemes[k].sees & BOW);
        expect_figure(name, "cup", form.cup, cup, schemes[k].sees & CUP);
        expect_figure(name, "twist", form.twist, twist, schemes[k].sees & TWIST);
        cr_expect_eq(form.twist_from_readings, (schemes[k].sees & DIRECT) != 0, "%s",
                     name);
        cr_expect(memcmp(&form.rectangle, &panel, sizeof panel) == 0);
        builder_clear(&b);
    }
}

/* Sign convention: crown positive, twist positive with A (0, 0) and C (1200, 600) high.
 */
static double crown_along(double x, double y)
{
    (void)y;
    return x * (1200 - x) / 360000;
}

static double hollow_across(double x, double y)
{
    (void)x;
    return -y * (600 - y) / 90000;
}

static double corners_a_and_c_high(double x, double y)
{
    return (x / 600 - 1) * (y / 300 - 1);
}

Test(form, a_crown_is_positive_a_hollow_negative_and_a_with_c_high_is_positive_twist)
{
    struct builder b;
    struct bt_form form;

    builder_init(&b, 0.1, crown_along);
    heights(&b, 3, 0, NX - 1);
    fit_in(&b, &panel, &form);
    expect_figure("crown", "bow", form.bow, 1, true);
    expect_figure("crown", "cup", form.cup, 0, true);
    builder_clear(&b);
    builder_init(&b, 0.1, hollow_across);
    heights(&b, 3, 0, NX - 1);
    fit_in(&b, &panel, &form);
    expect_figure("hollow", "cup", form.cup, -1, true);
    expect_figure("hollow", "bow", form.bow, 0, true);
    builder_clear(&b);
    builder_init(&b, 0.1, corners_a_and_c_high);
    heights(&b, 3, 0, NX - 1);
    fit_in(&b, &panel, &form);
    expect_figure("wound", "twist", form.twist, 4, true); /* the fourth corner */
    builder_clear(&b);
}

/* -- the unknown zero -------------------------------------------------------------- */

/* Coefficients over the heights of c[3] . (bow, cup, twist), each from a fit to a unit
 * height. */
static void coefficients(const struct bt_readings *r, const double weight[3],
                         double c[])
{
    const size_t n = r->npoint;
    double *x = calloc(7 * n, sizeof *x), *y = x + 6 * n, coef[6];

    for (size_t p = 0; p < n; p++) {
        const double u = r->point[p].x / 600 - 1, v = r->point[p].y / 300 - 1;
        const double row[6] = {1, u, v, u * u, v * v, u * v};
        memcpy(x + 6 * p, row, sizeof row);
    }
    for (size_t p = 0; p < n; p++) {
        memset(y, 0, n * sizeof *y);
        y[p] = 1;
        cr_assert_eq(bt_lsq_fit(n, 6, x, y, coef, NULL, NULL, NULL, NULL), BT_OK);
        c[p] = -weight[0] * coef[3] - weight[1] * coef[4] + 4 * weight[2] * coef[5];
    }
    free(x);
}

Test(form, an_unknown_zero_of_the_bar_hides_the_bowl_but_not_the_rest_of_bow_and_cup)
{
    struct builder b;
    struct bt_network *net;
    double c[NX * NY], value, u;
    bool seen;
    /* bow/L^2 - cup/W^2: a bowl of equal curvature both ways, of which the bars of
     * unequal span show unequal rises, would add the same to both; the spans 2 * 143.75
     * and 2 * 137.5 make the unseen shape x^2/sx^2 + y^2/sy^2 */
    const double sx = 1150.0 / 8 / 600, sy = 550.0 / 4 / 300;
    const double kept[3] = {sx * sx, -sy * sy, 0}, all[3] = {1, 1, 0};

    build(&b, 12);
    cr_assert_eq(bt_network_adjust(&b.r, &net, NULL), BT_OK);
    coefficients(&b.r, kept, c);
    cr_assert_eq(bt_network_figure(net, c, &value, &u, &seen), BT_OK);
    cr_expect(seen && fabs(value - kept[0] * bow - kept[1] * cup) <= 1e-10, "%g",
              value);
    coefficients(&b.r, all, c);
    cr_assert_eq(bt_network_figure(net, c, &value, &u, &seen), BT_OK);
    cr_expect(!seen && isnan(value) && isnan(u));
    bt_network_free(net);
    builder_clear(&b);
}

/* -- the same as a plain fit to the heights ---------------------------------------- */

static double rough(double x, double y)
{
    return known(x, y) + 0.2 * sin(x / 77) * cos(y / 51);
}

Test(form, is_the_plain_fit_to_adjusted_heights_whatever_their_weights)
{
    struct builder b;
    struct bt_network *net;
    struct bt_form form;
    double z[NX * NY], u[NX * NY], c[NX * NY];
    unsigned long long seed = 3;

    builder_init(&b, 0.02, rough);
    lengthwise(&b);
    b.u = 0.3; /* unequal weights: a fit straight to the readings gives others */
    crosswise(&b);
    diagonals(&b);
    for (size_t i = 0; i < b.r.nobs; i++)
        b.r.obs[i].value += b.r.obs[i].u * builder_normal(&seed);
    cr_assert_eq(bt_network_adjust(&b.r, &net, NULL), BT_OK);
    cr_assert_eq(bt_network_heights(net, z, u, NULL), BT_OK);
    cr_assert_eq(bt_form_fit(&b.r, net, &panel, &form, NULL), BT_OK);
    for (int k = 0; k < 3; k++) {
        const struct bt_measured *m = k == 0   ? &form.bow
                                      : k == 1 ? &form.cup
                                               : &form.twist;
        const double weight[3] = {k == 0, k == 1, k == 2};
        double want = 0;
        coefficients(&b.r, weight, c);
        for (size_t p = 0; p < net->npoint; p++)
            want += c[p] * z[p];
        cr_expect(fabs(m->value - want) <= 1e-11, "%d: %.14g %.14g", k, m->value, want);
    }
    bt_network_free(net);
    builder_clear(&b);
}

/* -- u against noise --------------------------------------------------------------- */

/* 2000 draws: the ratio of standard deviations has a standard error of 1/sqrt(4000) =
 * 1.6 %, the mean one of u/sqrt(2000); five of each are allowed. */
static void check_noise(int row, unsigned long long seed)
{
    enum { DRAWS = 2000 };
    struct builder b;
    struct bt_form form;
    double *exact, u[3], sum[3] = {0}, square[3] = {0};
    const double want[3] = {bow, cup, twist};

    build(&b, row);
    exact = calloc(b.r.nobs, sizeof *exact);
    for (size_t i = 0; i < b.r.nobs; i++) {
        b.r.obs[i].u *= 1 + (double)(i % 3); /* unequal weights */
        exact[i] = b.r.obs[i].value;
    }
    fit_in(&b, &panel, &form);
    u[0] = form.bow.u, u[1] = form.cup.u, u[2] = form.twist.u;
    for (int d = 0; d < DRAWS; d++) {
        for (size_t i = 0; i < b.r.nobs; i++)
            b.r.obs[i].value = exact[i] + b.r.obs[i].u * builder_normal(&seed);
        fit_in(&b, &panel, &form);
        for (int k = 0; k < 3; k++) {
            const double off = (k == 0   ? form.bow.value
                                : k == 1 ? form.cup.value
                                         : form.twist.value) -
                               want[k];
            sum[k] += off;
            square[k] += off * off;
        }
    }
    for (int k = 0; k < 3; k++) {
        if (isnan(u[k])) {
            cr_expect(isnan(sum[k]));
            continue;
        }
        cr_expect(fabs(sqrt(square[k] / DRAWS) / u[k] - 1) <= 5 / sqrt(2.0 * DRAWS),
                  "%s: figure %d scatters by %g, u %g", schemes[row].name, k,
                  sqrt(square[k] / DRAWS), u[k]);
        cr_expect(fabs(sum[k] / DRAWS) <= 5 * u[k] / sqrt(DRAWS),
                  "%s: figure %d, mean %g", schemes[row].name, k, sum[k] / DRAWS);
    }
    free(exact);
    builder_clear(&b);
}

Test(form, u_is_the_scatter_that_noise_makes_of_the_figures)
{
    check_noise(1, 1);
    check_noise(7, 2);
    check_noise(13, 3);
    check_noise(18, 4);
}

Test(form, u_of_a_twist_from_winding_sticks_is_the_scatter_that_noise_makes)
{
    check_noise(19, 5);
}

/* -- few points -------------------------------------------------------------------- */

static void small_grid(struct builder *b, bool middle)
{
    const double x[3] = {0, 600, 1200}, y[3] = {0, 300, 600};

    builder_init(b, 0.02, known);
    for (int j = 0; j < 3; j++)
        if (middle || j != 1)
            builder_run(b, (struct bt_point){x[0], y[j]}, (struct bt_point){x[2], y[j]},
                        3);
    for (int i = 0; i < 3; i++)
        builder_run(b, (struct bt_point){x[i], y[0]}, (struct bt_point){x[i], y[2]},
                    middle ? 3 : 2);
    if (middle) {
        builder_run(b, (struct bt_point){0, 0}, (struct bt_point){1200, 600}, 3);
        builder_run(b, (struct bt_point){0, 600}, (struct bt_point){1200, 0}, 3);
    } else {
        const struct bt_point p[4] = {{0, 0}, {1200, 0}, {0, 600}, {1200, 600}};
        builder_heights(b, 3, 4, p);
    }
}

Test(form, three_by_three_places_with_both_diagonals_show_all_figures)
{
    struct builder b;
    struct bt_form form;

    small_grid(&b, true);
    fit_in(&b, &panel, &form);
    expect_figure("3 x 3", "bow", form.bow, bow, true);
    expect_figure("3 x 3", "cup", form.cup, cup, true);
    expect_figure("3 x 3", "twist", form.twist, twist, true);
    builder_clear(&b);
}

Test(form, two_rows_of_places_show_no_cup)
{
    struct builder b;
    struct bt_form form;

    small_grid(&b, false);
    fit_in(&b, &panel, &form);
    expect_figure("no middle row", "bow", form.bow, bow, true);
    expect_figure("no middle row", "cup", form.cup, 0, false);
    expect_figure("no middle row", "twist", form.twist, twist, true);
    builder_clear(&b);
}

Test(form, a_row_left_out_of_a_grid_changes_no_figure_of_a_panel_of_pure_form)
{
    struct builder b;
    struct bt_form form;

    builder_init(&b, 0.02, known);
    for (int j = 0; j < NY; j++)
        if (j != 1)
            builder_run(&b, at(0, j), at(NX - 1, j), NX);
    for (int i = 0; i < NX; i += 2) {
        const struct bt_point p[4] = {at(i, 0), at(i, 2), at(i, 3), at(i, 4)};
        builder_line(&b, 4, p);
    }
    builder_run(&b, at(0, 0), at(8, 4), 3);
    fit_in(&b, &panel, &form);
    expect_figure("row 1 left out", "bow", form.bow, bow, true);
    expect_figure("row 1 left out", "cup", form.cup, cup, true);
    expect_figure("row 1 left out", "twist", form.twist, twist, true);
    builder_clear(&b);
}

Test(form, figures_without_a_reading_to_spare_have_a_value_and_a_u)
{
    struct builder b;
    struct bt_form form;
    struct bt_network *net;
    const struct bt_point p[6] = {{0, 0},    {1200, 0}, {0, 600},
                                  {600, 10}, {20, 300}, {1200, 600}};

    builder_init(&b, 0.02, known);
    builder_heights(&b, 3, 6, p);
    cr_assert_eq(bt_network_adjust(&b.r, &net, NULL), BT_OK);
    cr_expect_eq(net->dof, 0);
    cr_assert_eq(bt_form_fit(&b.r, net, &panel, &form, NULL), BT_OK);
    expect_figure("6 places", "bow", form.bow, bow, true);
    expect_figure("6 places", "cup", form.cup, cup, true);
    expect_figure("6 places", "twist", form.twist, twist, true);
    bt_network_free(net);
    builder_clear(&b);
}

Test(form, equal_readings_give_figures_of_0_with_their_u)
{
    struct builder b;
    struct bt_form form;

    build(&b, 1);
    for (size_t i = 0; i < b.r.nobs; i++)
        b.r.obs[i].value = 0.35;
    fit_in(&b, &panel, &form);
    expect_figure("equal", "bow", form.bow, 0, true);
    expect_figure("equal", "cup", form.cup, 0, true);
    expect_figure("equal", "twist", form.twist, 0, true);
    builder_clear(&b);
}

Test(form, places_on_one_line_show_neither_cup_nor_twist)
{
    struct builder b;
    struct bt_form form;

    builder_init(&b, 0.02, known);
    builder_run(&b, at(0, 2), at(NX - 1, 2), NX);
    fit_in(&b, &panel, &form);
    expect_figure("line", "bow", form.bow, bow, true);
    expect_figure("line", "cup", form.cup, 0, false);
    expect_figure("line", "twist", form.twist, 0, false);
    builder_clear(&b);
}

/* -- the rectangle ----------------------------------------------------------------- */

/* 25 mm short at each edge of 600 mm: (600/550)^2 = 1.190, definitions.md. */
Test(form,
     the_same_readings_give_1_19_times_the_cup_over_the_panel_than_over_their_extent)
{
    struct builder b;
    struct bt_form over_panel, over_extent;
    const struct bt_rectangle extent = {25, 25, 1175, 575};

    build(&b, 1);
    fit_in(&b, &panel, &over_panel);
    fit_in(&b, &extent, &over_extent);
    cr_expect(fabs(over_panel.cup.value / over_extent.cup.value - 1.190082644628099) <=
              1e-9);
    cr_expect(fabs(over_panel.cup.u / over_extent.cup.u - 1.190082644628099) <= 1e-9);
    cr_expect(fabs(over_panel.bow.value / over_extent.bow.value -
                   pow(1200.0 / 1150, 2)) <= 1e-9);
    cr_expect(fabs(over_panel.twist.value / over_extent.twist.value -
                   1200.0 / 1150 * 600 / 550) <= 1e-9);
    builder_clear(&b);
}

Test(form, a_rectangle_without_area_is_refused_and_the_form_left_alone)
{
    static const char area[] = "the panel's rectangle has no area";
    static const char finite[] = "the panel's rectangle is not finite";
    static const struct {
        const char *name, *message;
        struct bt_rectangle r;
    } rows[] = {{"no length", area, {0, 0, 0, 600}},
                {"no width", area, {0, 600, 1200, 600}},
                {"turned", area, {1200, 0, 0, 600}},
                {"NaN", finite, {0, 0, NAN, 600}},
                {"infinite", finite, {0, 0, INFINITY, 600}},
                {"from infinite", finite, {0, -INFINITY, 1200, 600}}};
    struct builder b;
    struct bt_network *net;

    build(&b, 1);
    cr_assert_eq(bt_network_adjust(&b.r, &net, NULL), BT_OK);
    for (size_t k = 0; k < sizeof rows / sizeof *rows; k++) {
        struct bt_form form, before;
        struct bt_error err = {0};
        memset(&form, 0x2b, sizeof form);
        before = form;
        cr_expect_eq(bt_form_fit(&b.r, net, &rows[k].r, &form, &err), BT_EINPUT, "%s",
                     rows[k].name);
        cr_expect_eq(err.code, BT_EINPUT, "%s", rows[k].name);
        cr_expect_str_eq(err.message, rows[k].message, "%s: %s", rows[k].name,
                         err.message);
        cr_expect(memcmp(&form, &before, sizeof form) == 0, "%s", rows[k].name);
    }
    bt_network_free(net);
    builder_clear(&b);
}
