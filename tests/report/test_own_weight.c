/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>
#include <gsl/gsl_errno.h>
#include <math.h>
#include <string.h>

#include "benchtrue/report/own_weight.h"
#include "benchtrue/report/result.h"
#include "benchtrue/wood/wood.h"
#include "support/builder.h"

static void quiet_gsl(void)
{
    gsl_set_error_handler_off();
}

TestSuite(own_weight, .init = quiet_gsl);

enum { LENGTH = 1500, WIDTH = 600, THICK = 25 };

static double flat(double x, double y)
{
    return 1 + 1e-4 * x + 2e-4 * y;
}

/* Heights at 7 x 3 places of an ash panel that lies on two battens at its ends. */
struct panel {
    struct builder b;
    struct bt_job job;
    struct bt_set set;
    char species[16], none[1];
};

static void make(struct panel *p)
{
    struct bt_point at[21];

    memset(p, 0, sizeof *p);
    builder_init(&p->b, 0.01, flat);
    for (int i = 0; i < 21; i++)
        at[i] = (struct bt_point){LENGTH * (i % 7) / 6.0, WIDTH * (i / 7) / 2.0};
    builder_heights(&p->b, 0, 21, at);
    strcpy(p->species, "ash, white");
    p->job.panel = (struct bt_panel){LENGTH, WIDTH, THICK, p->species};
    p->job.limits = bt_limits_none();
    p->job.limits.limit[BT_FIGURE_BOW] = 1.5;
    p->set.readings = p->b.r;
    p->set.lying = (struct bt_supports){BT_LYING_ACROSS, 2, {0, LENGTH}};
}

static void find(struct panel *p, struct bt_own_weight *w)
{
    struct bt_error err = {0};

    cr_assert_eq(bt_own_weight_find(&p->job, &p->set, w, &err), BT_OK, "%s",
                 err.message);
}

/* 5 q L^4/(384 E I) with the values of the wood. */
Test(own_weight, on_battens_at_its_ends_is_that_of_the_beam_formula)
{
    struct panel p;
    struct bt_own_weight w;
    struct bt_wood wood;
    double want;

    make(&p);
    find(&p, &w);
    cr_assert_eq(bt_wood_find(p.species, strlen(p.species), &wood, NULL), BT_OK);
    want = 5 * wood.density.value * 1e-9 * 9.80665 * 12 * pow(LENGTH, 4) /
           (384 * wood.moe.value * THICK * THICK);
    cr_expect_eq(w.state, BT_WEIGHT_TAKEN_OFF);
    cr_expect(fabs(w.deepest - want) <= 1e-9 * want, "%g for %g", w.deepest, want);
    cr_expect(fabs(w.most - want) <= 1e-9 * want, "%g for %g", w.most, want);
    cr_expect(fabs(w.u - hypot(wood.moe.u / wood.moe.value,
                               wood.density.u / wood.density.value)) <= 1e-12);
    cr_expect_not(w.matters);
    bt_own_weight_clear(&w);
    builder_clear(&p.b);
}

Test(own_weight, that_hangs_a_flat_panel_gives_it_back_flat)
{
    struct panel p;
    struct bt_own_weight w;
    struct bt_set_result r;

    make(&p);
    find(&p, &w);
    for (size_t i = 0; i < p.b.r.nobs; i++)
        p.b.r.obs[i].value += w.sag[p.b.r.obs[i].point[0]];
    cr_assert_eq(bt_set_evaluate(&p.job, &p.set, NULL, &r, NULL), BT_OK);
    cr_expect(fabs(r.flatness.form.bow.value) <= 1e-9);
    cr_expect(r.flatness.form.bow.u > 0.5 * w.deepest * w.u, "its u is carried");
    cr_assert_eq(r.flatness.ncorrection, 1);
    cr_expect(r.flatness.correction[0].change[BT_DOUBT_BOW] > 0.5 * w.deepest);
    bt_set_result_clear(&r);
    bt_own_weight_clear(&w);
    builder_clear(&p.b);
}

Test(own_weight, is_none_flat_on_a_bench_or_on_edge)
{
    static const enum bt_lying lying[] = {BT_LYING_FLAT_BENCH, BT_LYING_ON_EDGE};
    struct panel p;
    struct bt_own_weight w;

    make(&p);
    for (int k = 0; k < 2; k++) {
        p.set.lying = (struct bt_supports){.lying = lying[k]};
        find(&p, &w);
        cr_expect_eq(w.state, BT_WEIGHT_NONE);
        cr_expect_null(w.sag);
        cr_expect_not(w.matters);
        bt_own_weight_clear(&w);
    }
    builder_clear(&p.b);
}

Test(own_weight, on_rails_bends_across_the_grain)
{
    struct panel p;
    struct bt_own_weight w;
    struct bt_wood wood;

    make(&p);
    p.set.lying = (struct bt_supports){BT_LYING_ALONG, 2, {0, WIDTH}};
    find(&p, &w);
    cr_assert_eq(bt_wood_find(p.species, strlen(p.species), &wood, NULL), BT_OK);
    cr_expect(fabs(w.E - (wood.e_tangential.value + wood.e_radial.value) / 2) <=
              1e-9 * w.E);
    cr_expect(fabs(w.deepest - bt_sag_most(WIDTH, THICK, w.E, w.density)) <= 1e-9);
    cr_expect(fabs(w.sag[7 + 3] + w.deepest) <= 1e-9, "in the middle of the width");
    bt_own_weight_clear(&w);
    builder_clear(&p.b);
}

Test(own_weight, matters_where_supports_are_not_stated_and_a_limit_is_small)
{
    struct panel p;
    struct bt_own_weight w;

    make(&p);
    p.set.lying = (struct bt_supports){.lying = BT_LYING_UNKNOWN};
    find(&p, &w);
    cr_expect_eq(w.state, BT_WEIGHT_NOT_STATED);
    cr_expect(w.matters);
    p.job.limits.limit[BT_FIGURE_BOW] = w.most / BT_WEIGHT_SHARE * 1.001;
    bt_own_weight_clear(&w);
    find(&p, &w);
    cr_expect_not(w.matters, "a tenth of the limit");
    bt_own_weight_clear(&w);
    p.job.limits.limit[BT_FIGURE_ZONE] = 0.1;
    find(&p, &w);
    cr_expect(w.matters, "the least limit counts");
    bt_own_weight_clear(&w);
    p.job.limits = bt_limits_none();
    find(&p, &w);
    cr_expect_not(w.matters, "nothing is limited");
    bt_own_weight_clear(&w);
    builder_clear(&p.b);
}

Test(own_weight, names_the_key_that_is_missing)
{
    struct panel p;
    struct bt_own_weight w;

    make(&p);
    p.job.panel.thickness = NAN;
    find(&p, &w);
    cr_expect_eq(w.state, BT_WEIGHT_MISSING);
    cr_expect_str_eq(w.missing, "thickness in [panel]");
    cr_expect(w.matters && isnan(w.most));
    bt_own_weight_clear(&w);
    p.job.panel.thickness = THICK;
    p.job.panel.species = p.none;
    find(&p, &w);
    cr_expect_str_eq(w.missing, "species in [panel]");
    bt_own_weight_clear(&w);
    p.job.panel.species = strcpy(p.species, "no such wood");
    find(&p, &w);
    cr_expect_str_eq(w.missing, "a species in [panel] whose stiffness is known");
    bt_own_weight_clear(&w);
    builder_clear(&p.b);
}
