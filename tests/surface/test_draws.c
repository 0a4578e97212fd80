/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/surface/draws.h"

#include <criterion/criterion.h>
#include <gsl/gsl_cdf.h>
#include <gsl/gsl_errno.h>
#include <math.h>
#include <string.h>

#include "benchtrue/surface/plane.h"
#include "benchtrue/surface/zone.h"
#include "support/builder.h"
#include "support/memory.h"
#include "surface/random.h"

static void quiet_gsl(void)
{
    gsl_set_error_handler_off();
}

TestSuite(draws, .init = quiet_gsl);

enum { NX = 7, NY = 4, N = NX * NY, EDGES = 5 };

/* A panel of 900 x 360 mm with noise that neighbours share. */
struct panel {
    struct bt_point p[N];
    double covariance[N * N];
    struct bt_draws_edge edge[EDGES];
    struct bt_draws_request request;
};

static void lay(struct panel *panel)
{
    *panel = (struct panel){.request = {.n = N, .seed = 20, .draws = 1003}};
    for (size_t i = 0; i < N; i++)
        panel->p[i] =
            (struct bt_point){150.0 * (double)(i % NX), 120.0 * (double)(i / NX)};
    for (size_t i = 0; i < N; i++)
        for (size_t j = 0; j < N; j++)
            panel->covariance[i * N + j] =
                4e-4 * exp(-hypot(panel->p[i].x - panel->p[j].x,
                                  panel->p[i].y - panel->p[j].y) /
                           200);
    for (int k = 0; k < EDGES; k++)
        panel->edge[k] = (struct bt_draws_edge){
            {.length = 900, .width = 360, .band = 6, .angle = atan2(120, 150)},
            k < BT_EDGE_DIRECTIONS ? (enum bt_edge_direction)k : BT_EDGE_OBLIQUE,
            k == 1 ? 240 : 600,
            0};
    panel->request.p = panel->p;
    panel->request.covariance = panel->covariance;
    panel->request.nedge = EDGES;
    panel->request.edge = panel->edge;
}

struct figures {
    struct bt_drawn range, zone, edge[EDGES];
};

static void draw(const struct bt_draws_request *request, struct figures *out)
{
    struct bt_error err = {0};

    memset(out, 0, sizeof *out);
    cr_assert_eq(bt_draws_run(request, &out->range, &out->zone, out->edge, &err), BT_OK,
                 "%s", err.message);
}

Test(draws, are_the_same_to_the_last_bit_for_any_number_of_threads)
{
    struct panel panel;
    struct figures one, other;

    lay(&panel);
    panel.request.threads = 1;
    draw(&panel.request, &one);
    for (unsigned threads = 2; threads <= BT_DRAWS_THREADS; threads++) {
        panel.request.threads = threads;
        draw(&panel.request, &other);
        cr_expect_eq(memcmp(&one, &other, sizeof one), 0, "%u threads", threads);
    }
    panel.request.threads = 0;
    draw(&panel.request, &other);
    cr_expect_eq(memcmp(&one, &other, sizeof one), 0, "two by default");
    panel.request.seed++;
    draw(&panel.request, &other);
    cr_expect(fabs(one.zone.half - other.zone.half) > 1e-9, "another seed");
}

Test(draws, of_one_figure_do_not_depend_on_what_else_is_asked)
{
    struct panel panel;
    struct figures all;
    struct bt_drawn zone, edge[EDGES];

    lay(&panel);
    draw(&panel.request, &all);
    panel.request.nedge = 0;
    cr_assert_eq(bt_draws_run(&panel.request, NULL, &zone, NULL, NULL), BT_OK);
    cr_expect_eq(memcmp(&zone, &all.zone, sizeof zone), 0);
    panel.request.nedge = EDGES;
    cr_assert_eq(bt_draws_run(&panel.request, NULL, NULL, edge, NULL), BT_OK);
    cr_expect_eq(memcmp(edge, all.edge, sizeof edge), 0);
}

Test(draws, of_one_figure_scale_with_the_noise)
{
    struct panel panel;
    struct figures plain, large;

    lay(&panel);
    draw(&panel.request, &plain);
    for (size_t i = 0; i < N * N; i++)
        panel.covariance[i] *= 16; /* u four times: exact in binary */
    draw(&panel.request, &large);
    cr_expect(fabs(large.range.half - 4 * plain.range.half) <= 1e-12);
    cr_expect(fabs(large.zone.half - 4 * plain.zone.half) <= 1e-12);
    cr_expect(fabs(large.zone.alone - 4 * plain.zone.alone) <= 1e-12);
    for (int k = 0; k < EDGES; k++)
        cr_expect(isnan(plain.edge[k].half) ||
                      fabs(large.edge[k].half - 4 * plain.edge[k].half) <= 1e-12,
                  "edge %d", k);
}

/* Largest of several is at least each of them in every draw, hence in its points, and
 * of one it is that one. */
Test(draws, of_figures_together_are_of_the_largest_of_them)
{
    struct panel panel;
    struct bt_draws_edge edge[7];
    struct bt_drawn drawn[7];
    double most = 0;

    lay(&panel);
    memcpy(edge, panel.edge, sizeof panel.edge);
    edge[5] = (struct bt_draws_edge){.together = 5};
    edge[6] = (struct bt_draws_edge){.together = 1};
    panel.request.edge = edge;
    panel.request.nedge = 7;
    cr_assert_eq(bt_draws_run(&panel.request, NULL, NULL, drawn, NULL), BT_OK);
    for (int k = 0; k < 5; k++)
        if (!isnan(drawn[k].half)) {
            cr_expect(drawn[5].half >= drawn[k].half, "edge %d", k);
            cr_expect(drawn[5].alone >= drawn[k].alone, "edge %d", k);
            most = fmax(most, drawn[k].half);
        }
    cr_expect(drawn[5].half > most, "along, across and oblique have a say in turn");
    cr_expect_eq(memcmp(&drawn[6], &drawn[5], sizeof drawn[6]), 0);
}

/* Along, across and oblique have lines; the diagonals have two points each. */
Test(draws, put_range_zone_and_gaps_in_order)
{
    struct panel panel;
    struct figures f;

    lay(&panel);
    draw(&panel.request, &f);
    cr_expect(f.zone.half < f.range.half && f.zone.alone < f.range.alone);
    cr_expect(f.zone.alone < f.zone.half && f.zone.alone > 0);
    cr_expect_eq(f.range.draws, (size_t)1003);
    for (int k = 0; k < EDGES; k++) {
        const bool lines = k == 0 || k == 1 || k == 4;

        cr_expect_eq(!isnan(f.edge[k].half), lines, "edge %d: %g", k, f.edge[k].half);
        cr_expect_eq(!isnan(f.edge[k].alone), lines, "edge %d", k);
        cr_expect_eq(f.edge[k].draws, (size_t)1003, "edge %d", k);
        if (lines)
            cr_expect(f.edge[k].alone > 0 && f.edge[k].alone < f.edge[k].half &&
                          f.edge[k].half < f.range.half,
                      "edge %d", k);
    }
}

Test(draws, without_noise_are_nought)
{
    struct panel panel;
    struct figures f;

    lay(&panel);
    memset(panel.covariance, 0, sizeof panel.covariance);
    draw(&panel.request, &f);
    cr_expect(f.range.half <= 0 && f.zone.half <= 0 && f.edge[0].half <= 0);
    cr_expect(f.range.alone <= 0 && f.zone.alone <= 0 && f.edge[0].alone <= 0);
}

/* As the heights know nothing of a plane, its covariance is without effect. */
Test(draws, do_not_depend_on_the_plane_that_heights_are_taken_from)
{
    struct panel panel;
    struct figures plain, tilted;

    lay(&panel);
    draw(&panel.request, &plain);
    for (size_t i = 0; i < N; i++)
        for (size_t j = 0; j < N; j++)
            panel.covariance[i * N + j] += 0.5 + 1e-6 * panel.p[i].x * panel.p[j].x;
    draw(&panel.request, &tilted);
    /* the same up to the order of pivots, which rounding may change: a few percent */
    cr_expect(fabs(tilted.range.half / plain.range.half - 1) <= 0.05);
    cr_expect(fabs(tilted.zone.half / plain.zone.half - 1) <= 0.05);
    cr_expect(fabs(tilted.edge[0].half / plain.edge[0].half - 1) <= 0.05);
}

/*
 * With one line of three points the gap both ways up is |chord - middle|, normal of
 * known u.  JCGM 101:2008, 9.2.2: u(y) 2.0, half width of the 95 % interval 3.92 (from
 * a stored test file that quotes the document).
 */
Test(draws, of_a_normal_figure_give_the_published_half_width)
{
    const struct bt_point p[3] = {{0, 0}, {100, 0}, {200, 0}};
    const double variance = 4.0 / 1.5,
                 cov[9] = {variance, 0, 0, 0, variance, 0, 0, 0, variance};
    const struct bt_draws_edge edge = {
        {.length = 200, .width = 100, .band = 6}, BT_EDGE_ALONG, 200, 0};
    const struct bt_draws_request request = {
        .n = 3, .p = p, .covariance = cov, .nedge = 1, .edge = &edge, .draws = 1000000};
    struct bt_drawn drawn;

    cr_assert_eq(bt_draws_run(&request, NULL, NULL, &drawn, NULL), BT_OK);
    cr_expect(fabs(drawn.half - 3.92) <= 0.005 + 0.02, "%g", drawn.half);
    /* a gap shows in half of the draws, so that its median is the edge of nothing */
    cr_expect(drawn.alone >= 0 && drawn.alone <= 0.01, "%g", drawn.alone);
}

/* Half widths of the 95 % interval of X1 + X2 + X3 + X4, rectangular about 0 with
 * standard deviation 1, the last one's stated; the intervals are symmetric about 0. */
static const struct {
    const char *source;
    double sd4, half, tolerance; /* of what is published, and five of the draws' own */
} rectangulars[] = {
    {"JCGM 101:2008, 9.2.3 (from a stored test file that quotes the document)", 1, 3.88,
     0.005 + 0.02},
    {"exact for the same, 2 sqrt(3) (2 - 0.6^(1/4))", 1, 3.87940674135, 0.02},
    {"JCGM 101:2008, 9.2.4, Monte Carlo (from memory)", 10, 17.0, 0.05 + 0.02},
};

Test(draws, order_statistics_give_the_published_half_widths_of_sums_of_rectangulars)
{
    enum { DRAWS = 1000000 };
    static double y[DRAWS];

    for (size_t k = 0; k < sizeof rectangulars / sizeof *rectangulars; k++) {
        struct bt_random random;
        double half;

        bt_random_start(&random, 101, k);
        for (size_t i = 0; i < DRAWS; i++) {
            double sum = rectangulars[k].sd4 * (2 * bt_random_uniform(&random) - 1);
            for (int j = 1; j < 4; j++)
                sum += 2 * bt_random_uniform(&random) - 1;
            y[i] = fabs(sqrt(3) * sum);
        }
        half = bt_draws_point(DRAWS, y, 0.95);
        cr_expect(fabs(half - rectangulars[k].half) <= rectangulars[k].tolerance,
                  "%s: %g", rectangulars[k].source, half);
    }
}

Test(draws, order_statistics_have_the_rank_that_one_more_draw_stays_within)
{
    double v[19], more[20], one[1] = {2.385};

    for (int i = 0; i < 19; i++)
        v[i] = (7 * i) % 19; /* 0 to 18 in another order */
    cr_expect(fabs(bt_draws_point(19, v, 0.95) - 18) <= 0, "rank 19 of 19");
    cr_expect(fabs(bt_draws_point(19, v, 0.5) - 9) <= 0, "rank 10 of 19");
    cr_expect(fabs(bt_draws_point(19, v, 0.01) - 0) <= 0);
    for (int i = 0; i < 20; i++)
        more[i] = i;
    cr_expect(fabs(bt_draws_point(20, more, 0.9) - 18) <= 0, "rank 19 of 20");
    cr_expect(fabs(bt_draws_point(20, more, 0.999) - 19) <= 0, "no more than all");
    cr_expect(fabs(bt_draws_point(1, one, 0.95) - 2.385) <= 0);
    cr_expect(isnan(bt_draws_point(0, one, 0.95)));
}

/*
 * 3000 readings of a hollow panel with a spike, and as many of a flat one: the interval
 * holds the true figures in 95 % or more, less 5 standard deviations of the count.
 * Noise of two parts: independent, and one cup shared by all points.
 */
static double true_height(const struct panel *panel, size_t i, bool flat)
{
    const double x = panel->p[i].x / 450 - 1, y = panel->p[i].y / 180 - 1;

    return flat ? 0 : 0.1 * x * x + 0.05 * x * y + (i == 17 ? 0.06 : 0);
}

static void figures_of(const struct panel *panel, const double z[], double w[3])
{
    struct bt_plane plane;
    struct bt_zone zone;
    struct bt_edge_result gap;
    double r[N], low, high;

    cr_assert_eq(bt_plane_fit(N, panel->p, z, &plane, r, NULL), BT_OK);
    low = high = r[0];
    for (size_t i = 1; i < N; i++) {
        low = fmin(low, r[i]);
        high = fmax(high, r[i]);
    }
    cr_assert_eq(bt_zone_fit(N, panel->p, z, &zone, NULL), BT_OK);
    cr_assert_eq(bt_edge_gap_search(N, panel->p, z, &panel->edge[0].search,
                                    BT_EDGE_ALONG, panel->edge[0].span, &gap, NULL),
                 BT_OK);
    w[0] = high - low;
    w[1] = zone.normal_width;
    w[2] = gap.worst.gap;
}

Test(draws, give_intervals_that_hold_the_true_figures)
{
    enum { PANELS = 3000 };
    struct panel panel;
    struct figures f;
    const struct bt_drawn *drawn[3] = {&f.range, &f.zone, &f.edge[0]};

    lay(&panel);
    for (size_t i = 0; i < N; i++)
        for (size_t j = 0; j < N; j++) {
            const double a = panel.p[i].y / 180 - 1, b = panel.p[j].y / 180 - 1;
            panel.covariance[i * N + j] = (i == j ? 4e-4 : 0) + 9e-4 * a * a * b * b;
        }
    draw(&panel.request, &f);
    for (int flat = 0; flat < 2; flat++) {
        unsigned long long seed = 77;
        size_t held[3] = {0}, above = 0;
        double z[N], truth[3], w[3];

        for (size_t i = 0; i < N; i++)
            z[i] = true_height(&panel, i, flat);
        figures_of(&panel, z, truth);
        for (int k = 0; k < PANELS; k++) {
            const double cup = 0.03 * builder_normal(&seed);

            for (size_t i = 0; i < N; i++) {
                const double y = panel.p[i].y / 180 - 1;
                z[i] = true_height(&panel, i, flat) + cup * y * y +
                       0.02 * builder_normal(&seed);
            }
            figures_of(&panel, z, w);
            above += w[0] > f.range.alone;
            for (int j = 0; j < 3; j++) {
                const struct bt_interval i = bt_draws_interval(w[j], drawn[j]->half);
                held[j] += i.lo <= truth[j] + 1e-12 && truth[j] <= i.hi;
            }
        }
        for (int j = 0; j < 3; j++)
            cr_expect((double)held[j] >= 0.95 * PANELS - 5 * sqrt(PANELS * 0.95 * 0.05),
                      "figure %d, flat %d: %zu", j, flat, held[j]);
        /* of a flat panel noise alone shows more than `alone` half of the time */
        if (flat)
            cr_expect(fabs((double)above / PANELS - 0.5) <=
                          5 * sqrt(0.25 / PANELS + 0.25 / 1003.0),
                      "%zu", above);
    }
}

Test(draws, interval_ends_at_nought)
{
    struct bt_interval i = bt_draws_interval(1.5, 0.25);

    cr_expect(fabs(i.lo - 1.25) <= 0 && fabs(i.hi - 1.75) <= 0);
    i = bt_draws_interval(0.125, 0.25);
    cr_expect(fabs(i.lo) <= 0 && fabs(i.hi - 0.375) <= 0);
    i = bt_draws_interval(NAN, 0.25);
    cr_expect(isnan(i.lo) && isnan(i.hi));
    i = bt_draws_interval(1.5, NAN);
    cr_expect(isnan(i.lo) && isnan(i.hi));
}

/* ---- bound ---- */

Test(draws, bound_is_where_all_heights_lie_within_with_95_percent)
{
    const double u[] = {0.02, 0.05, 0.02, NAN, 0, 0.03};
    double product = 1, half = bt_draws_bound(6, u, 0).half;

    for (int i = 0; i < 6; i++)
        if (u[i] > 0)
            product *= 1 - 2 * gsl_cdf_ugaussian_Q(half / 2 / u[i]);
    cr_expect(fabs(product - 0.95) <= 1e-12, "%.15g", product);
    cr_expect(isnan(bt_draws_bound(6, u, 0).alone));
    cr_expect_eq(bt_draws_bound(6, u, 0).draws, (size_t)0);
}

Test(draws, bound_of_equal_u_is_the_same_both_ways)
{
    double u[50];

    for (int i = 0; i < 50; i++)
        u[i] = 0.03;
    cr_expect(fabs(bt_draws_bound(50, u, 0).half -
                   bt_draws_bound_equal(50, 0.03, 0).half) <= 1e-14);
    /* one height: twice 1.96 u; a million: 2 x 5.45 u */
    cr_expect(fabs(bt_draws_bound_equal(1, 1, 0).half - 2 * 1.959964) <= 1e-6);
    cr_expect(fabs(bt_draws_bound_equal(1000000, 1, 0).half -
                   2 * gsl_cdf_ugaussian_Qinv(0.0512933 / 2e6)) <= 1e-5);
    cr_expect(bt_draws_bound(0, u, 0).half <= 0 &&
              bt_draws_bound_equal(0, 1, 0).half <= 0);
    cr_expect(bt_draws_bound_equal(9, 0, 0).half <= 0);
    cr_expect(isnan(bt_draws_bound_equal(9, NAN, 0).half));
}

Test(draws, bound_is_above_what_draws_give)
{
    struct panel panel;
    struct figures f;
    double bound;

    lay(&panel);
    draw(&panel.request, &f);
    bound = bt_draws_bound_equal(N, 0.02, 0).half; /* u over the plane is less */
    cr_expect(bound > f.range.half && bound < 2 * f.range.half, "%g %g", bound,
              f.range.half);
}

/* ---- faults ---- */

static void expect_fault(const struct panel *panel, bool zone, enum bt_status status,
                         size_t row, const char *message)
{
    const struct bt_drawn before = {1, 2, 3, 4};
    struct bt_drawn range = before, width = before, edge[EDGES] = {before};
    struct bt_error err = {0};

    cr_expect_eq(bt_draws_run(&panel->request, zone ? &range : NULL,
                              zone ? &width : NULL, edge, &err),
                 status, "%s: %s", message, err.message);
    cr_expect_str_eq(err.message, message);
    cr_expect_eq(err.row, row, "%s: row %zu", message, err.row);
    cr_expect_eq(err.code, status);
    cr_expect_eq(memcmp(&range, &before, sizeof range), 0);
    cr_expect_eq(memcmp(&width, &before, sizeof width), 0);
    cr_expect_eq(memcmp(&edge[0], &before, sizeof before), 0);
    cr_expect_eq(bt_draws_run(&panel->request, zone ? &range : NULL,
                              zone ? &width : NULL, edge, NULL),
                 status);
    cr_expect_eq(memory_live(), (size_t)0);
}

Test(draws, say_what_is_wrong_with_a_request)
{
    struct panel panel;

    lay(&panel);
    panel.request.n = 2;
    expect_fault(&panel, true, BT_EINPUT, 0,
                 "noise is drawn for 3 to 400 points, not 2");
    panel.request.n = 401;
    expect_fault(&panel, true, BT_EINPUT, 0,
                 "noise is drawn for 3 to 400 points, not 401");
    lay(&panel);
    panel.request.draws = 99;
    expect_fault(&panel, true, BT_EINPUT, 0, "99 draws, not 100 to 1000000");
    panel.request.draws = 1000001;
    expect_fault(&panel, true, BT_EINPUT, 0, "1000001 draws, not 100 to 1000000");
    lay(&panel);
    panel.request.threads = 17;
    expect_fault(&panel, true, BT_EINPUT, 0, "17 threads, not up to 16");
    lay(&panel);
    panel.p[5].y = INFINITY;
    expect_fault(&panel, true, BT_EINPUT, 5, "point 6 is not finite");
    lay(&panel);
    panel.edge[3].span = 0;
    expect_fault(&panel, true, BT_EINPUT, 0,
                 "the span of the edge is not a length above 0");
    lay(&panel);
    panel.edge[1].search.band = NAN;
    expect_fault(&panel, true, BT_EINPUT, 0,
                 "the band's width or place is not a number of 0 or more");
    lay(&panel);
    panel.edge[0].direction = (enum bt_edge_direction)99;
    expect_fault(&panel, true, BT_EINPUT, 0,
                 "there is no such direction on a panel of this size");
}

Test(draws, say_that_a_confidence_is_none)
{
    static const double none[] = {0.5, 1, -0.95, 95, NAN};

    for (size_t k = 0; k < sizeof none / sizeof *none; k++) {
        struct panel panel;

        lay(&panel);
        panel.request.confidence = none[k];
        expect_fault(&panel, true, BT_EINPUT, 0,
                     "the confidence does not lie between 0.5 and 1");
    }
}

/* The 1003 draws of a panel at other confidences: the order statistics themselves lie
 * inside one another, and 95 % stated is 95 % unstated. */
Test(draws, give_the_point_of_the_confidence_that_is_asked_for)
{
    static const double asked[] = {0.6, 0.8, 0.95, 0.99, 0.999};
    struct panel panel;
    struct figures last, now;

    lay(&panel);
    draw(&panel.request, &last);
    cr_expect_eq(last.zone.asked, last.zone.half, "none stated");
    memset(&last, 0, sizeof last);
    for (size_t k = 0; k < sizeof asked / sizeof *asked; k++) {
        panel.request.confidence = asked[k];
        draw(&panel.request, &now);
        cr_expect(now.range.asked > last.range.asked, "%g", asked[k]);
        cr_expect(now.zone.asked > last.zone.asked, "%g", asked[k]);
        for (int e = 0; e < EDGES; e++)
            cr_expect(isnan(now.edge[e].half) ? isnan(now.edge[e].asked)
                                              : now.edge[e].asked > last.edge[e].asked,
                      "edge %d at %g", e, asked[k]);
        if (k)
            cr_expect_eq(now.zone.half, last.zone.half, "%g", asked[k]);
        if (fabs(asked[k] - 0.95) < 1e-9)
            cr_expect_eq(now.zone.asked, now.zone.half);
        last = now;
    }
}

/* The range of two independent normals and a third point that is exact has no simple
 * law, one gap does: normal, its larger side |gap|, whose 99 % point is 2.5758 u (table
 * of the normal distribution). */
Test(draws, give_a_gap_the_normal_quantile_of_its_confidence)
{
    static const struct bt_point p[] = {{0, 0}, {100, 0}, {200, 0}};
    const double covariance[9] = {0, 0, 0, 0, 9e-4, 0, 0, 0, 0};
    const struct bt_draws_edge edge = {
        {.length = 200, .width = 100, .band = 6}, BT_EDGE_ALONG, 200, 0};
    const struct bt_draws_request request = {.n = 3,
                                             .p = p,
                                             .covariance = covariance,
                                             .nedge = 1,
                                             .edge = &edge,
                                             .draws = 100000,
                                             .confidence = 0.99};
    struct bt_drawn drawn;

    cr_assert_eq(bt_draws_run(&request, NULL, NULL, &drawn, NULL), BT_OK);
    cr_expect(fabs(drawn.half - 1.959964 * 0.03) <= 0.01 * 0.06, "%g", drawn.half);
    cr_expect(fabs(drawn.asked - 2.575829 * 0.03) <= 0.02 * 0.06, "%g", drawn.asked);
}

Test(draws, that_are_too_few_show_no_point_and_those_by_default_are_enough)
{
    struct panel panel;
    struct figures f;

    lay(&panel);
    panel.request.confidence = 0.999;
    panel.request.draws = 998;
    draw(&panel.request, &f);
    cr_expect(isnan(f.range.asked) && isnan(f.zone.asked) && isnan(f.edge[0].asked));
    cr_expect(f.range.half > 0);
    panel.request.draws = 999;
    draw(&panel.request, &f);
    cr_expect(f.range.asked > f.range.half);
    panel.request.draws = 0;
    draw(&panel.request, &f);
    cr_expect_eq(f.zone.draws, (size_t)10000);
    panel.request.confidence = 0.99;
    draw(&panel.request, &f);
    cr_expect_eq(f.zone.draws, (size_t)BT_DRAWS_DEFAULT);
}

Test(draws, are_enough_where_ten_lie_beyond_the_point)
{
    cr_expect_eq(bt_draws_enough(0.95), (size_t)200);
    cr_expect_eq(bt_draws_enough(0.8), (size_t)50);
    cr_expect_eq(bt_draws_enough(0.999), (size_t)10000);
    cr_expect_eq(bt_draws_enough(0.97), (size_t)334);
    cr_expect_eq(bt_draws_enough(1), SIZE_MAX);
    cr_expect_eq(bt_draws_enough(NAN), SIZE_MAX);
}

/* Independent heights: all of n within t with probability (2 Phi(t/u) - 1)^n. */
Test(draws, bound_at_another_confidence_too)
{
    const double u[] = {0.02, 0.05, 0.01, NAN, 0, 0.05};
    const struct bt_drawn bound = bt_draws_bound(6, u, 0.8);
    double product = 1;

    for (size_t i = 0; i < 6; i++)
        if (u[i] > 0)
            product *= 1 - 2 * gsl_cdf_ugaussian_Q(bound.asked / 2 / u[i]);
    cr_expect(fabs(product - 0.8) <= 1e-9, "%g", product);
    cr_expect(bound.asked < bound.half);
    cr_expect(fabs(bt_draws_bound_equal(1, 1, 0.99).asked - 2 * 2.575829) <= 1e-6);
}

Test(draws, refuse_to_take_together_what_does_not_stand_before)
{
    struct panel panel;

    lay(&panel);
    panel.edge[2].together = 3;
    expect_fault(&panel, true, BT_EINPUT, 2,
                 "3 figures cannot be taken together, 2 stand before");
}

Test(draws, say_what_is_wrong_with_a_covariance)
{
    struct panel panel;

    lay(&panel);
    panel.covariance[3 * N + 4] = NAN;
    expect_fault(&panel, true, BT_EINPUT, 3, "the covariance of point 4 is not finite");
    lay(&panel);
    panel.covariance[6 * N + 2] *= 1.5;
    expect_fault(&panel, true, BT_EINPUT, 6,
                 "the covariance of points 3 and 7 is not the same both ways round");
    lay(&panel);
    panel.covariance[8 * N + 8] = -1;
    expect_fault(&panel, true, BT_EINPUT, 0,
                 "the covariance has a combination of heights with a variance below 0");
    lay(&panel);
    panel.covariance[9 * N + 4] = panel.covariance[4 * N + 9] = 2e-3;
    expect_fault(&panel, true, BT_EINPUT, 0,
                 "the covariance has a combination of heights with a variance below 0");
}

Test(draws, of_points_on_one_line_show_gaps_but_no_plane)
{
    struct panel panel;
    struct bt_drawn edge[EDGES];

    lay(&panel);
    for (size_t i = 0; i < N; i++)
        panel.p[i] = (struct bt_point){30.0 * (double)i, 0};
    panel.request.nedge = 1;
    expect_fault(&panel, true, BT_ESINGULAR, 0,
                 "all 28 points lie on one line, which shows no plane");
    cr_expect_eq(bt_draws_run(&panel.request, NULL, NULL, edge, NULL), BT_OK);
    cr_expect(edge[0].half > 0);
}

Test(draws, say_so_when_any_allocation_fails_and_keep_none)
{
    struct panel panel;
    struct figures f;
    struct bt_error err;
    size_t count;

    lay(&panel);
    panel.request.draws = 100;
    memory_fail_at(0);
    draw(&panel.request, &f);
    count = memory_calls();
    cr_assert(count > 20, "%zu calls", count);
    cr_expect_eq(memory_live(), (size_t)0);
    for (size_t k = 1; k <= count; k++)
        for (int from = 0; from < 2; from++) {
            if (from)
                memory_fail_from(k);
            else
                memory_fail_at(k);
            memset(&err, 0, sizeof err);
            cr_expect_eq(bt_draws_run(&panel.request, &f.range, &f.zone, f.edge, &err),
                         BT_ENOMEM, "call %zu", k);
            cr_expect_str_eq(err.message, "out of memory", "call %zu", k);
            cr_expect_eq(memory_live(), (size_t)0, "call %zu", k);
        }
}
