/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What one set of readings says: largest figures, suspects, agreement, straightness. */
#include "benchtrue/surface/flatness.h"

#include <criterion/criterion.h>
#include <gsl/gsl_cdf.h>
#include <gsl/gsl_errno.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "support/builder.h"

static void quiet_gsl(void)
{
    gsl_set_error_handler_off();
}

TestSuite(flatness, .init = quiet_gsl);

enum { NX = 9, NY = 5, MOST = 64 };

static double wavy(double x, double y)
{
    return 0.4 * sin(x / 210) - 0.3 * cos(y / 130) + 1e-6 * x * y - 2e-4 * x;
}

static double level(double x, double y)
{
    (void)x;
    (void)y;
    return 0;
}

static struct bt_point at(int i, int j)
{
    return (struct bt_point){150.0 * i, 150.0 * j};
}

static void grid(struct builder *b)
{
    for (int j = 0; j < NY; j++)
        builder_run(b, at(0, j), at(NX - 1, j), NX);
    for (int i = 0; i < NX; i++)
        builder_run(b, at(i, 0), at(i, NY - 1), NY);
}

static void diagonals(struct builder *b)
{
    for (int i = 0; i <= NX - NY; i += 2) {
        builder_run(b, at(i, 0), at(i + NY - 1, NY - 1), NY);
        builder_run(b, at(i + NY - 1, 0), at(i, NY - 1), NY);
    }
}

static void heights(struct builder *b, int dim, int nx, int ny)
{
    struct bt_point p[NX * NY];
    size_t n = 0;

    for (int i = 0; i < nx; i++)
        for (int j = 0; j < ny; j++)
            p[n++] = at(i, j);
    builder_heights(b, dim, n, p);
}

static void noise(struct builder *b, double share, unsigned long long *seed)
{
    for (size_t i = 0; i < b->r.nobs; i++)
        b->r.obs[i].value += share * b->r.obs[i].u * builder_normal(seed);
}

static void evaluate(const struct builder *b, struct bt_flatness *f)
{
    struct bt_error err = {0};

    cr_assert_eq(bt_flatness_evaluate(&b->r, NULL, f, &err), BT_OK, "%s", err.message);
}

/* -- largest figures --------------------------------------------------------------- */

/* Heights read once each over one reference: z = P y and Cov z = u^2 P, P the projector
 * that takes the plane off, written out here by normal equations in centred places. */
static void project(const struct bt_readings *r, double p[MOST][MOST])
{
    const size_t n = r->npoint;
    double mx = 0, my = 0, xx = 0, yy = 0;

    for (size_t i = 0; i < n; i++) {
        mx += r->point[i].x / (double)n;
        my += r->point[i].y / (double)n;
    }
    for (size_t i = 0; i < n; i++) {
        xx += pow(r->point[i].x - mx, 2);
        yy += pow(r->point[i].y - my, 2);
    }
    /* a product grid: x and y are uncorrelated */
    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j < n; j++)
            p[i][j] = (i == j) - 1 / (double)n -
                      (r->point[i].x - mx) * (r->point[j].x - mx) / xx -
                      (r->point[i].y - my) * (r->point[j].y - my) / yy;
}

Test(flatness, the_largest_figures_and_their_u_follow_the_plain_formulas)
{
    static double p[MOST][MOST];
    struct builder b;
    struct bt_flatness f;
    unsigned long long seed = 4;
    double z[MOST] = {0}, peak = -1, valley = 1, square = 0, urms = 0;
    size_t high = 0, low = 0;
    const double u = 0.035;

    builder_init(&b, u, wavy);
    heights(&b, 3, NX, NY);
    noise(&b, 1, &seed);
    evaluate(&b, &f);
    project(&b.r, p);
    for (size_t i = 0; i < b.r.npoint; i++) {
        for (size_t j = 0; j < b.r.npoint; j++)
            z[i] += p[i][j] * b.r.obs[j].value;
        square += z[i] * z[i];
        if (z[i] > peak)
            peak = z[i], high = i;
        if (z[i] < valley)
            valley = z[i], low = i;
    }
    for (size_t i = 0; i < b.r.npoint; i++) {
        cr_expect(fabs(f.z[i] - z[i]) <= 1e-12);
        cr_expect(fabs(f.u[i] - u * sqrt(p[i][i])) <= 1e-12);
        for (size_t j = 0; j < b.r.npoint; j++)
            urms += z[i] * p[i][j] * z[j];
    }
    square /= (double)b.r.npoint;
    urms = u * sqrt(urms) / ((double)b.r.npoint * sqrt(square));
    cr_expect(f.residual.highest == high && f.residual.lowest == low);
    cr_expect(fabs(f.residual.peak.value - peak) <= 1e-12);
    cr_expect(fabs(f.residual.valley.value - valley) <= 1e-12);
    cr_expect(fabs(f.residual.range.value - (peak - valley)) <= 1e-12);
    cr_expect(fabs(f.residual.rms.value - sqrt(square)) <= 1e-12); /* divisor n */
    cr_expect(fabs(f.residual.peak.u - u * sqrt(p[high][high])) <= 1e-12);
    cr_expect(fabs(f.residual.valley.u - u * sqrt(p[low][low])) <= 1e-12);
    cr_expect(fabs(f.residual.range.u -
                   u * sqrt(p[high][high] + p[low][low] - 2 * p[high][low])) <= 1e-12);
    cr_expect(fabs(f.residual.rms.u - urms) <= 1e-12);
    cr_expect(f.residual.peak.seen && f.residual.valley.seen && f.residual.range.seen &&
              f.residual.rms.seen);
    bt_flatness_clear(&f);
    builder_clear(&b);
}

Test(flatness, a_level_panel_has_figures_of_0_with_a_u)
{
    struct builder b;
    struct bt_flatness f;

    builder_init(&b, 0.05, level);
    heights(&b, 0, 4, 3);
    evaluate(&b, &f);
    cr_expect(fabs(f.residual.range.value) <= 1e-14);
    cr_expect(f.residual.rms.value <= 1e-14 && f.residual.rms.seen);
    cr_expect(f.residual.rms.u > 0 && f.residual.rms.u <= 0.05);
    cr_expect(f.residual.peak.u > 0 && f.form.bow.u > 0);
    bt_flatness_clear(&f);
    builder_clear(&b);
}

Test(flatness, figures_of_a_panel_whose_twist_is_unseen_are_not_seen)
{
    struct builder b;
    struct bt_flatness f;
    size_t open = 0;

    builder_init(&b, 0.02, wavy);
    grid(&b);
    evaluate(&b, &f);
    cr_expect(!f.residual.peak.seen && isnan(f.residual.peak.value));
    cr_expect(!f.residual.valley.seen && isnan(f.residual.valley.u));
    cr_expect(!f.residual.range.seen && !f.residual.rms.seen);
    cr_expect(isnan(f.residual.rms.value));
    cr_expect(!f.form.twist.seen && f.form.bow.seen && f.form.cup.seen);
    cr_expect(f.nunseen == 1 && f.unseen[0].kind == BT_UNSEEN_TWIST);
    for (size_t p = 0; p < b.r.npoint; p++) {
        const bool moves = b.r.point[p].x != 600 && b.r.point[p].y != 300;
        cr_expect_eq(isnan(f.z[p]) && isnan(f.u[p]), moves, "point %zu", p);
        open += moves;
    }
    cr_expect_eq(open, 32);
    bt_flatness_clear(&f);
    builder_clear(&b);
}

Test(flatness, the_rectangle_is_the_stated_panel_or_the_extent_along_each_axis)
{
    struct builder b;
    struct bt_flatness f;

    builder_init(&b, 0.02, wavy);
    grid(&b);
    diagonals(&b);
    cr_assert_eq(bt_flatness_evaluate(
                     &b.r, &(struct bt_flatness_options){.length = 1300}, &f, NULL),
                 BT_OK);
    cr_expect(f.form.rectangle.x0 == 0 && f.form.rectangle.x1 == 1300);
    cr_expect(f.form.rectangle.y0 == 0 && f.form.rectangle.y1 == 600);
    bt_flatness_clear(&f);
    cr_assert_eq(bt_flatness_evaluate(&b.r, &(struct bt_flatness_options){.width = 640},
                                      &f, NULL),
                 BT_OK);
    cr_expect(f.form.rectangle.x0 == 0 && f.form.rectangle.x1 == 1200);
    cr_expect(f.form.rectangle.y1 == 640);
    bt_flatness_clear(&f);
    builder_clear(&b);
}

Test(flatness, the_plane_of_heights_over_one_reference_is_that_of_the_heights_as_typed)
{
    struct builder b;
    struct bt_flatness f;

    builder_init(&b, 0.02, level);
    heights(&b, 3, NX, NY);
    for (size_t i = 0; i < b.r.nobs; i++)
        b.r.obs[i].value = 7 + 2e-3 * b.r.point[i].x - 5e-4 * b.r.point[i].y;
    cr_assert_eq(
        bt_flatness_evaluate(&b.r, &(struct bt_flatness_options){.one_reference = true},
                             &f, NULL),
        BT_OK);
    cr_expect(f.plane_known);
    cr_expect(fabs(f.plane.a - 7) <= 1e-12);
    cr_expect(fabs(f.plane.b - 2e-3) <= 1e-15);
    cr_expect(fabs(f.plane.c + 5e-4) <= 1e-15);
    bt_flatness_clear(&f);
    /* a place read again: its mean by weight, (1 * 0.9 + 4 * 0.4)/5 = 0.5 over 0.9 */
    builder_clear(&b);
    builder_init(&b, 0.02, level);
    builder_heights(&b, 0, 3, (const struct bt_point[]){{0, 0}, {10, 0}, {0, 10}});
    builder_set_last(&b, 0.9);
    b.u = 0.01;
    builder_heights(&b, 0, 1, (const struct bt_point[]){{0, 10}});
    builder_set_last(&b, 0.4);
    cr_assert_eq(
        bt_flatness_evaluate(&b.r, &(struct bt_flatness_options){.one_reference = true},
                             &f, NULL),
        BT_OK);
    cr_expect(fabs(f.plane.a) <= 1e-15);
    cr_expect(fabs(f.plane.b) <= 1e-15);
    cr_expect(fabs(f.plane.c - 0.05) <= 1e-15);
    bt_flatness_clear(&f);
    cr_assert_eq(bt_flatness_evaluate(&b.r, NULL, &f, NULL), BT_OK);
    cr_expect(!f.plane_known);
    bt_flatness_clear(&f);
    builder_clear(&b);
}

/* -- suspects ---------------------------------------------------------------------- */

Test(flatness, a_gross_error_in_a_well_read_grid_is_named_first_and_alone)
{
    unsigned long long seed = 31;

    for (int k = 0; k < 20; k++) {
        struct builder b;
        struct bt_flatness f;
        size_t bad;
        bool well;

        builder_init(&b, 0.02, wavy);
        grid(&b);
        diagonals(&b);
        grid(&b);
        noise(&b, 1, &seed);
        do { /* a place within the edges: read by four readings and more */
            const struct bt_point *p;
            bad = (size_t)(builder_uniform(&seed) * (double)b.r.nobs);
            p = &b.r.point[b.r.obs[bad].point[0]];
            well = p->x > 0 && p->x < 1200 && p->y > 0 && p->y < 600;
        } while (!well);
        b.r.obs[bad].value += k % 2 ? 0.5 : -0.5; /* 25 u */
        evaluate(&b, &f);
        cr_assert(f.nsuspect >= 1, "%d: no suspect", k);
        cr_expect_eq(f.suspect[0].obs, bad, "%d: %zu, not %zu", k, f.suspect[0].obs,
                     bad);
        cr_expect_eq(f.nsuspect, 1, "%d: %zu suspects", k, f.nsuspect);
        cr_expect(f.suspect[0].residual * (k % 2 ? 1 : -1) > 0.2);
        cr_expect(f.suspect[0].score == f.net->score[bad]);
        cr_expect(f.suspect[0].chance >= 0 && f.suspect[0].chance < 1e-6);
        bt_flatness_clear(&f);
        builder_clear(&b);
    }
}

Test(flatness, at_a_point_that_only_two_lines_read_both_readings_are_named_alike)
{
    for (int k = 0; k < 4; k++) {
        const int i = k / 2 ? 1 : 4; /* near a corner the error spreads further */
        struct builder b;
        struct bt_flatness f;
        size_t along, across;
        unsigned long long seed = 8;

        builder_init(&b, 0.02, wavy);
        grid(&b);
        builder_run(&b, at(2, 0), at(6, 4), NY);
        builder_run(&b, at(6, 0), at(2, 4), NY);
        noise(&b, 0.5, &seed);
        along = (size_t)(NX + i);                /* row 1, place i */
        across = (size_t)(NX * NY + i * NY + 1); /* column i, place 1 */
        cr_assert_eq(b.r.obs[along].point[0], b.r.obs[across].point[0]);
        b.r.obs[k % 2 ? across : along].value += 0.6;
        evaluate(&b, &f);
        cr_assert_eq(f.nsuspect, 2, "%zu", f.nsuspect);
        cr_expect_eq(f.suspect[0].obs, along); /* in the order typed */
        cr_expect_eq(f.suspect[1].obs, across);
        cr_expect(fabs(fabs(f.suspect[0].score) - fabs(f.suspect[1].score)) <=
                  1e-6 * fabs(f.suspect[0].score));
        cr_expect(f.suspect[0].score * f.suspect[1].score < 0);
        bt_flatness_clear(&f);
        builder_clear(&b);
    }
}

/* The larger one raises the others' sigma0 so far that the smaller stays below it until
 * the larger is set aside. */
Test(flatness, a_second_error_is_found_behind_a_larger_one)
{
    struct builder b;
    struct bt_flatness f;
    unsigned long long seed = 12;
    const size_t large = 2 * NX + 4, small = 3 * NX + 6;

    builder_init(&b, 0.02, wavy);
    grid(&b);
    diagonals(&b);
    grid(&b);
    noise(&b, 1, &seed);
    b.r.obs[large].value += 4;
    b.r.obs[small].value -= 0.2;
    evaluate(&b, &f);
    cr_assert_eq(f.nsuspect, 2, "%zu", f.nsuspect);
    cr_expect_eq(f.suspect[0].obs, large);
    cr_expect_eq(f.suspect[1].obs, small);
    cr_expect(fabs(f.net->score[small]) < 3, "%g", f.net->score[small]);
    cr_expect(fabs(f.suspect[1].score) > 5, "%g", f.suspect[1].score);
    cr_expect(f.suspect[1].residual < -0.07 && f.suspect[1].chance < 1e-3, "%g %g",
              f.suspect[1].residual, f.suspect[1].chance);
    bt_flatness_clear(&f);
    builder_clear(&b);
}

/* At most 1 set in 100 by the stated rate; of 200 sets 8 or more would come up with
 * probability 0.001 then. */
Test(flatness, clean_readings_are_suspected_no_more_often_than_stated)
{
    unsigned long long seed = 2026;
    size_t suspected = 0;

    for (int k = 0; k < 200; k++) {
        struct builder b;
        struct bt_flatness f;

        builder_init(&b, 0.02, wavy);
        grid(&b);
        diagonals(&b);
        noise(&b, 1, &seed);
        evaluate(&b, &f);
        suspected += f.nsuspect > 0;
        bt_flatness_clear(&f);
        builder_clear(&b);
    }
    cr_expect(suspected <= 7, "%zu of 200", suspected);
}

Test(flatness, readings_three_times_as_rough_as_stated_disagree_without_a_flood)
{
    unsigned long long seed = 77;
    size_t suspected = 0;

    for (int k = 0; k < 40; k++) {
        struct builder b;
        struct bt_flatness f;

        builder_init(&b, 0.02, wavy);
        grid(&b);
        diagonals(&b);
        noise(&b, 3, &seed);
        evaluate(&b, &f);
        /* chi over its root of dof scatters by 1/sqrt(2 dof), dof 63: five of it */
        cr_expect(fabs(f.net->sigma0 / 3 - 1) <= 5 / sqrt(2.0 * (double)f.net->dof),
                  "%d: %g, dof %zu", k, f.net->sigma0, f.net->dof);
        cr_expect(f.agreement >= 0 && f.agreement < 1e-9, "%d: %g", k, f.agreement);
        suspected += f.nsuspect > 0;
        bt_flatness_clear(&f);
        builder_clear(&b);
    }
    cr_expect(suspected <= 4, "%zu of 40", suspected);
}

Test(flatness, more_suspects_than_fit_are_cut_to_the_worst)
{
    struct builder b;
    struct bt_flatness f;

    builder_init(&b, 1e-4, wavy);
    for (int k = 0; k < 20; k++)
        heights(&b, 0, NX, NY);
    for (size_t i = 0; i < 20; i++) /* the sizes out of order */
        b.r.obs[2 * i].value += 0.1 + 1e-3 * (double)(i * 7 % 20);
    evaluate(&b, &f);
    cr_assert_eq(f.nsuspect, BT_SUSPECT_MAX, "%zu", f.nsuspect);
    for (size_t s = 0; s < BT_SUSPECT_MAX; s++) {
        size_t want = 0;
        while (want * 7 % 20 != 19 - s)
            want++;
        cr_expect_eq(f.suspect[s].obs, 2 * want, "%zu: %zu", s, f.suspect[s].obs);
    }
    bt_flatness_clear(&f);
    builder_clear(&b);
}

/* One error of t in the first of three readings of equal u of one place, heights known:
 * residuals 2t/3, -t/3, -t/3, redundancy 2/3 each. */
Test(flatness, scores_and_chances_follow_by_hand)
{
    const struct bt_point p[3] = {{0, 0}, {100, 0}, {0, 100}};
    struct builder b;
    struct bt_flatness f;
    const double t = 0.9, u = 0.1;
    double standard, others, score;

    builder_init(&b, u, level);
    for (int k = 0; k < 3; k++)
        builder_heights(&b, 0, 3, p);
    b.r.obs[0].value = t;
    evaluate(&b, &f);
    cr_assert_eq(f.net->dof, 6);
    cr_expect(fabs(f.net->vtpv - 6.0 / 9 * t * t / (u * u)) <= 1e-10);
    cr_expect(fabs(f.agreement - gsl_cdf_chisq_Q(f.net->vtpv, 6)) <= 1e-15);
    standard = 2 * t / 3 / (u * sqrt(2.0 / 3));
    others = (f.net->vtpv - standard * standard) / 5; /* 0: the error explains all */
    score = standard / (others > 1 ? sqrt(others) : 1);
    cr_expect(fabs(f.net->score[0] - score) <= 1e-10);
    cr_assert(f.nsuspect >= 1);
    cr_expect_eq(f.suspect[0].obs, 0);
    cr_expect(fabs(f.suspect[0].chance / (2 * 9 * gsl_cdf_ugaussian_Q(score)) - 1) <=
              1e-9);
    bt_flatness_clear(&f);
    builder_clear(&b);
}

Test(flatness, readings_that_nothing_checks_have_no_agreement_and_no_suspects)
{
    struct builder b;
    struct bt_flatness f;
    unsigned long long seed = 1;

    builder_init(&b, 0.02, wavy);
    heights(&b, 3, NX, NY);
    noise(&b, 50, &seed);
    evaluate(&b, &f);
    cr_expect_eq(f.net->dof, 0);
    cr_expect(isnan(f.agreement) && isnan(f.net->sigma0));
    cr_expect_eq(f.nsuspect, 0);
    bt_flatness_clear(&f);
    builder_clear(&b);
}

/* -- the edge's own shape ---------------------------------------------------------- */

static void state(struct builder *b, double straightness, int instrument)
{
    for (size_t g = 0; g < b->r.ngroup; g++) {
        b->r.group[g].straightness = straightness;
        b->r.group[g].instrument = instrument;
    }
}

/*
 * Full lines lengthwise and crosswise with one edge that is hollow by d in the middle
 * of each: every line's gaps are larger by d(1 - e^2), as if the surface were lower
 * there by -d u^2 along and -d v^2 across, so that bow and cup both come out smaller by
 * d over the extent.  u: limit/sqrt(3) on both, twist without it.
 */
Test(flatness, a_hollow_edge_turns_into_bow_and_cup_of_its_own_height)
{
    const double limit = 0.12, d = limit / sqrt(3);
    struct builder b;
    struct bt_flatness plain, shared;

    builder_init(&b, 0.02, wavy);
    grid(&b);
    evaluate(&b, &plain);
    state(&b, limit, 0);
    evaluate(&b, &shared);
    cr_expect_eq(shared.net->nshared, 1);
    cr_expect(fabs(shared.form.bow.value - plain.form.bow.value) <= 1e-12);
    cr_expect(fabs(shared.form.bow.u - hypot(plain.form.bow.u, d)) <= 1e-12, "%.12g",
              shared.form.bow.u);
    cr_expect(fabs(shared.form.cup.u - hypot(plain.form.cup.u, d)) <= 1e-12, "%.12g",
              shared.form.cup.u);
    bt_flatness_clear(&plain);
    bt_flatness_clear(&shared);
    /* the same by readings made with such an edge */
    for (size_t i = 0; i < b.r.nobs; i++)
        b.r.obs[i].value += 0.3 * (1 - b.r.obs[i].edge * b.r.obs[i].edge);
    state(&b, 0, -1);
    evaluate(&b, &shared);
    builder_clear(&b);
    builder_init(&b, 0.02, wavy);
    grid(&b);
    evaluate(&b, &plain);
    cr_expect(fabs(shared.form.bow.value - (plain.form.bow.value - 0.3)) <= 1e-12);
    cr_expect(fabs(shared.form.cup.value - (plain.form.cup.value - 0.3)) <= 1e-12);
    bt_flatness_clear(&plain);
    bt_flatness_clear(&shared);
    builder_clear(&b);
}

Test(flatness, edges_of_their_own_add_independently_and_only_where_they_were_used)
{
    const double d = 0.12 / sqrt(3);
    struct builder b;
    struct bt_flatness plain, shared;

    builder_init(&b, 0.02, wavy);
    grid(&b);
    evaluate(&b, &plain);
    for (int g = 0; g < NY; g++) { /* lengthwise lines with a second edge */
        b.r.group[g].straightness = 0.12;
        b.r.group[g].instrument = 1;
    }
    evaluate(&b, &shared);
    cr_expect(fabs(shared.form.bow.u - hypot(plain.form.bow.u, d)) <= 1e-12);
    cr_expect(fabs(shared.form.cup.u - plain.form.cup.u) <= 1e-12);
    bt_flatness_clear(&shared);
    for (int g = NY; g < NY + NX; g++) {
        b.r.group[g].straightness = 0.06;
        b.r.group[g].instrument = 0;
    }
    evaluate(&b, &shared);
    cr_expect_eq(shared.net->nshared, 2);
    cr_expect(fabs(shared.form.bow.u - hypot(plain.form.bow.u, d)) <= 1e-12);
    cr_expect(fabs(shared.form.cup.u - hypot(plain.form.cup.u, d / 2)) <= 1e-12);
    bt_flatness_clear(&shared);
    state(&b, NAN, 0); /* none is stated */
    evaluate(&b, &shared);
    cr_expect_eq(shared.net->nshared, 0);
    bt_flatness_clear(&shared);
    bt_flatness_clear(&plain);
    builder_clear(&b);
}

/* Peak and heights with full lines and diagonals: the shift that the edge makes of the
 * height of each point, found by readings that have it. */
Test(flatness, the_edge_counts_in_the_u_of_heights_and_of_the_largest_figures)
{
    const double d = 0.3 / sqrt(3);
    struct builder b;
    struct bt_flatness plain, shared, shifted;
    double peak;

    builder_init(&b, 0.02, wavy);
    grid(&b);
    diagonals(&b);
    evaluate(&b, &plain);
    state(&b, 0.3, 2);
    evaluate(&b, &shared);
    for (size_t i = 0; i < b.r.nobs; i++)
        b.r.obs[i].value += d * (1 - b.r.obs[i].edge * b.r.obs[i].edge);
    evaluate(&b, &shifted);
    for (size_t p = 0; p < b.r.npoint; p++)
        cr_expect(fabs(shared.u[p] - hypot(plain.u[p], shifted.z[p] - plain.z[p])) <=
                      1e-10,
                  "point %zu", p);
    peak = shifted.z[plain.residual.highest] - plain.z[plain.residual.highest];
    cr_expect(fabs(shared.residual.peak.u - hypot(plain.residual.peak.u, peak)) <=
              1e-10);
    cr_expect(shared.residual.peak.u > 1.5 * plain.residual.peak.u);
    cr_expect(fabs(shared.net->sigma0 - plain.net->sigma0) <= 1e-9);
    bt_flatness_clear(&plain);
    bt_flatness_clear(&shared);
    bt_flatness_clear(&shifted);
    builder_clear(&b);
}

/* -- errors ------------------------------------------------------------------------ */

static void expect_refused(struct builder *b, enum bt_status status,
                           const char *message)
{
    struct bt_flatness f;
    struct bt_error err = {0};

    cr_expect_eq(
        bt_flatness_evaluate(
            &b->r, &(struct bt_flatness_options){.one_reference = true}, &f, &err),
        status, "%s", err.message);
    cr_expect_eq(err.code, status);
    cr_expect_str_eq(err.message, message, "%s", err.message);
    bt_flatness_clear(&f);
    bt_flatness_clear(&f); /* twice does no harm */
    cr_expect_eq(
        bt_flatness_evaluate(
            &b->r, &(struct bt_flatness_options){.one_reference = true}, &f, NULL),
        status);
    bt_flatness_clear(&f);
    builder_clear(b);
}

Test(flatness, fewer_than_three_places_are_refused)
{
    const struct bt_point p[2] = {{0, 0}, {100, 0}};
    struct builder b;

    builder_init(&b, 0.1, wavy);
    expect_refused(&b, BT_EINPUT,
                   "0 places read: a plane needs three that are not on one line");
    builder_init(&b, 0.1, wavy);
    builder_heights(&b, 0, 1, p);
    expect_refused(&b, BT_EINPUT,
                   "1 place read: a plane needs three that are not on one line");
    builder_init(&b, 0.1, wavy);
    builder_heights(&b, 0, 2, p);
    builder_heights(&b, 0, 2, p);
    expect_refused(&b, BT_EINPUT,
                   "2 places read: a plane needs three that are not on one line");
}

Test(flatness, places_on_one_line_are_refused)
{
    static const char message[] = "all readings lie on one line, which shows no plane: "
                                  "read a second line beside it";
    struct builder b;

    builder_init(&b, 0.1, wavy);
    builder_run(&b, at(0, 0), at(8, 0), 9);
    expect_refused(&b, BT_EINPUT, message);
    builder_init(&b, 0.1, wavy);
    builder_run(&b, at(0, 0), at(4, 4), 5);
    builder_run(&b, at(1, 1), at(3, 3), 3);
    expect_refused(&b, BT_EINPUT, message);
}

Test(flatness, errors_of_the_adjustment_come_through)
{
    struct builder b;

    builder_init(&b, 0.1, wavy);
    grid(&b);
    b.r.obs[4].u = 0;
    expect_refused(&b, BT_EINPUT, "reading 4 has an uncertainty of 0 or less");
}

Test(flatness, a_panel_of_infinite_length_is_refused)
{
    struct builder b;
    struct bt_flatness f;
    struct bt_error err = {0};

    builder_init(&b, 0.1, wavy);
    grid(&b);
    cr_expect_eq(bt_flatness_evaluate(
                     &b.r, &(struct bt_flatness_options){.length = INFINITY}, &f, &err),
                 BT_EINPUT);
    cr_expect_str_eq(err.message, "the panel's rectangle is not finite");
    bt_flatness_clear(&f);
    builder_clear(&b);
}

Test(flatness, clearing_accepts_null)
{
    bt_flatness_clear(NULL);
}
