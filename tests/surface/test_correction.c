/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>
#include <gsl/gsl_errno.h>
#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "benchtrue/surface/flatness.h"
#include "support/builder.h"
#include "support/memory.h"

static void quiet_gsl(void)
{
    gsl_set_error_handler_off();
}

TestSuite(correction, .init = quiet_gsl);

static void near(double got, double want, double tol, const char *what)
{
    cr_expect(fabs(got - want) <= tol, "%s: got %.15g, want %.15g", what, got, want);
}

/* ---- a panel of 1200 x 600 read at 7 x 5 places ---- */

enum { NX = 7, NY = 5 };

static const struct bt_flatness_options size = {.length = 1200, .width = 600};

static double form(double x, double y)
{
    const double u = x / 600 - 1, v = y / 300 - 1;

    return 0.2 - 0.9 * u * u + 0.4 * u * v + 0.6 * v * v;
}

static double flat(double x, double y)
{
    return 0.3 + 1e-4 * x - 2e-4 * y;
}

static struct bt_point at(int i, int j)
{
    return (struct bt_point){1200.0 * i / (NX - 1), 600.0 * j / (NY - 1)};
}

/* Rows and columns, each from the left or from the back, and winding sticks, which see
 * the twist and nothing of the edge. */
static void grid(struct builder *b, double (*surface)(double, double))
{
    builder_init(b, 0.02, surface);
    for (int j = 0; j < NY; j++)
        builder_run(b, at(0, j), at(NX - 1, j), NX);
    for (int i = 0; i < NX; i++)
        builder_run(b, at(i, 0), at(i, NY - 1), NY);
    builder_wind(b, 0, 1200, 0, 600, 700);
}

/* The edge of all lines, with errors of its own: even 1 - e^2, and odd. */
static void lay(struct builder *b, double even, double odd)
{
    for (size_t g = 0; g < b->r.ngroup; g++)
        b->r.group[g].instrument = 0;
    for (size_t i = 0; i < b->r.nobs; i++) {
        const double e = b->r.obs[i].edge;
        if (b->r.obs[i].kind == BT_READ_GAP)
            b->r.obs[i].value +=
                even * (1 - e * e) + odd * 1.5 * sqrt(3) * (e - e * e * e);
    }
}

static void evaluate(const struct builder *b, const struct bt_flatness_options *options,
                     struct bt_flatness *f)
{
    struct bt_error err = {0};

    cr_assert_eq(bt_flatness_evaluate(&b->r, options, f, &err), BT_OK, "%s",
                 err.message);
}

static void expect_form(const struct bt_flatness *f, double bow, double cup,
                        double twist)
{
    near(f->form.bow.value, bow, 1e-9, "bow");
    near(f->form.cup.value, cup, 1e-9, "cup");
    near(f->form.twist.value, twist, 1e-9, "twist");
}

/* The parts of u are its whole. */
static void expect_split(const struct bt_flatness *f, enum bt_doubt_of figure, double u,
                         const char *what)
{
    double square = 0;

    for (int k = 0; k < BT_READ_KINDS; k++)
        square += f->readings_u[figure][k] * f->readings_u[figure][k];
    for (size_t c = 0; c < f->ncorrection; c++)
        square += f->correction[c].share[figure] * f->correction[c].share[figure];
    near(sqrt(square), u, 1e-9 * u, what);
}

static void expect_splits(const struct bt_flatness *f)
{
    expect_split(f, BT_DOUBT_BOW, f->form.bow.u, "parts of the u of bow");
    expect_split(f, BT_DOUBT_CUP, f->form.cup.u, "parts of the u of cup");
    expect_split(f, BT_DOUBT_TWIST, f->form.twist.u, "parts of the u of twist");
    expect_split(f, BT_DOUBT_RANGE, f->residual.range.u, "parts of the u of range");
}

/* ---- own shape of the edge ---- */

Test(correction, an_odd_shape_is_found_from_a_line_read_both_ways_round)
{
    struct builder b;
    struct bt_flatness f, true_edge;

    grid(&b, form);
    builder_run(&b, at(NX - 1, 2), at(0, 2), NX);
    evaluate(&b, &size, &true_edge);
    lay(&b, 0, 0.137);
    evaluate(&b, &size, &f);
    cr_assert_eq(f.ncorrection, 1);
    cr_expect_eq(f.correction[0].kind, BT_CORRECTION_ODD);
    cr_expect_eq(f.correction[0].instrument, 0);
    cr_expect(f.correction[0].seen);
    near(f.correction[0].value, 0.137, 1e-9, "odd shape");
    expect_form(&f, 0.9, -0.6, 1.6);
    near(f.net->vtpv, 0, 1e-12, "nothing is left over");
    for (size_t p = 0; p < f.net->npoint; p++)
        near(f.z[p], true_edge.z[p], 1e-9, "height");
    cr_expect_eq(f.net->dof + 1, true_edge.net->dof, "one unknown more");
    cr_expect_eq(f.net->rank, true_edge.net->rank + 1);
    cr_expect_eq(f.net->unknowns, true_edge.net->unknowns + 1);
    expect_splits(&f);
    bt_flatness_clear(&f);
    bt_flatness_clear(&true_edge);
    builder_clear(&b);
}

/* x' P y/(x' P x') by hand for one line read twice, the second time turned: four places
 * at e = -1, -1/3, 1/3, 1, of which the differences of both readings show twice the odd
 * shape, c = 1.5 sqrt(3) 8/27 at +-1/3, and the sums the heights.  Of the differences
 * each placement's offset and slope take the straight line: d = (0, -c, c, 0)/... */
Test(correction, the_u_of_an_odd_shape_is_that_of_the_differences)
{
    const double c = 1.5 * sqrt(3) * 8 / 27;
    /* slope of (0, -c, c, 0) over e: sum e d/sum e^2 = (2c/3)/(20/9) = 0.3 c */
    const double left = 2 * (0.3 * c) * (0.3 * c) + 2 * (c - 0.1 * c) * (c - 0.1 * c);
    struct builder b;
    struct bt_network *net;
    double x[8] = {0, -c, c, 0, 0, -c, c, 0};
    struct bt_extended found;

    builder_init(&b, 0.02, flat);
    builder_run(&b, (struct bt_point){0, 0}, (struct bt_point){900, 0}, 4);
    builder_run(&b, (struct bt_point){900, 0}, (struct bt_point){0, 0}, 4);
    cr_assert_eq(bt_network_adjust(&b.r, &net, NULL), BT_OK);
    cr_assert_eq(bt_network_extend(net, 1, x, &found), BT_OK);
    cr_assert(found.seen);
    near(found.u, 0.02 / sqrt(2 * left), 1e-12, "u");
    near(found.value, 0, 1e-9, "value");
    bt_network_free(net);
    builder_clear(&b);
}

Test(correction, an_odd_shape_is_not_looked_for_where_no_line_was_turned)
{
    struct builder b;
    struct bt_flatness f;

    grid(&b, form);
    builder_run(&b, at(0, 2), at(NX - 1, 2), NX); /* again, the same way round */
    lay(&b, 0, 0.137);
    evaluate(&b, &size, &f);
    cr_expect_eq(f.ncorrection, 0);
    bt_flatness_clear(&f);
    builder_clear(&b);
}

Test(correction, an_odd_shape_that_vanishes_at_every_place_read_is_not_seen)
{
    const struct bt_point line[3] = {{0, 0}, {600, 0}, {1200, 0}};
    struct builder b;
    struct bt_flatness f;

    /* read at its ends and its middle alone, where e - e^3 is 0; the places half way
     * belong to one line only */
    builder_init(&b, 0.02, form);
    builder_line(&b, 3, line);
    builder_line(&b, 3, (struct bt_point[]){line[2], line[1], line[0]});
    builder_line(&b, 3, (struct bt_point[]){line[0], {0, 300}, {0, 600}});
    builder_line(&b, 3, (struct bt_point[]){line[2], {1200, 300}, {1200, 600}});
    builder_line(&b, 3, (struct bt_point[]){{0, 600}, {600, 600}, {1200, 600}});
    builder_line(&b, 3, (struct bt_point[]){line[1], {600, 300}, {600, 600}});
    builder_line(&b, 3, (struct bt_point[]){{0, 300}, {600, 300}, {1200, 300}});
    lay(&b, 0, 0);
    evaluate(&b, &size, &f);
    cr_assert_eq(f.ncorrection, 1);
    cr_expect_eq(f.correction[0].kind, BT_CORRECTION_ODD);
    cr_expect_not(f.correction[0].seen);
    cr_expect(isnan(f.correction[0].value) && isnan(f.correction[0].u));
    expect_split(&f, BT_DOUBT_BOW, f.form.bow.u, "parts of the u of bow");
    expect_split(&f, BT_DOUBT_CUP, f.form.cup.u, "parts of the u of cup");
    bt_flatness_clear(&f);
    builder_clear(&b);
}

Test(correction, two_turned_edges_are_each_found)
{
    struct builder b;
    struct bt_flatness f;

    grid(&b, form);
    builder_run(&b, at(NX - 1, 2), at(0, 2), NX);
    builder_run(&b, at(3, NY - 1), at(3, 0), NY);
    lay(&b, 0, 0.05);
    /* columns with another edge */
    for (size_t i = 0; i < b.r.nobs; i++) {
        struct bt_obs *o = &b.r.obs[i];
        const double e = o->edge;
        const bool column =
            (o->group >= NY && o->group < NY + NX) || o->group == NY + NX + 1;
        if (!column)
            continue;
        b.r.group[o->group].instrument = 3;
        o->value -= 0.12 * 1.5 * sqrt(3) * (e - e * e * e);
    }
    evaluate(&b, &size, &f);
    cr_assert_eq(f.ncorrection, 2);
    near(f.correction[0].value, 0.05, 1e-9, "first edge");
    near(f.correction[1].value, -0.07, 1e-9, "second edge");
    cr_expect_eq(f.correction[1].instrument, 3);
    expect_form(&f, 0.9, -0.6, 1.6);
    bt_flatness_clear(&f);
    builder_clear(&b);
}

/* A hollow edge over a flat panel makes it look hollow by as much, over the whole
 * length and over the whole width. */
Test(correction, an_own_hollow_is_taken_off_bow_and_cup_and_its_u_is_carried)
{
    struct builder b;
    struct bt_flatness plain, f;

    grid(&b, flat);
    lay(&b, 0.1, 0);
    evaluate(&b, &size, &plain);
    expect_form(&plain, -0.1, -0.1, 0);
    for (size_t g = 0; g < b.r.ngroup; g++) {
        b.r.group[g].straightness = 5; /* the test is better than that */
        b.r.group[g].own_hollow = 0.1;
        b.r.group[g].own_hollow_u = 0.015;
    }
    evaluate(&b, &size, &f);
    expect_form(&f, 0, 0, 0);
    cr_assert_eq(f.ncorrection, 1);
    cr_expect_eq(f.correction[0].kind, BT_CORRECTION_OWN_HOLLOW);
    near(f.correction[0].value, 0.1, 0, "value");
    near(f.correction[0].change[BT_DOUBT_BOW], 0.1, 1e-9, "change of bow");
    near(f.correction[0].change[BT_DOUBT_CUP], 0.1, 1e-9, "change of cup");
    near(f.correction[0].change[BT_DOUBT_TWIST], 0, 1e-9, "change of twist");
    near(fabs(f.correction[0].share[BT_DOUBT_CUP]), 0.015, 1e-9, "share of cup");
    near(f.form.cup.u, hypot(plain.form.cup.u, 0.015), 1e-9, "u of cup");
    near(f.form.twist.u, plain.form.twist.u, 1e-9, "u of twist");
    expect_splits(&f);
    cr_expect(f.all == f.corrected && f.all != &b.r, "the readings given stay");
    bt_flatness_clear(&plain);
    bt_flatness_clear(&f);
    builder_clear(&b);
}

Test(correction, a_stated_straightness_is_one_error_of_all_lines)
{
    struct builder b;
    struct bt_flatness plain, f;

    grid(&b, form);
    lay(&b, 0, 0);
    evaluate(&b, &size, &plain);
    for (size_t g = 0; g < b.r.ngroup; g++)
        b.r.group[g].straightness = 0.06;
    evaluate(&b, &size, &f);
    cr_assert_eq(f.ncorrection, 1);
    cr_expect_eq(f.correction[0].kind, BT_CORRECTION_STRAIGHTNESS);
    near(f.correction[0].u, 0.06 / sqrt(3), 1e-15, "u");
    near(f.correction[0].change[BT_DOUBT_BOW], 0, 0, "change");
    near(f.form.bow.u, hypot(plain.form.bow.u, 0.06 / sqrt(3)), 1e-9, "u of bow");
    expect_splits(&f);
    bt_flatness_clear(&plain);
    bt_flatness_clear(&f);
    builder_clear(&b);
}

/* ---- own weight ---- */

static double hanging(double x)
{
    const double u = x / 600 - 1;

    return -0.4 * (1 - u * u);
}

static double hung_flat(double x, double y)
{
    return flat(x, y) + hanging(x);
}

static void hang(const struct bt_readings *r, double sag[])
{
    for (size_t p = 0; p < r->npoint; p++)
        sag[p] = hanging(r->point[p].x);
}

Test(correction, what_the_own_weight_did_is_taken_off_and_its_u_is_carried)
{
    struct builder b;
    struct bt_flatness plain, f;
    double sag[NX * NY];
    struct bt_flatness_options hung = size;

    grid(&b, hung_flat);
    evaluate(&b, &size, &plain);
    expect_form(&plain, -0.4, 0, 0);
    hang(&b.r, sag);
    hung.sag = sag;
    hung.sag_u = 0.25;
    evaluate(&b, &hung, &f);
    expect_form(&f, 0, 0, 0);
    near(f.residual.range.value, 0, 1e-9, "flat again");
    cr_assert_eq(f.ncorrection, 1);
    cr_expect_eq(f.correction[0].kind, BT_CORRECTION_WEIGHT);
    cr_expect_eq(f.correction[0].instrument, -1);
    near(f.correction[0].change[BT_DOUBT_BOW], 0.4, 1e-9, "change of bow");
    near(f.form.bow.u, hypot(plain.form.bow.u, 0.1), 1e-9, "u of bow");
    near(f.form.cup.u, plain.form.cup.u, 1e-9, "u of cup");
    expect_splits(&f);
    bt_flatness_clear(&plain);
    bt_flatness_clear(&f);
    builder_clear(&b);
}

Test(correction, the_own_weight_comes_off_a_scan_as_off_heights)
{
    struct bt_point p[NX * NY];
    double z[NX * NY], sag[NX * NY];
    struct bt_readings scan = {
        .npoint = NX * NY, .point = p, .scan = z, .scan_u = 0.03};
    struct builder b;
    struct bt_flatness_options hung = size;
    struct bt_flatness f, heights;

    hung.sag = sag;
    hung.sag_u = 0.25;
    hung.one_reference = true;
    for (int i = 0; i < NX * NY; i++) {
        p[i] = at(i % NX, i / NX);
        z[i] = form(p[i].x, p[i].y) + hanging(p[i].x);
        sag[i] = hanging(p[i].x);
    }
    builder_init(&b, 0.03, form);
    builder_heights(&b, 0, NX * NY, p);
    for (size_t i = 0; i < b.r.nobs; i++)
        b.r.obs[i].value = z[b.r.obs[i].point[0]];
    cr_assert_eq(bt_flatness_evaluate(&scan, &hung, &f, NULL), BT_OK);
    evaluate(&b, &hung, &heights);
    expect_form(&f, 0.9, -0.6, 1.6);
    near(f.form.bow.u, heights.form.bow.u, 1e-9, "u of bow");
    near(f.form.cup.u, heights.form.cup.u, 1e-9, "u of cup");
    near(f.residual.range.u, heights.residual.range.u, 1e-9, "u of range");
    near(f.correction[0].change[BT_DOUBT_BOW], 0.4, 1e-9, "change of bow");
    near(f.correction[0].share[BT_DOUBT_BOW], heights.correction[0].share[BT_DOUBT_BOW],
         1e-9, "share of bow");
    for (int i = 0; i < NX * NY; i++) {
        near(f.z[i], heights.z[i], 1e-9, "height");
        near(f.u[i], heights.u[i], 1e-9, "its u");
    }
    expect_splits(&f);
    bt_flatness_clear(&f);
    bt_flatness_clear(&heights);
    builder_clear(&b);
}

Test(correction, an_own_weight_that_is_no_number_is_refused)
{
    struct builder b;
    struct bt_flatness f;
    struct bt_error err;
    double sag[NX * NY] = {0};
    struct bt_flatness_options hung = size;

    grid(&b, flat);
    hung.sag = sag;
    sag[4] = INFINITY;
    cr_expect_eq(bt_flatness_evaluate(&b.r, &hung, &f, &err), BT_EINPUT);
    cr_expect_str_eq(err.message, "what the own weight does to a place is not finite");
    cr_expect_eq(err.row, 4);
    bt_flatness_clear(&f);
    sag[4] = 0;
    for (int k = 0; k < 3; k++) {
        hung.sag_u = (double[]){NAN, -0.1, INFINITY}[k];
        cr_expect_eq(bt_flatness_evaluate(&b.r, &hung, &f, &err), BT_EINPUT);
        cr_expect_str_eq(err.message,
                         "the uncertainty of the own weight is not finite and >= 0");
        bt_flatness_clear(&f);
    }
    builder_clear(&b);
}

/* ---- how much each reading counts ---- */

Test(correction, gains_give_back_the_figure_and_its_u)
{
    struct builder b;
    struct bt_network *net;
    double c[NX * NY] = {0}, gain[200], value, u, sum = 0, square = 0;
    bool seen;

    grid(&b, form);
    for (size_t i = 0; i < b.r.nobs; i++)
        b.r.obs[i].u = 0.01 + 0.001 * (double)i;
    cr_assert_eq(bt_network_adjust(&b.r, &net, NULL), BT_OK);
    c[builder_point(&b, 0, 0)] = 0.5;
    c[builder_point(&b, 1200, 0)] = 0.5;
    c[builder_point(&b, 600, 0)] = -1;
    cr_assert_eq(bt_network_figure(net, c, &value, &u, &seen), BT_OK);
    cr_assert_eq(bt_network_gains(net, c, gain), BT_OK);
    for (size_t i = 0; i < b.r.nobs; i++) {
        sum += gain[i] * b.r.obs[i].value;
        square += gain[i] * gain[i] * b.r.obs[i].u * b.r.obs[i].u;
    }
    near(sum, value, 1e-9, "value");
    near(sqrt(square), u, 1e-12, "u");
    bt_network_free(net);
    builder_clear(&b);
}

/* ---- suspects ---- */

Test(correction, figures_without_the_suspects_are_those_of_the_other_readings)
{
    struct builder b;
    struct bt_flatness f;

    grid(&b, form);
    evaluate(&b, &size, &f);
    cr_expect_not(f.without.known, "no suspect, nothing to leave out");
    bt_flatness_clear(&f);
    builder_run(&b, at(0, 0), at(NX - 1, NY - 1), 3);
    b.r.obs[3].value += 0.5; /* slip */
    evaluate(&b, &size, &f);
    cr_assert_geq(f.nsuspect, 1);
    cr_expect(fabs(f.form.bow.value - 0.9) > 1e-3, "the slip shows in the bow");
    cr_assert(f.without.known);
    near(f.without.bow.value, 0.9, 1e-9, "bow without");
    near(f.without.cup.value, -0.6, 1e-9, "cup without");
    near(f.without.twist.value, 1.6, 1e-9, "twist without");
    bt_flatness_clear(&f);
    builder_clear(&b);
}

/* ---- agreement ---- */

Test(correction, agreement_is_judged_by_both_tails_at_2_5_percent)
{
    static const struct {
        double p;
        enum bt_agreement want;
    } rows[] = {{NAN, BT_AGREE_UNKNOWN}, {0.0249, BT_AGREE_TOO_BAD},
                {0.0251, BT_AGREE},      {0.5, BT_AGREE},
                {0.9749, BT_AGREE},      {0.9751, BT_AGREE_TOO_GOOD},
                {0, BT_AGREE_TOO_BAD},   {1, BT_AGREE_TOO_GOOD}};

    for (size_t k = 0; k < sizeof rows / sizeof *rows; k++) {
        const struct bt_flatness f = {.agreement = rows[k].p};
        cr_expect_eq(bt_flatness_agreement(&f), rows[k].want, "p %g", rows[k].p);
    }
}

Test(correction, names_are_those_of_the_report)
{
    cr_expect_str_eq(bt_correction_name(BT_CORRECTION_STRAIGHTNESS), "straightness");
    cr_expect_str_eq(bt_correction_name(BT_CORRECTION_OWN_HOLLOW), "own hollow");
    cr_expect_str_eq(bt_correction_name(BT_CORRECTION_ODD), "odd shape");
    cr_expect_str_eq(bt_correction_name(BT_CORRECTION_WEIGHT), "own weight");
    cr_expect_str_eq(bt_correction_name((enum bt_correction_kind)9),
                     "unknown correction");
}

/* ---- memory ---- */

Test(correction, every_allocation_that_fails_is_told_and_nothing_is_kept)
{
    struct builder b;
    struct bt_flatness f;
    struct bt_error err;
    struct bt_flatness_options hung = size;
    size_t before, count;

    memory_fail_at(0);
    grid(&b, hung_flat);
    builder_run(&b, at(NX - 1, 2), at(0, 2), NX);
    builder_run(&b, (struct bt_point){40, 40}, (struct bt_point){1100, 47}, 5);
    lay(&b, 0.1, 0.05);
    for (size_t g = 0; g < b.r.ngroup; g++) {
        b.r.group[g].own_hollow = 0.1;
        b.r.group[g].own_hollow_u = 0.01;
    }
    b.r.obs[3].value += 0.7; /* a suspect */
    {
        double *all = bt_alloc(b.r.npoint, sizeof *all);
        hang(&b.r, all);
        hung.sag = all;
        hung.sag_u = 0.1;
        before = memory_live();
        memory_fail_at(0);
        evaluate(&b, &hung, &f);
        count = memory_calls();
        cr_expect_eq(f.ncorrection, 3);
        cr_expect_gt(f.nloose, 0);
        cr_expect(f.without.known);
        bt_flatness_clear(&f);
        for (size_t k = 1; k <= count; k++) {
            memory_fail_at(k);
            cr_expect_eq(bt_flatness_evaluate(&b.r, &hung, &f, &err), BT_ENOMEM,
                         "call %zu", k);
            cr_expect_str_eq(err.message, "out of memory", "call %zu", k);
            bt_flatness_clear(&f);
            cr_expect_eq(memory_live(), before, "call %zu", k);
        }
        memory_fail_at(0);
        bt_free(all);
    }

    builder_clear(&b);
}
