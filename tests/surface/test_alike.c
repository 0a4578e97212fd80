/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Readings between the same two leaves, whose rounding may be one error: in every
 * figure the larger of both counts.
 */
#include <criterion/criterion.h>
#include <gsl/gsl_errno.h>
#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "benchtrue/surface/extremes.h"
#include "benchtrue/surface/facets.h"
#include "benchtrue/surface/flatness.h"
#include "support/builder.h"
#include "support/memory.h"
#include "surface/draws_private.h"
#include "surface/form_rows.h"

static void quiet_gsl(void)
{
    gsl_set_error_handler_off();
}

TestSuite(alike, .init = quiet_gsl);

enum { NX = 5, NY = 4, READINGS_MOST = 80 };

static const struct bt_flatness_options size = {.length = 800, .width = 300};

static void near(double got, double want, double tol, const char *what)
{
    cr_expect(fabs(got - want) <= tol, "%s: got %.15g, want %.15g", what, got, want);
}

static double wavy(double x, double y)
{
    return 0.4 * sin(x / 210) - 0.3 * cos(y / 130) + 1e-6 * x * y;
}

static struct bt_point at(int i, int j)
{
    return (struct bt_point){200.0 * i, 100.0 * j};
}

static void lay_rows(struct builder *b)
{
    builder_init(b, 0.0144, wavy);
    for (int j = 0; j < NY; j++)
        builder_run(b, at(0, j), at(NX - 1, j), NX);
}

/* Rows, columns and a long diagonal, u not all the same. */
static void lay(struct builder *b)
{
    lay_rows(b);
    for (int i = 0; i < NX; i++)
        builder_run(b, at(i, 0), at(i, NY - 1), NY);
    builder_run(b, at(0, 0), at(3, 3), 4);
    for (size_t i = 0; i < b->r.nobs; i++)
        b->r.obs[i].u = i % 4 ? 0.0144 : 0.02;
}

/* Places of a row that mirror each other get one number, those of the columns none,
 * and a number that only one has says nothing. */
static void number(struct builder *b)
{
    for (size_t i = 0; i < NX * NY; i++) {
        const int k = (int)(i % NX);

        b->r.obs[i].alike = k == 2 ? 0 : k == 0 || k == NX - 1 ? 7 : 3;
    }
    b->r.obs[NX * NY + 1].alike = 12;
}

/* The same arc along every row. */
static void number_rows(struct builder *b)
{
    for (size_t i = 0; i < NX * NY; i++)
        b->r.obs[i].alike = i % NX == 2 ? 2 : i % NX == 0 || i % NX == NX - 1 ? 7 : 3;
}

/* What one u of each reading does to a figure, put together by its definition. */
static double square_of(const struct bt_readings *r, const double effect[], bool *more)
{
    double own = 0, alike = 0;

    for (size_t i = 0; i < r->nobs; i++) {
        double sum = 0;
        bool first = true;

        own += effect[i] * effect[i];
        for (size_t j = 0; j < r->nobs; j++)
            if (j == i || (r->obs[i].alike && r->obs[j].alike == r->obs[i].alike)) {
                sum += effect[j];
                first = first && j >= i;
            }
        alike += first ? sum * sum : 0;
    }
    *more = alike > own;
    return fmax(own, alike);
}

static struct bt_network *adjusted(const struct builder *b)
{
    struct bt_network *net;

    cr_assert_eq(bt_network_adjust(&b->r, &net, NULL), BT_OK);
    return net;
}

/* A figure that no plane changes. */
static void draw_row(const struct bt_network *net, unsigned long long *seed, double c[])
{
    for (size_t p = 0; p < net->npoint; p++)
        c[p] = builder_normal(seed);
    cr_assert_eq(bt_network_take_off_plane(net, c), BT_OK);
}

static double u_of(const struct bt_network *net, const double c[])
{
    double value, u;
    bool seen;

    cr_assert_eq(bt_network_figure(net, c, &value, &u, &seen), BT_OK);
    cr_assert(seen);
    return u;
}

static double expected_u(const struct builder *b, const struct bt_network *net,
                         const double c[], bool *more)
{
    double effect[READINGS_MOST];

    cr_assert_eq(bt_network_gains(net, c, effect), BT_OK);
    for (size_t i = 0; i < b->r.nobs; i++)
        effect[i] *= b->r.obs[i].u;
    return sqrt(square_of(&b->r, effect, more));
}

Test(alike, u_is_the_larger_of_independent_errors_and_of_one)
{
    unsigned long long seed = 11;
    struct builder b;
    struct bt_network *net;
    double c[NX * NY];
    size_t larger = 0;

    lay(&b);
    number(&b);
    net = adjusted(&b);
    cr_assert_eq(bt_network_alike(net), BT_OK);
    cr_expect_eq(net->nalike, (size_t)(4 * NY));
    for (int round = 0; round < 100; round++) {
        bool more;

        draw_row(net, &seed, c);
        near(u_of(net, c), expected_u(&b, net, c, &more), 1e-12, "u");
        larger += more;
    }
    cr_expect(larger > 20 && larger < 80, "both cases are met: %zu", larger);
    bt_network_free(net);
    builder_clear(&b);
}

Test(alike, u_of_heights_is_that_of_the_same_figures)
{
    struct builder b;
    struct bt_network *net;
    double z[NX * NY], u[NX * NY];
    size_t larger = 0;

    lay(&b);
    number(&b);
    net = adjusted(&b);
    cr_assert_eq(bt_network_alike(net), BT_OK);
    cr_assert_eq(bt_network_heights(net, z, u, NULL), BT_OK);
    for (size_t p = 0; p < net->npoint; p++) {
        double c[NX * NY] = {0};
        bool more;

        c[p] = 1;
        cr_assert_eq(bt_network_take_off_plane(net, c), BT_OK);
        near(u[p], expected_u(&b, net, c, &more), 1e-12, "u of a height");
        larger += more;
    }
    cr_expect(larger > 0 && larger < net->npoint, "%zu", larger);
    bt_network_free(net);
    builder_clear(&b);
}

Test(alike, nothing_changes_where_no_two_readings_have_a_number)
{
    struct builder b;
    struct bt_flatness plain, f;

    lay(&b);
    cr_assert_eq(bt_flatness_evaluate(&b.r, &size, &plain, NULL), BT_OK);
    for (size_t i = 0; i < b.r.nobs; i++)
        b.r.obs[i].alike = (int)i + 1;
    cr_assert_eq(bt_flatness_evaluate(&b.r, &size, &f, NULL), BT_OK);
    cr_expect_eq(f.net->nalike, (size_t)0);
    cr_expect_eq(memcmp(f.u, plain.u, f.net->npoint * sizeof *f.u), 0);
    near(f.form.bow.u, plain.form.bow.u, 0, "u of bow");
    bt_flatness_clear(&plain);
    bt_flatness_clear(&f);
    builder_clear(&b);
}

/* The errors of the middles of the rows are one for the bow, and do not average out. */
Test(alike, the_bow_of_parallel_lines_read_alike_is_hardly_surer_than_that_of_one)
{
    struct builder b;
    struct bt_flatness plain, f;

    lay(&b);
    cr_assert_eq(bt_flatness_evaluate(&b.r, &size, &plain, NULL), BT_OK);
    number_rows(&b);
    cr_assert_eq(bt_flatness_evaluate(&b.r, &size, &f, NULL), BT_OK);
    cr_expect(f.form.bow.u > 1.5 * plain.form.bow.u, "%g %g", f.form.bow.u,
              plain.form.bow.u);
    near(f.net->sigma0, plain.net->sigma0, 0, "sigma0");
    near(f.net->score[3], plain.net->score[3], 0, "score");
    near(f.form.bow.value, plain.form.bow.value, 0, "bow");
    bt_flatness_clear(&plain);
    bt_flatness_clear(&f);
    builder_clear(&b);
}

/* With a stated straightness beside it and an odd shape found. */
Test(alike, the_parts_of_u_are_its_whole)
{
    static const char *const name[] = {"cup", "bow", "twist", "range"};
    struct builder b;
    struct bt_flatness f;

    lay(&b);
    builder_run(&b, at(NX - 1, 0), at(0, 0), NX);
    number(&b);
    for (size_t g = 0; g < b.r.ngroup; g++) {
        b.r.group[g].instrument = 0;
        b.r.group[g].straightness = 0.03;
    }
    cr_assert_eq(bt_flatness_evaluate(&b.r, &size, &f, NULL), BT_OK);
    cr_assert_eq(f.ncorrection, (size_t)2);
    for (int k = BT_DOUBT_CUP; k <= BT_DOUBT_RANGE; k++) {
        const double u[] = {f.form.cup.u, f.form.bow.u, f.form.twist.u,
                            f.residual.range.u};
        double square = 0;

        for (int j = 0; j < BT_READ_KINDS; j++)
            square += f.readings_u[k][j] * f.readings_u[k][j];
        for (size_t c = 0; c < f.ncorrection; c++)
            square += f.correction[c].share[k] * f.correction[c].share[k];
        near(sqrt(square), u[k], 1e-9 * u[k], name[k]);
    }
    bt_flatness_clear(&f);
    builder_clear(&b);
}

/* Sticks show the twist and the heights do not, for no line has a place with another:
 * it is fitted to the readings themselves, of which a diagonal less its bow and cup has
 * a part. */
Test(alike, a_twist_fitted_to_the_readings_has_it_in_its_u)
{
    struct builder b;
    struct bt_flatness f;
    double gain[READINGS_MOST];
    size_t diagonal;
    bool more;

    lay_rows(&b);
    for (int i = 0; i < 3; i++)
        builder_run(&b, (struct bt_point){90 + 300.0 * i, 20},
                    (struct bt_point){90 + 300.0 * i, 280}, 3);
    diagonal = b.r.nobs;
    builder_run(&b, (struct bt_point){30, 10}, (struct bt_point){770, 290}, 5);
    builder_wind(&b, 0, 800, 0, 300, 500);
    b.r.obs[diagonal].alike = b.r.obs[diagonal + 4].alike = 5;
    cr_assert_eq(bt_flatness_evaluate(&b.r, &size, &f, NULL), BT_OK);
    cr_assert(f.form.twist_from_readings);
    cr_assert_eq(bt_form_direct_row(&b.r, &f.form.rectangle, gain), BT_OK);
    for (size_t i = 0; i < b.r.nobs; i++)
        gain[i] *= b.r.obs[i].u;
    near(f.form.twist.u, sqrt(square_of(&b.r, gain, &more)), 1e-12, "u of twist");
    cr_expect(more);
    bt_flatness_clear(&f);
    builder_clear(&b);
}

Test(alike, the_u_of_a_kink_is_what_the_readings_do_to_it)
{
    const double joint[] = {150};
    const struct bt_rectangle panel = {0, 0, 800, 300};
    struct builder b;
    struct bt_network *net;
    struct bt_facets all, one;
    double effect[READINGS_MOST], start;
    bool more;

    lay(&b);
    for (size_t i = NX * NY; i < b.r.nobs; i++)
        b.r.obs[i].alike = (i - NX * NY) % NY == 0 || (i - NX * NY) % NY == 3 ? 4 : 9;
    net = adjusted(&b);
    cr_assert_eq(bt_network_alike(net), BT_OK);
    cr_assert_eq(bt_facets_fit(net, 1, joint, &panel, &all, NULL), BT_OK);
    cr_assert(all.kink[0].degree.seen);
    start = all.kink[0].degree.value;
    bt_network_free(net);
    for (size_t i = 0; i < b.r.nobs; i++) {
        b.r.obs[i].value += b.r.obs[i].u;
        net = adjusted(&b);
        cr_assert_eq(bt_facets_fit(net, 1, joint, &panel, &one, NULL), BT_OK);
        effect[i] = one.kink[0].degree.value - start;
        b.r.obs[i].value -= b.r.obs[i].u;
        bt_facets_clear(&one);
        bt_network_free(net);
    }
    near(all.kink[0].degree.u, sqrt(square_of(&b.r, effect, &more)), 1e-9, "kink");
    near(sqrt(all.covariance[0]), all.kink[0].degree.u, 1e-12, "its covariance");
    cr_expect(more);
    bt_facets_clear(&all);
    builder_clear(&b);
}

/* ---- draws ---- */

Test(alike, the_second_covariance_is_that_of_errors_that_are_one)
{
    unsigned long long seed = 5;
    struct builder b;
    struct bt_network *net;
    double covariance[NX * NY * NX * NY], c[NX * NY], effect[READINGS_MOST];
    size_t kept[NX * NY];

    lay(&b);
    number(&b);
    net = adjusted(&b);
    cr_assert_eq(bt_network_alike(net), BT_OK);
    for (size_t p = 0; p < net->npoint; p++)
        kept[p] = p;
    cr_assert_eq(draws_covariance(net, net->npoint, kept, covariance), BT_OK);
    cr_assert_eq(draws_covariance_alike(net, net->npoint, kept, covariance), BT_OK);
    for (int round = 0; round < 20; round++) {
        double got = 0, sum[13] = {0}, want = 0;

        draw_row(net, &seed, c);
        cr_assert_eq(bt_network_gains(net, c, effect), BT_OK);
        for (size_t i = 0; i < b.r.nobs; i++) {
            effect[i] *= b.r.obs[i].u;
            if (b.r.obs[i].alike)
                sum[b.r.obs[i].alike] += effect[i];
            else
                want += effect[i] * effect[i];
        }
        for (int k = 0; k < 13; k++)
            want += sum[k] * sum[k];
        for (size_t p = 0; p < net->npoint; p++)
            for (size_t q = 0; q < net->npoint; q++)
                got += c[p] * c[q] * covariance[p * net->npoint + q];
        near(got, want, 1e-9 * want, "variance");
    }
    bt_network_free(net);
    builder_clear(&b);
}

/* Every reading in one interval: an error that is one moves edges and no heights, the
 * independent ones stay in the interval. */
Test(alike, intervals_are_never_shorter_than_those_of_independent_errors)
{
    const struct bt_extremes_request request = {
        .nspan = 1, .span = {800}, .draws = 300, .seed = 2};

    for (int way = 0; way < 2; way++) {
        struct builder b;
        struct bt_flatness plain, f;
        struct bt_extremes e, g;

        lay(&b);
        cr_assert_eq(bt_flatness_evaluate(&b.r, &size, &plain, NULL), BT_OK);
        cr_assert_eq(bt_extremes_evaluate(&plain, &request, &e, NULL), BT_OK);
        if (way)
            for (size_t i = 0; i < b.r.nobs; i++)
                b.r.obs[i].alike = 1;
        else
            number_rows(&b);
        cr_assert_eq(bt_flatness_evaluate(&b.r, &size, &f, NULL), BT_OK);
        cr_assert_eq(bt_extremes_evaluate(&f, &request, &g, NULL), BT_OK);
        if (way) {
            near(g.width_sure.hi, e.width_sure.hi, 0, "zone");
            near(g.range_sure.alone, e.range_sure.alone, 0, "range");
            near(g.any[0].hi, e.any[0].hi, 0, "gap");
        } else {
            cr_expect(g.width_sure.hi > e.width_sure.hi);
            cr_expect(g.width_sure.asked.hi > e.width_sure.asked.hi);
            cr_expect(g.width_sure.alone >= e.width_sure.alone);
            cr_expect(g.any[0].hi > e.any[0].hi);
        }
        bt_extremes_clear(&e);
        bt_extremes_clear(&g);
        bt_flatness_clear(&plain);
        bt_flatness_clear(&f);
        builder_clear(&b);
    }
}

/* ---- many ---- */

Test(alike, of_many_readings_both_errors_are_added)
{
    struct builder b;
    struct bt_network *net;
    double *c, *effect, own = 0, sum = 0, u;

    builder_init(&b, 0.0144, wavy);
    for (int j = 0; j < 26; j++) {
        builder_run(&b, (struct bt_point){0, 10.0 * j},
                    (struct bt_point){400, 10.0 * j}, 21);
        if (j < 21)
            builder_run(&b, (struct bt_point){20.0 * j, 0},
                        (struct bt_point){20.0 * j, 250}, 26);
    }
    builder_run(&b, (struct bt_point){0, 0}, (struct bt_point){400, 200}, 21);
    for (size_t i = 0; i < b.r.nobs; i++)
        b.r.obs[i].alike = i % 21 == 10 ? 0 : 1;
    net = adjusted(&b);
    cr_assert_eq(bt_network_alike(net), BT_OK);
    cr_expect_eq(net->nalike, (size_t)0);
    cr_expect_eq(net->nshared, (size_t)1);
    c = bt_alloc(net->npoint, sizeof *c);
    effect = bt_alloc(net->nobs, sizeof *effect);
    cr_assert(c && effect);
    c[builder_point(&b, 0, 0)] = 0.5;
    c[builder_point(&b, 400, 0)] = 0.5;
    c[builder_point(&b, 200, 0)] = -1;
    u = u_of(net, c);
    cr_assert_eq(bt_network_gains(net, c, effect), BT_OK);
    for (size_t i = 0; i < net->nobs; i++) {
        own += pow(effect[i] * b.r.obs[i].u, 2);
        sum += b.r.obs[i].alike ? effect[i] * b.r.obs[i].u : 0;
    }
    near(u, sqrt(own + sum * sum), 1e-10, "u");
    cr_expect(sum * sum > 0.01 * own);
    bt_free(c);
    bt_free(effect);
    bt_network_free(net);
    builder_clear(&b);
}

/* ---- memory ---- */

Test(alike, an_allocation_that_fails_is_told_and_nothing_is_kept)
{
    const double joint[] = {150};
    const struct bt_extremes_request request = {.nspan = 1,
                                                .span = {800},
                                                .draws = BT_DRAWS_LEAST,
                                                .threads = 1,
                                                .njoint = 1,
                                                .joint = joint};
    struct builder b;
    struct bt_flatness f;
    struct bt_extremes e;
    size_t before, count;

    memory_fail_at(0);
    lay(&b);
    number(&b);
    before = memory_live();
    memory_fail_at(0);
    cr_assert_eq(bt_flatness_evaluate(&b.r, &size, &f, NULL), BT_OK);
    cr_assert_eq(f.net->nalike, (size_t)(4 * NY));
    cr_assert_eq(bt_extremes_evaluate(&f, &request, &e, NULL), BT_OK);
    count = memory_calls();
    bt_extremes_clear(&e);
    bt_flatness_clear(&f);
    for (size_t k = 1; k <= count; k++) {
        enum bt_status status;

        memory_fail_at(k);
        status = bt_flatness_evaluate(&b.r, &size, &f, NULL);
        if (status == BT_OK) {
            status = bt_extremes_evaluate(&f, &request, &e, NULL);
            bt_extremes_clear(&e);
        }
        cr_expect_eq(status, BT_ENOMEM, "call %zu", k);
        bt_flatness_clear(&f);
        cr_expect_eq(memory_live(), before, "call %zu", k);
    }
    memory_fail_at(0);
    builder_clear(&b);
}
