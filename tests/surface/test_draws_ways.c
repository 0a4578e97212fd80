/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a draw is made of, each piece against the plain way to the same. */
#include <criterion/criterion.h>
#include <gsl/gsl_errno.h>
#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "benchtrue/surface/flatness.h"
#include "benchtrue/surface/zone.h"
#include "support/builder.h"
#include "surface/draws_private.h"

static void quiet_gsl(void)
{
    gsl_set_error_handler_off();
}

TestSuite(draws_ways, .init = quiet_gsl);

enum { MOST = 120 };

/* ---- zone ---- */

static size_t lay_grid(size_t nx, size_t ny, struct bt_point p[])
{
    for (size_t i = 0; i < nx * ny; i++)
        p[i] = (struct bt_point){150.0 * (double)(i % nx), 95.0 * (double)(i / nx)};
    return nx * ny;
}

static size_t lay_places(int kind, unsigned long long *seed, struct bt_point p[])
{
    switch (kind) {
    case 0:
        return lay_grid(9, 5, p);
    case 1:
        return lay_grid(12, 2, p); /* four on one line at most corners of the search */
    case 2:
        return lay_grid(2, 2, p);
    case 3: /* a place twice */
        lay_grid(3, 3, p);
        p[9] = p[4];
        return 10;
    case 4: /* anywhere, far from the origin */
        for (size_t i = 0; i < 60; i++)
            p[i] = (struct bt_point){1e5 + 900 * builder_uniform(seed),
                                     -3e4 + 400 * builder_uniform(seed)};
        return 60;
    case 5: /* a narrow strip aslant */
        for (size_t i = 0; i < 40; i++) {
            const double s = 30.0 * (double)i, t = i % 3 ? 0.5 : -0.5;
            p[i] = (struct bt_point){0.8 * s - 0.6 * t, 0.6 * s + 0.8 * t};
        }
        return 40;
    default: /* rows that fan out */
        for (size_t i = 0; i < 21; i++)
            p[i] = (struct bt_point){100.0 * (double)(i % 7) - 300,
                                     (double)(i / 7) * 80.0 * ((double)(i % 7) - 3.5)};
        return 21;
    }
}

static double one_height(int kind, size_t i, unsigned long long *seed)
{
    switch (kind) {
    case 0:
        return builder_normal(seed);
    case 1: /* ties in plenty */
        return floor(3 * builder_uniform(seed));
    case 2: /* one spike */
        return i == 7 % 4 ? 1 : 0;
    case 3: /* alternating */
        return i % 2 ? 1 : -1;
    default:
        return 0;
    }
}

enum { PLACES = 7, HEIGHTS = 5, ROUNDS = 40 };

static void expect_least_width(const struct draws_zone *zone,
                               struct draws_zone_work *work, const struct bt_point p[],
                               const double h[], int places, int heights)
{
    struct bt_zone want;
    double most = 0, fast, slow;

    for (size_t i = 0; i < zone->n; i++)
        most = fmax(most, fabs(h[i]));
    memcpy(work->h, h, zone->n * sizeof *h);
    fast = draws_zone_width(zone, work);
    memcpy(work->h, h, zone->n * sizeof *h);
    slow = draws_zone_slow(zone, work);
    cr_assert_eq(bt_zone_fit(zone->n, p, h, &want, NULL), BT_OK);
    cr_expect(fabs(fast - want.vertical) <= 1e-11 * most,
              "places %d, heights %d: %g %g", places, heights, fast, want.vertical);
    cr_expect(fabs(slow - want.vertical) <= 1e-11 * most,
              "places %d, heights %d: %g %g", places, heights, slow, want.vertical);
}

Test(draws_ways, the_zone_of_a_draw_is_the_minimum_zone_by_both_ways)
{
    unsigned long long seed = 41;
    struct bt_point p[MOST];
    double h[MOST];

    for (int places = 0; places < PLACES; places++) {
        const size_t n = lay_places(places, &seed, p);
        struct draws_zone zone;
        struct draws_zone_work work;

        cr_assert_eq(draws_zone_make(n, p, &zone), BT_OK);
        cr_assert(draws_zone_work_make(&zone, &work));
        cr_expect(zone.nstart > 0, "places %d", places);
        for (int heights = 0; heights < HEIGHTS; heights++)
            for (int round = 0; round < ROUNDS; round++) {
                for (size_t i = 0; i < n; i++)
                    h[i] = one_height(heights, i, &seed);
                expect_least_width(&zone, &work, p, h, places, heights);
            }
        draws_zone_work_clear(&work);
        draws_zone_clear(&zone);
    }
}

Test(draws_ways, three_points_have_no_width)
{
    const struct bt_point p[3] = {{0, 0}, {500, 20}, {100, 300}};
    struct draws_zone zone;
    struct draws_zone_work work;

    cr_assert_eq(draws_zone_make(3, p, &zone), BT_OK);
    cr_assert(draws_zone_work_make(&zone, &work));
    work.h[0] = 3;
    work.h[2] = -7;
    cr_expect(draws_zone_width(&zone, &work) <= 0);
    draws_zone_work_clear(&work);
    draws_zone_clear(&zone);
}

/* The exchange is worth having only where it mostly comes to its end: a width that is
 * not proved is sought again by the general solver. */
Test(draws_ways, a_zone_without_a_start_goes_to_the_general_solver)
{
    unsigned long long seed = 5;
    struct bt_point p[MOST];
    double h[MOST];
    const size_t n = lay_grid(9, 5, p);
    struct draws_zone zone;
    struct draws_zone_work work;

    cr_assert_eq(draws_zone_make(n, p, &zone), BT_OK);
    cr_assert(draws_zone_work_make(&zone, &work));
    zone.nstart = 0;
    for (size_t i = 0; i < n; i++)
        h[i] = builder_normal(&seed);
    expect_least_width(&zone, &work, p, h, 0, 0);
    draws_zone_work_clear(&work);
    draws_zone_clear(&zone);
}

/* ---- straightedge ---- */

static double gap_of(const struct bt_draws_edge *asked, size_t n,
                     const struct bt_point p[], const double z[])
{
    struct bt_edge_result result;
    struct bt_error err;

    cr_assert_eq(bt_edge_gap_search(n, p, z, &asked->search, asked->direction,
                                    asked->span, &result, &err),
                 BT_OK, "%s", err.message);
    return result.worst.gap;
}

static void expect_gaps(const struct bt_draws_edge *asked, size_t n,
                        const struct bt_point p[], unsigned long long *seed)
{
    struct draws_edge edge;
    double h[MOST * LANES], up[LANES], down[LANES];

    cr_assert_eq(draws_edge_make(n, p, asked, &edge, NULL), BT_OK);
    for (size_t i = 0; i < n * LANES; i++)
        h[i] = builder_normal(seed);
    draws_edge_gaps(&edge, h, up, down);
    for (size_t lane = 0; lane < LANES; lane++) {
        double z[MOST], turned[MOST];

        for (size_t i = 0; i < n; i++)
            turned[i] = -(z[i] = h[i * LANES + lane]);
        cr_expect(fabs(up[lane] - gap_of(asked, n, p, z)) <= 1e-12,
                  "n %zu, direction %d, span %g", n, (int)asked->direction,
                  asked->span);
        cr_expect(fabs(down[lane] - gap_of(asked, n, p, turned)) <= 1e-12,
                  "n %zu, direction %d, span %g", n, (int)asked->direction,
                  asked->span);
    }
    draws_edge_clear(&edge);
}

Test(draws_ways, gaps_of_a_draw_are_those_of_a_search_both_ways_up)
{
    static const double spans[] = {95 * 2, 300, 450, 700, 5000};
    unsigned long long seed = 17;
    struct bt_point p[MOST];

    for (int places = 0; places < PLACES; places++) {
        const size_t n = lay_places(places, &seed, p);

        if (places == 3 || places == 4) /* a place twice; no lines */
            continue;
        for (size_t s = 0; s < sizeof spans / sizeof *spans; s++)
            for (int d = 0; d <= BT_EDGE_OBLIQUE; d++) {
                const struct bt_draws_edge asked = {
                    .search = {.length = 1200, .width = 380, .band = 6, .angle = 0.64},
                    .direction = (enum bt_edge_direction)d,
                    .span = spans[s]};
                if (d != BT_EDGE_DIRECTIONS)
                    expect_gaps(&asked, n, p, &seed);
            }
    }
}

/* Rows of points in pairs and threes, up to 2 mm aside. */
static const struct bt_point doubled[] = {{0, 0},   {0, 2},   {150, 0}, {200, 0},
                                          {200, 1}, {200, 2}, {330, 0}, {400, 1},
                                          {400, 0}, {520, 0}};
static const struct bt_draws_edge over_doubled = {
    {.length = 600, .width = 300, .band = 6}, BT_EDGE_ALONG, 400, 0};

enum { DOUBLED = sizeof doubled / sizeof *doubled };

/* Every chord between two points over a third whose places differ. */
static double by_all_chords(const double h[], size_t lane, double sign)
{
    const struct bt_point *p = doubled;
    double best = 0;

    for (size_t a = 0; a < DOUBLED; a++)
        for (size_t b = 0; b < DOUBLED; b++)
            for (size_t c = 0; c < DOUBLED; c++) {
                const double t = (p[b].x - p[a].x) / (p[c].x - p[a].x);
                const double chord =
                    h[a * LANES + lane] * (1 - t) + h[c * LANES + lane] * t;
                if (p[a].x < p[b].x && p[b].x < p[c].x &&
                    p[c].x - p[a].x <= over_doubled.span)
                    best = fmax(best, sign * (chord - h[b * LANES + lane]));
            }
    return best;
}

/* Heights z and noise n: the search rests the edge on the highest of the points at one
 * place, which with noise may be another. */
Test(draws_ways, of_points_at_one_place_any_may_carry_the_edge)
{
    unsigned long long seed = 23;
    struct draws_edge edge;

    cr_assert_eq(draws_edge_make(DOUBLED, doubled, &over_doubled, &edge, NULL), BT_OK);
    for (int round = 0; round < 500; round++) {
        double h[DOUBLED * LANES], up[LANES], down[LANES];

        for (size_t i = 0; i < DOUBLED * LANES; i++)
            h[i] = builder_normal(&seed);
        draws_edge_gaps(&edge, h, up, down);
        for (size_t lane = 0; lane < LANES; lane++) {
            double z[DOUBLED], moved[DOUBLED];

            cr_expect(fabs(up[lane] - by_all_chords(h, lane, 1)) <= 1e-12);
            cr_expect(fabs(down[lane] - by_all_chords(h, lane, -1)) <= 1e-12);
            for (size_t i = 0; i < DOUBLED; i++) {
                z[i] = 2 * builder_normal(&seed);
                moved[i] = z[i] + h[i * LANES + lane];
            }
            cr_expect(fabs(gap_of(&over_doubled, DOUBLED, doubled, moved) -
                           gap_of(&over_doubled, DOUBLED, doubled, z)) <=
                      fmax(up[lane], down[lane]) + 1e-12);
        }
    }
    draws_edge_clear(&edge);
}

Test(draws_ways, a_line_with_nothing_within_the_span_has_no_gap_to_draw)
{
    const struct bt_draws_edge asked = {
        {.length = 600, .width = 300, .band = 6}, BT_EDGE_ALONG, 150, 0};
    const struct bt_point p[] = {{0, 0}, {100, 0}, {200, 0}, {300, 0}, {0, 90}};
    struct draws_edge edge;

    cr_assert_eq(draws_edge_make(5, p, &asked, &edge, NULL), BT_OK);
    cr_expect_eq(edge.nfan, (size_t)0);
    draws_edge_clear(&edge);
}

/* ---- noise ---- */

static double wavy(double x, double y)
{
    return 0.4 * sin(x / 210) - 0.3 * cos(y / 130) + 1e-6 * x * y;
}

static struct bt_point at(int i, int j)
{
    return (struct bt_point){200.0 * i, 150.0 * j};
}

/* Lines of two straightedges, which do not show the twist; six heights do. */
static void lay_lines(struct builder *b, bool heights)
{
    const struct bt_point p[6] = {at(0, 0), at(4, 0), at(0, 2),
                                  at(2, 1), at(3, 1), at(4, 2)};

    builder_init(b, 0.02, wavy);
    for (int j = 0; j < 3; j++)
        builder_run(b, at(0, j), at(4, j), 5);
    for (int i = 0; i < 5; i++)
        builder_run(b, at(i, 0), at(i, 2), 3);
    for (size_t g = 0; g < b->r.ngroup; g++) {
        b->r.group[g].straightness = 0.05;
        b->r.group[g].instrument = (int)(g % 2);
    }
    if (heights)
        builder_heights(b, 3, 6, p);
    for (size_t i = 0; i < b->r.nobs; i++)
        b->r.obs[i].u = i % 4 ? 0.02 : 0.03;
}

/* sum c_i c_j C_ij over the points kept against the network's own u. */
static void expect_same_u(const struct bt_flatness *f, size_t k, const size_t kept[],
                          const double covariance[], unsigned long long *seed)
{
    double few[MOST], c[MOST] = {0}, sum[3] = {0}, variance = 0, value, u;
    const struct bt_point *p = f->used->point;
    bool seen;

    /* a figure of four places that no plane changes */
    size_t four[4] = {0, 0, 0, 0};
    double area[4];
    for (int j = 0; j < 4; j++)
        four[j] = kept[(size_t)(builder_uniform(seed) * (double)k)];
    for (int j = 0; j < 4; j++) {
        const struct bt_point *a = &p[four[(j + 1) % 4]], *b = &p[four[(j + 2) % 4]],
                              *d = &p[four[(j + 3) % 4]];
        area[j] = (j % 2 ? -1e-4 : 1e-4) *
                  ((b->x - a->x) * (d->y - a->y) - (d->x - a->x) * (b->y - a->y));
        c[four[j]] += area[j];
        sum[0] += area[j];
        sum[1] += area[j] * p[four[j]].x;
        sum[2] += area[j] * p[four[j]].y;
    }
    cr_assert(fabs(sum[0]) + fabs(sum[1]) + fabs(sum[2]) <= 1e-6);
    for (size_t i = 0; i < k; i++)
        few[i] = c[kept[i]];
    for (size_t i = 0; i < k; i++)
        for (size_t j = 0; j < k; j++)
            variance += few[i] * few[j] * covariance[i * k + j];
    cr_assert_eq(bt_network_figure(f->net, c, &value, &u, &seen), BT_OK);
    cr_assert(seen);
    cr_expect(fabs(variance - u * u) <= 1e-9 * u * u + 1e-18, "%g %g", variance, u * u);
}

Test(draws_ways, the_covariance_is_that_of_the_networks_figures)
{
    for (int heights = 0; heights < 2; heights++) {
        unsigned long long seed = 3;
        struct builder b;
        struct bt_flatness f;
        size_t k = 0, kept[MOST];
        double covariance[MOST * MOST];

        lay_lines(&b, heights);
        cr_assert_eq(bt_flatness_evaluate(
                         &b.r,
                         &(struct bt_flatness_options){.length = 800, .width = 300}, &f,
                         NULL),
                     BT_OK);
        for (size_t i = 0; i < f.net->npoint; i++)
            if (!isnan(f.z[i]))
                kept[k++] = i;
        cr_expect_eq(k == f.net->npoint, heights != 0);
        cr_assert(k >= 6, "%zu", k);
        cr_assert_eq(f.net->nshared, (size_t)2);
        cr_assert_eq(draws_covariance(f.net, k, kept, covariance), BT_OK);
        for (int round = 0; round < 60; round++)
            expect_same_u(&f, k, kept, covariance, &seed);
        for (size_t i = 0; i < k; i++)
            cr_expect(fabs(sqrt(covariance[i * k + i]) - f.u[kept[i]]) <= 1e-9);
        bt_flatness_clear(&f);
        builder_clear(&b);
    }
}

/* C of full rank over some points, and the same with the planes' share made huge. */
Test(draws_ways, the_factor_squared_is_the_covariance_over_the_plane)
{
    enum { N = 12 };
    unsigned long long seed = 8;
    struct bt_point p[N];
    double a[N * N], c[N * N] = {0}, unit[N * LANES], h[N * LANES];
    struct draws_noise plain, tilted;
    size_t planes;

    lay_grid(4, 3, p);
    for (size_t i = 0; i < N * N; i++)
        a[i] = builder_normal(&seed);
    for (size_t i = 0; i < N; i++)
        for (size_t j = 0; j < N; j++)
            for (size_t k = 0; k < N; k++)
                c[i * N + j] += a[i * N + k] * a[j * N + k];
    cr_assert_eq(draws_noise_make(N, p, c, &plain, &planes, NULL), BT_OK);
    cr_expect_eq(planes, (size_t)3);
    cr_expect_eq(plain.rank, (size_t)N - 3);
    for (size_t i = 0; i < N; i++)
        for (size_t j = 0; j < N; j++)
            c[i * N + j] += 100 + 3e-4 * p[i].x * p[j].x + 1e-4 * p[i].y * p[j].y;
    cr_assert_eq(draws_noise_make(N, p, c, &tilted, &planes, NULL), BT_OK);
    cr_expect_eq(tilted.rank, (size_t)N - 3);
    for (size_t from = 0; from < N; from++) {
        double want[N], got[N];

        /* row `from` of F F^T of both */
        for (int which = 0; which < 2; which++) {
            const struct draws_noise *noise = which ? &tilted : &plain;
            double *row = which ? got : want;
            double along[N] = {0};

            memset(unit, 0, sizeof unit);
            for (size_t k = 0; k < noise->rank; k++) {
                memset(unit, 0, sizeof unit);
                unit[k * LANES + 3] = 1;
                draws_noise_apply(noise, unit, h);
                along[k] = h[from * LANES + 3];
            }
            memset(unit, 0, sizeof unit);
            for (size_t k = 0; k < noise->rank; k++)
                unit[k * LANES + 3] = along[k];
            draws_noise_apply(noise, unit, h);
            for (size_t i = 0; i < N; i++)
                row[i] = h[i * LANES + 3];
        }
        for (size_t i = 0; i < N; i++)
            cr_expect(fabs(got[i] - want[i]) <= 1e-9 * (1 + fabs(want[i])), "%g %g",
                      got[i], want[i]);
    }
    draws_noise_clear(&plain);
    draws_noise_clear(&tilted);
}
