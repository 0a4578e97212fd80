/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>
#include <gsl/gsl_errno.h>
#include <math.h>

#include "benchtrue/surface/form_parts.h"
#include "support/builder.h"
#include "support/memory.h"

static void quiet_gsl(void)
{
    gsl_set_error_handler_off();
}

TestSuite(form_parts, .init = quiet_gsl);

static void near(double got, double want, double tol, const char *what)
{
    cr_expect(fabs(got - want) <= tol, "%s: got %.15g, want %.15g", what, got, want);
}

/* ---- a panel ---- */

static const struct bt_rectangle panel = {0, 0, 1200, 600};

enum { NX = 7, NY = 5 };

static double plain(double x, double y)
{
    const double u = x / 600 - 1, v = y / 300 - 1;

    return 0.3 - 1.385 * u * u + 0.58 * u * v + 0.715 * v * v;
}

/* A ripple that the form does not hold. */
static double rippled(double x, double y)
{
    return plain(x, y) + 0.09 * sin(x / 61.0 + 2 * y / 37.0);
}

static struct bt_point at(int i, int j)
{
    return (struct bt_point){1200.0 * i / (NX - 1), 600.0 * j / (NY - 1)};
}

/* All lines with one straightedge of that straightness, NaN: none stated; and winding
 * sticks, which show the twist. */
static void lines(struct builder *b, double straightness, int instrument)
{
    const size_t from = b->r.ngroup;

    for (int j = 0; j < NY; j++)
        builder_run(b, at(0, j), at(NX - 1, j), NX);
    for (int i = 0; i < NX; i++)
        builder_run(b, at(i, 0), at(i, NY - 1), NY);
    for (size_t g = from; g < b->r.ngroup; g++) {
        b->r.group[g].straightness = straightness;
        b->r.group[g].instrument = instrument;
    }
    builder_wind(b, 0, 1200, 0, 600, 700);
}

struct found {
    struct bt_flatness flatness;
    struct bt_form_parts parts;
};

static void find(const struct bt_readings *r, const struct bt_rectangle *rectangle,
                 struct found *found)
{
    struct bt_error err = {0};

    cr_assert_eq(bt_flatness_evaluate(
                     r, &(struct bt_flatness_options){.length = 1200, .width = 600},
                     &found->flatness, &err),
                 BT_OK, "%s", err.message);
    cr_assert_eq(
        bt_form_parts_find(r, &found->flatness, rectangle, &found->parts, &err), BT_OK,
        "%s", err.message);
}

static void clear(struct found *found)
{
    bt_form_parts_clear(&found->parts);
    bt_flatness_clear(&found->flatness);
}

/* ---- what is shared ---- */

/*
 * A straightedge whose middle stands 0.06/sqrt(3) higher than the line through its ends
 * shows that much more hollow on every line: 1 - e^2 along the line, which over the
 * whole length and width is a bow and a cup of just that size, and no twist.
 */
Test(form_parts, hollow_of_a_straightedge_is_bow_and_cup_of_its_size)
{
    const double u = 0.06 / sqrt(3);
    struct builder b;
    struct found found;

    builder_init(&b, 0.02, plain);
    lines(&b, 0.06, 4);
    find(&b.r, &panel, &found);
    cr_assert_eq(found.parts.nshare, 1);
    cr_expect_eq(found.parts.share[0].instrument, 4);
    near(found.parts.share[0].effect.bow, -u, 1e-9, "bow");
    near(found.parts.share[0].effect.cup, -u, 1e-9, "cup");
    near(found.parts.share[0].effect.twist, 0, 1e-9, "twist");
    clear(&found);
    builder_clear(&b);
}

Test(form_parts, own_and_shared_make_up_the_u_of_each_figure)
{
    struct builder b, bare;
    struct found with, without;

    builder_init(&b, 0.02, plain);
    lines(&b, 0.06, 0);
    builder_init(&bare, 0.02, plain);
    lines(&bare, NAN, 0);
    find(&b.r, &panel, &with);
    find(&bare.r, &panel, &without);
    cr_expect_eq(without.parts.nshare, 0);
    near(with.parts.own.bow, without.parts.form.bow.u, 1e-9, "bow");
    near(with.parts.own.cup, without.parts.form.cup.u, 1e-9, "cup");
    near(with.parts.own.twist, without.parts.form.twist.u, 1e-9, "twist");
    near(hypot(with.parts.own.cup, with.parts.share[0].effect.cup),
         with.flatness.form.cup.u, 1e-12, "u of cup");
    clear(&with);
    clear(&without);
    builder_clear(&b);
    builder_clear(&bare);
}

Test(form_parts, every_straightedge_has_an_error_of_its_own)
{
    struct builder b;
    struct found found;

    builder_init(&b, 0.02, plain);
    lines(&b, 0.06, 2);
    lines(&b, 0.03, 5);
    find(&b.r, &panel, &found);
    cr_assert_eq(found.parts.nshare, 2);
    cr_expect_eq(found.parts.share[0].instrument, 2);
    cr_expect_eq(found.parts.share[1].instrument, 5);
    /* each has half of the weight */
    near(found.parts.share[0].effect.bow, -0.03 / sqrt(3), 1e-9, "first");
    near(found.parts.share[1].effect.bow, -0.015 / sqrt(3), 1e-9, "second");
    clear(&found);
    builder_clear(&b);
}

Test(form_parts, form_is_that_over_the_rectangle_given)
{
    static const struct bt_rectangle half = {300, 0, 900, 600};
    struct builder b;
    struct found found;

    builder_init(&b, 0.02, plain);
    lines(&b, 0.06, 0);
    find(&b.r, &half, &found);
    near(found.parts.form.bow.value, 1.385 / 4, 1e-9, "bow of half the length");
    near(found.parts.share[0].effect.bow, -0.06 / sqrt(3) / 4, 1e-9, "its share");
    clear(&found);
    builder_clear(&b);
}

/* Lines along the grain alone show bow, not cup. */
Test(form_parts, what_is_not_seen_has_no_parts)
{
    struct builder b;
    struct found found;

    builder_init(&b, 0.02, plain);
    for (int j = 0; j < NY; j++)
        builder_run(&b, at(0, j), at(NX - 1, j), NX);
    for (size_t g = 0; g < b.r.ngroup; g++) {
        b.r.group[g].straightness = 0.06;
        b.r.group[g].instrument = 0;
    }
    find(&b.r, &panel, &found);
    cr_expect(found.parts.own.bow > 0);
    cr_expect(isnan(found.parts.own.cup));
    cr_expect(isnan(found.parts.own.twist));
    cr_expect(isnan(found.parts.share[0].effect.cup));
    cr_expect(isnan(found.parts.misfit.cup), "heights that move freely show no misfit");
    clear(&found);
    builder_clear(&b);
}

/* ---- what finer shapes do ---- */

Test(form_parts, panel_of_the_form_has_no_misfit)
{
    struct builder b;
    struct found found;

    builder_init(&b, 0.02, plain);
    lines(&b, NAN, 0);
    find(&b.r, &panel, &found);
    near(found.parts.misfit.bow, 0, 0, "bow");
    near(found.parts.misfit.cup, 0, 0, "cup");
    near(found.parts.misfit.twist, 0, 0, "twist");
    clear(&found);
    builder_clear(&b);
}

/*
 * A ripple of 0.09 mm with no u to speak of scatters with s = 0.09/sqrt(2).  On a grid
 * the terms are orthogonal, so that a figure's coefficients have the square 1/sum (u^2
 * - mean)^2, 1/sum (v^2 - mean)^2 and 16/sum (u v)^2.
 */
Test(form_parts, ripple_counts_as_scatter_from_place_to_place)
{
    const double s = 0.09 / sqrt(2);
    double uu = 0, vv = 0, uv = 0;
    struct builder b;
    struct found found;

    for (int i = 0; i < NX; i++)
        for (int j = 0; j < NY; j++) {
            const double u = 2.0 * i / (NX - 1) - 1, v = 2.0 * j / (NY - 1) - 1;

            uu += pow(u * u - 4.0 / 9, 2);
            vv += pow(v * v - 0.5, 2);
            uv += u * u * v * v;
        }
    builder_init(&b, 1e-5, rippled);
    lines(&b, NAN, 0);
    find(&b.r, &panel, &found);
    /* 29 degrees of freedom: the scatter itself is good to an eighth */
    near(found.parts.misfit.bow, s / sqrt(uu), 0.2 * s / sqrt(uu), "bow");
    near(found.parts.misfit.cup / found.parts.misfit.bow, sqrt(uu / vv), 1e-6, "cup");
    near(found.parts.misfit.twist / found.parts.misfit.bow, 4 * sqrt(uu / uv), 1e-6,
         "twist");
    clear(&found);
    builder_clear(&b);
}

/* ---- scans ---- */

Test(form_parts, scan_shares_nothing)
{
    struct bt_point point[NX * NY];
    double z[NX * NY];
    struct bt_readings r = {
        .npoint = NX * NY, .point = point, .scan = z, .scan_u = 0.02};
    struct found found;

    for (int i = 0; i < NX * NY; i++) {
        point[i] = at(i % NX, i / NX);
        z[i] = plain(point[i].x, point[i].y);
    }
    find(&r, &panel, &found);
    cr_expect_eq(found.parts.nshare, 0);
    near(found.parts.form.cup.value, -0.715, 1e-9, "cup");
    near(found.parts.own.cup, found.parts.form.cup.u, 1e-12, "own");
    near(found.parts.own.cup, found.flatness.form.cup.u, 1e-12, "u");
    clear(&found);
}

/* ---- what goes wrong ---- */

Test(form_parts, refuses_a_rectangle_without_area)
{
    static const struct bt_rectangle line = {0, 0, 1200, 0};
    struct bt_form_parts parts;
    struct bt_error err = {0};
    struct builder b;
    struct found found;

    builder_init(&b, 0.02, plain);
    lines(&b, 0.06, 0);
    find(&b.r, &panel, &found);
    cr_expect_eq(bt_form_parts_find(&b.r, &found.flatness, &line, &parts, &err),
                 BT_EINPUT);
    cr_expect_str_eq(err.message, "the panel's rectangle has no area");
    bt_form_parts_clear(&parts);
    bt_form_parts_clear(NULL);
    clear(&found);
    builder_clear(&b);
}

Test(form_parts, fails_cleanly_at_every_allocation)
{
    enum bt_status status = BT_ENOMEM;
    struct bt_form_parts parts;
    struct bt_error err;
    struct builder b;
    struct found found;
    size_t before, k;

    builder_init(&b, 0.02, plain);
    lines(&b, 0.06, 0);
    lines(&b, 0.06, 1);
    find(&b.r, &panel, &found);
    before = memory_live();
    for (k = 1; status != BT_OK; k++) {
        memory_fail_at(k);
        status = bt_form_parts_find(&b.r, &found.flatness, &panel, &parts, &err);
        cr_assert(status == BT_OK || status == BT_ENOMEM, "call %zu: %d", k,
                  (int)status);
        if (status == BT_ENOMEM)
            cr_expect_str_eq(err.message, "out of memory");
        bt_form_parts_clear(&parts);
        cr_assert_eq(memory_live(), before, "call %zu leaked", k);
    }
    memory_fail_at(0);
    cr_expect_gt(k, 10);
    clear(&found);
    builder_clear(&b);
}
