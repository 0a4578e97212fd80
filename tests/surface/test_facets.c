/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Kinks at glue joints, and whether a panel is faceted or smooth. */
#include <criterion/criterion.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "benchtrue/surface/facets.h"
#include "support/builder.h"
#include "support/memory.h"
#include "support/reference.h"

static void quiet_gsl(void)
{
    gsl_set_error_handler_off();
}

TestSuite(facets, .init = quiet_gsl);

static const double degrees = 57.29577951308232;

static struct bt_network *adjusted(const struct builder *b)
{
    struct bt_network *net = NULL;
    struct bt_error err = {0};

    cr_assert_eq(bt_network_adjust(&b->r, &net, &err), BT_OK, "%s", err.message);
    return net;
}

static struct bt_facets fitted(const struct bt_network *net, size_t n,
                               const double joint[],
                               const struct bt_rectangle *rectangle)
{
    struct bt_facets facets;
    struct bt_error err = {0};

    memset(&facets, 0xff, sizeof facets);
    cr_assert_eq(bt_facets_fit(net, n, joint, rectangle, &facets, &err), BT_OK, "%s",
                 err.message);
    cr_assert_eq(facets.njoint, n);
    for (size_t j = 0; j < n; j++)
        cr_expect(facets.kink[j].y == joint[j]);
    return facets;
}

/* -- published segmented and quadratic fits, as heights over a level reference ------
 */

static double zero_surface(double x, double y)
{
    (void)x;
    (void)y;
    return 0;
}

static void load_example(struct builder *b, const char *example)
{
    struct reference *t = reference_load("metrology/regression_extra_data.csv");

    builder_init(b, 1, zero_surface);
    for (size_t i = 0; i < reference_rows(t); i++) {
        const struct bt_point p = {40, reference_number(t, i, "x")};
        if (strcmp(reference_text(t, i, "example"), example) != 0)
            continue;
        builder_heights(b, 0, 1, &p);
        builder_set_last(b, reference_number(t, i, "y"));
    }
    reference_free(t);
}

static double result_of(const char *example, const char *quantity)
{
    struct reference *t = reference_load("metrology/regression_extra_results.csv");
    size_t row = reference_find(t, "example", example, 0);
    double value;

    while (strcmp(reference_text(t, row, "quantity"), quantity) != 0)
        row = reference_find(t, "example", example, row + 1);
    value = reference_number(t, row, "recomputed");
    reference_free(t);
    return value;
}

/* The sum of squares inside an AICc of k terms and n readings. */
static double chi_square(double aicc, double k, double n)
{
    return aicc - 2 * k - 2 * k * (k + 1) / (n - k - 1);
}

Test(facets, gives_the_published_segmented_fit)
{
    static const char name[] = "neter_lot_size_knot_500";
    const struct bt_rectangle rectangle = {0, 250, 80, 850};
    const double joint[] = {500};
    const double slope = result_of(name, "b2 (max(x-500;0))");
    const double s = result_of(name, "residual_sd"), sd = result_of(name, "sd_b2");
    struct builder b;
    struct bt_network *net;
    struct bt_facets f;

    load_example(&b, name);
    cr_assert_eq(b.r.nobs, (size_t)8);
    net = adjusted(&b);
    f = fitted(net, 1, joint, &rectangle);
    cr_assert(f.kink[0].degree.seen);
    /* the recomputed column has 12 digits */
    cr_expect(fabs(f.kink[0].degree.value / degrees - slope) <= 1e-11 * fabs(slope));
    cr_expect(fabs(f.kink[0].degree.u / degrees - sd / s) <= 1e-11 * sd / s);
    cr_expect(fabs(chi_square(f.aicc_faceted, 3, 8) - 5 * s * s) <= 1e-11);
    bt_facets_clear(&f);
    bt_network_free(net);
    builder_clear(&b);
}

Test(facets, gives_the_sum_of_squares_of_the_published_quadratic)
{
    static const char name[] = "montgomery_panel_cost_quadratic";
    const struct bt_rectangle rectangle = {0, 10, 80, 100};
    const double joint[] = {50}, s = result_of(name, "residual_sd");
    struct builder b;
    struct bt_network *net;
    struct bt_facets f;

    load_example(&b, name);
    cr_assert_eq(b.r.nobs, (size_t)12);
    net = adjusted(&b);
    f = fitted(net, 1, joint, &rectangle);
    cr_expect(fabs(chi_square(f.aicc_smooth, 3, 12) - 9 * s * s) <= 1e-12);
    bt_facets_clear(&f);
    bt_network_free(net);
    builder_clear(&b);
}

/* -- constructed panels: 1200 x 600 with joints ------------------------------------ */

enum { JOINTS = 3 };

static const struct bt_rectangle panel = {0, 0, 1200, 600};
static const double joints[JOINTS] = {150, 310, 445};
static const double kinks[JOINTS] = {0.31, -0.12, 0.2385}; /* degrees */

static double common(double x, double y)
{
    const double u = x / 600 - 1, v = y / 300 - 1;

    return 3 + 0.2 * u - 0.7 * v + 0.9 * u * u + 0.4 * u * v;
}

static double faceted(double x, double y)
{
    double z = common(x, y);

    for (size_t j = 0; j < JOINTS; j++)
        z += kinks[j] / degrees * fmax(y - joints[j], 0);
    return z;
}

static double cupped(double x, double y)
{
    const double v = y / 300 - 1;

    return common(x, y) + 0.8 * v * v;
}

/* Lines across at several places of the length, some along, both diagonals. */
static void read_lines(struct builder *b, double u, double (*surface)(double, double))
{
    builder_init(b, u, surface);
    for (int i = 0; i < 7; i++)
        builder_run(b, (struct bt_point){200.0 * i, 0},
                    (struct bt_point){200.0 * i, 600}, 13);
    for (int j = 0; j < 4; j++)
        builder_run(b, (struct bt_point){0, 200.0 * j},
                    (struct bt_point){1200, 200.0 * j}, 7);
    builder_run(b, (struct bt_point){0, 0}, (struct bt_point){1200, 600}, 13);
    builder_run(b, (struct bt_point){1200, 0}, (struct bt_point){0, 600}, 13);
}

static void add_noise(struct builder *b, unsigned long long *seed)
{
    for (size_t i = 0; i < b->r.nobs; i++)
        b->r.obs[i].value += b->r.obs[i].u * builder_normal(seed);
}

static void expect_kinks(const struct bt_facets *f, double tolerance)
{
    for (size_t j = 0; j < JOINTS; j++) {
        const struct bt_measured *m = &f->kink[j].degree;
        cr_expect(m->seen);
        cr_expect(m->u > 0);
        cr_expect(fabs(m->value - kinks[j]) <= tolerance, "joint %zu: %.15g", j,
                  m->value);
    }
}

Test(facets, gives_the_kinks_of_a_faceted_panel_back)
{
    struct builder b;
    struct bt_network *net;
    struct bt_facets f;

    read_lines(&b, 0.05, faceted);
    net = adjusted(&b);
    f = fitted(net, JOINTS, joints, &panel);
    expect_kinks(&f, 1e-11);
    cr_expect_eq(f.preferred, BT_FACETS_FACETED);
    cr_expect(f.weight_faceted >= 0.95);
    /* nothing is left of the readings: bow, twist and the kinks are 5 terms, and each
     * of 13 lines has an offset and a slope */
    cr_assert_eq(b.r.nobs, (size_t)145);
    cr_expect(fabs(f.aicc_faceted - (10 + 60.0 / (145 - 26 - 6))) <= 1e-12, "%.17g",
              f.aicc_faceted);
    bt_facets_clear(&f);
    bt_network_free(net);
    builder_clear(&b);
}

Test(facets, gives_the_kinks_back_from_instruments_of_every_kind)
{
    const struct bt_point places[] = {{100, 20},  {100, 130}, {100, 220}, {100, 290},
                                      {100, 380}, {100, 470}, {100, 580}, {900, 20},
                                      {900, 290}, {900, 580}, {500, 300}, {700, 20}};
    struct builder b;
    struct bt_network *net;
    struct bt_facets f;
    int bar, level;

    builder_init(&b, 0.01, faceted);
    builder_heights(&b, 3, 12, places);
    builder_heights(&b, 1, 5, places + 2);
    bar = builder_group(&b, 1);
    level = builder_group(&b, 1);
    for (int i = 0; i < 5; i++) {
        builder_bar(&b, bar, places[i], places[i + 1], places[i + 2]);
        builder_slope(&b, level, places[i], places[i + 1]);
    }
    builder_slope(&b, level, places[1], places[0]);
    builder_wind(&b, 100, 900, 20, 580, 600);
    net = adjusted(&b);
    f = fitted(net, JOINTS, joints, &panel);
    expect_kinks(&f, 1e-9);
    bt_facets_clear(&f);
    bt_network_free(net);
    builder_clear(&b);
}

Test(facets, prefers_facets_on_faceted_panels_and_smooth_on_cupped_ones)
{
    unsigned long long seed = 14;
    int right[2] = {0}, wrong[2] = {0};

    for (int round = 0; round < 200; round++) {
        const int smooth = round % 2;
        struct builder b;
        struct bt_network *net;
        struct bt_facets f;

        read_lines(&b, 0.05, smooth ? cupped : faceted);
        add_noise(&b, &seed);
        net = adjusted(&b);
        f = fitted(net, JOINTS, joints, &panel);
        right[smooth] += f.preferred == (smooth ? BT_FACETS_SMOOTH : BT_FACETS_FACETED);
        wrong[smooth] += f.preferred == (smooth ? BT_FACETS_FACETED : BT_FACETS_SMOOTH);
        bt_facets_clear(&f);
        bt_network_free(net);
        builder_clear(&b);
    }
    cr_expect(right[0] >= 95 && wrong[0] == 0, "faceted: %d right, %d wrong", right[0],
              wrong[0]);
    cr_expect(right[1] >= 90 && wrong[1] == 0, "smooth: %d right, %d wrong", right[1],
              wrong[1]);
}

Test(facets, cannot_call_it_where_the_noise_hides_the_difference)
{
    static const double joint[] = {300};
    struct builder b;
    struct bt_network *net;
    struct bt_facets f;

    read_lines(&b, 5, cupped); /* one kink or one cup: as many terms */
    net = adjusted(&b);
    f = fitted(net, 1, joint, &panel);
    cr_expect_eq(f.preferred, BT_FACETS_TOO_CLOSE);
    cr_expect(f.weight_faceted > 0.05 && f.weight_faceted < 0.5);
    bt_facets_clear(&f);
    bt_network_free(net);
    builder_clear(&b);
}

Test(facets, states_the_scatter_of_its_kinks)
{
    enum { ROUNDS = 600 };
    unsigned long long seed = 2;
    double sum[JOINTS] = {0}, square[JOINTS] = {0}, u[JOINTS];
    double product[JOINTS] = {0}, covariance[JOINTS] = {0}; /* with the joint before */

    for (int round = 0; round < ROUNDS; round++) {
        struct builder b;
        struct bt_network *net;
        struct bt_facets f;

        read_lines(&b, 0.05, faceted);
        for (size_t i = 0; i < b.r.nobs; i++) /* unequal weights */
            b.r.obs[i].u *= 1 + (double)(i % 3);
        add_noise(&b, &seed);
        net = adjusted(&b);
        f = fitted(net, JOINTS, joints, &panel);
        for (size_t j = 0; j < JOINTS; j++) {
            const double off = f.kink[j].degree.value - kinks[j];
            sum[j] += off;
            square[j] += off * off;
            u[j] = f.kink[j].degree.u;
            if (j) {
                product[j] += off * (f.kink[j - 1].degree.value - kinks[j - 1]);
                covariance[j] = f.covariance[j * JOINTS + j - 1];
            }
        }
        bt_facets_clear(&f);
        bt_network_free(net);
        builder_clear(&b);
    }
    for (size_t j = 0; j < JOINTS; j++) {
        /* 600 draws give the scatter to 3 %, the mean to 4 % of it: four times that */
        cr_expect(fabs(sqrt(square[j] / ROUNDS) / u[j] - 1) <= 0.12,
                  "joint %zu: %g, %g", j, sqrt(square[j] / ROUNDS), u[j]);
        cr_expect(fabs(sum[j] / ROUNDS) <= 0.16 * u[j]);
    }
    for (size_t j = 1; j < JOINTS; j++) {
        const double off = product[j] / ROUNDS - covariance[j];
        const double sd =
            sqrt((covariance[j] * covariance[j] + pow(u[j] * u[j - 1], 2)) / ROUNDS);

        cr_expect(covariance[j] < -0.3 * u[j] * u[j - 1], "they go against each other");
        cr_expect(fabs(off) <= 4 * sd, "joint %zu: %g off, %g", j, off, sd);
    }
}

/* The normal equations of the same model, inverted. */
Test(facets, gives_the_covariance_that_a_dense_solution_gives)
{
    enum { TERMS = 5 + JOINTS, NX = 4, NY = 9 };
    double normal[TERMS * TERMS] = {0}, inverse[TERMS * TERMS];
    gsl_matrix_view n = gsl_matrix_view_array(normal, TERMS, TERMS);
    gsl_matrix_view inv = gsl_matrix_view_array(inverse, TERMS, TERMS);
    struct bt_point places[NX * NY];
    struct builder b;
    struct bt_network *net;
    struct bt_facets f;

    for (size_t i = 0; i < NX * NY; i++)
        places[i] =
            (struct bt_point){1200.0 / 3 * (double)(i % NX), 75.0 * (double)(i / NX)};
    builder_init(&b, 0.02, faceted);
    builder_heights(&b, 0, NX * NY, places);
    for (size_t i = 0; i < b.r.nobs; i++) {
        const struct bt_point *p = &places[i];
        const double u = p->x / 600 - 1, v = p->y / 300 - 1;
        double row[TERMS] = {1, u, v, u * u, u * v};

        b.r.obs[i].u *= 1 + (double)(i % 3);
        for (size_t j = 0; j < JOINTS; j++)
            row[5 + j] = fmax(p->y - joints[j], 0) / degrees;
        for (size_t k = 0; k < TERMS; k++)
            for (size_t l = 0; l < TERMS; l++)
                normal[k * TERMS + l] += row[k] * row[l] / pow(b.r.obs[i].u, 2);
    }
    cr_assert_eq(gsl_linalg_cholesky_decomp1(&n.matrix), GSL_SUCCESS);
    gsl_linalg_cholesky_invert(&n.matrix);
    gsl_matrix_memcpy(&inv.matrix, &n.matrix);
    net = adjusted(&b);
    f = fitted(net, JOINTS, joints, &panel);
    for (size_t i = 0; i < JOINTS; i++)
        for (size_t j = 0; j < JOINTS; j++) {
            const double want = inverse[(5 + i) * TERMS + 5 + j];
            const double scale = f.kink[i].degree.u * f.kink[j].degree.u;

            cr_expect(fabs(f.covariance[i * JOINTS + j] - want) <= 1e-9 * scale,
                      "%zu %zu: %.15g not %.15g", i, j, f.covariance[i * JOINTS + j],
                      want);
        }
    bt_facets_clear(&f);
    bt_network_free(net);
    builder_clear(&b);
}

Test(facets, counts_the_shape_of_the_edge_in_the_u_of_kinks)
{
    struct builder b, hollow;
    struct bt_network *net, *other;
    struct bt_facets f, g, h;
    double *dy;

    read_lines(&b, 0.05, faceted);
    read_lines(&hollow, 0.05, faceted);
    dy = calloc(b.r.nobs, sizeof *dy);
    for (size_t i = 0; i < b.r.nobs; i++) {
        dy[i] = 0.3 * (1 - b.r.obs[i].edge * b.r.obs[i].edge);
        hollow.r.obs[i].value += dy[i];
    }
    net = adjusted(&b);
    other = adjusted(&hollow);
    f = fitted(net, JOINTS, joints, &panel);
    g = fitted(other, JOINTS, joints, &panel);
    cr_assert_eq(bt_network_share(net, dy), BT_OK);
    h = fitted(net, JOINTS, joints, &panel);
    for (size_t j = 0; j < JOINTS; j++) {
        const double change = g.kink[j].degree.value - f.kink[j].degree.value;
        const double want = hypot(f.kink[j].degree.u, change);
        cr_expect(fabs(change) > 1e-3);
        cr_expect(fabs(h.kink[j].degree.u - want) <= 1e-10 * want);
        cr_expect(fabs(h.kink[j].degree.value - f.kink[j].degree.value) <= 1e-12);
        for (size_t k = 0; k < JOINTS; k++) {
            const double both =
                change * (g.kink[k].degree.value - f.kink[k].degree.value);
            cr_expect(fabs(h.covariance[j * JOINTS + k] - f.covariance[j * JOINTS + k] -
                           both) <= 1e-10 * (want * want + fabs(both)));
        }
    }
    bt_facets_clear(&f);
    bt_facets_clear(&g);
    bt_facets_clear(&h);
    bt_network_free(net);
    bt_network_free(other);
    builder_clear(&b);
    builder_clear(&hollow);
    free(dy);
}

/* -- what the readings leave open -------------------------------------------------- */

Test(facets, sees_the_kinks_but_not_a_twist_from_lines_parallel_to_the_edges)
{
    struct builder b;
    struct bt_network *net;
    struct bt_facets f;

    builder_init(&b, 0.05, faceted);
    for (int i = 0; i < 4; i++)
        builder_run(&b, (struct bt_point){400.0 * i, 0},
                    (struct bt_point){400.0 * i, 600}, 13);
    net = adjusted(&b);
    f = fitted(net, JOINTS, joints, &panel);
    expect_kinks(&f, 1e-10);
    cr_expect_eq(f.preferred, BT_FACETS_FACETED);
    bt_facets_clear(&f);
    bt_network_free(net);
    builder_clear(&b);
}

Test(facets, does_not_see_kinks_beyond_the_places_read)
{
    static const double joint[] = {10, 300, 590};
    struct builder b;
    struct bt_network *net;
    struct bt_facets f;

    builder_init(&b, 0.05, cupped);
    for (int i = 0; i < 4; i++)
        builder_run(&b, (struct bt_point){400.0 * i, 30},
                    (struct bt_point){400.0 * i, 570}, 10);
    net = adjusted(&b);
    f = fitted(net, 3, joint, &panel);
    cr_expect(!f.kink[0].degree.seen && isnan(f.kink[0].degree.value) &&
              isnan(f.kink[0].degree.u));
    cr_expect(f.kink[1].degree.seen);
    cr_expect(!f.kink[2].degree.seen && isnan(f.kink[2].degree.value) &&
              isnan(f.kink[2].degree.u));
    cr_expect_eq(f.preferred, BT_FACETS_SMOOTH);
    bt_facets_clear(&f);
    bt_network_free(net);
    builder_clear(&b);
}

Test(facets, does_not_tell_two_joints_between_neighbouring_places_apart)
{
    static const double joint[] = {205, 240, 450};
    struct builder b;
    struct bt_network *net;
    struct bt_facets f;

    builder_init(&b, 0.05, faceted);
    for (int i = 0; i < 4; i++)
        builder_run(&b, (struct bt_point){400.0 * i, 0},
                    (struct bt_point){400.0 * i, 600}, 4);
    net = adjusted(&b);
    f = fitted(net, 3, joint, &panel);
    for (int j = 0; j < 3; j++)
        cr_expect(!f.kink[j].degree.seen);
    cr_expect_eq(f.preferred, BT_FACETS_NOT_SEEN);
    cr_expect(isnan(f.weight_faceted));
    bt_facets_clear(&f);
    bt_network_free(net);
    builder_clear(&b);
}

Test(facets, does_not_take_a_moved_place_for_news_of_a_joint)
{
    static const double joint[] = {201, 203, 450};
    struct builder b;
    struct bt_network *net;
    struct bt_facets f;

    /* places of four lines at 0, 200, 400 and 600, one of them moved by 2.5 mm */
    for (int moved = 0; moved < 2; moved++) {
        builder_init(&b, 0.05, faceted);
        for (int i = 0; i < 4; i++) {
            const double x = 400.0 * i;
            const struct bt_point p[] = {
                {x, 0}, {x, i == 2 ? 202.5 : 200}, {x, 400}, {x, 600}};
            builder_line(&b, 4, p);
        }
        b.r.slack = moved ? 2.5 : 0;
        net = adjusted(&b);
        f = fitted(net, 3, joint, &panel);
        cr_expect_eq(f.kink[0].degree.seen, !moved);
        cr_expect_eq(f.kink[1].degree.seen, !moved);
        bt_facets_clear(&f);
        bt_network_free(net);
        builder_clear(&b);
    }
}

Test(facets, sees_nothing_across_from_lines_along)
{
    struct builder b;
    struct bt_network *net;
    struct bt_facets f;

    builder_init(&b, 0.05, faceted);
    builder_run(&b, (struct bt_point){0, 300}, (struct bt_point){1200, 300}, 13);
    net = adjusted(&b);
    f = fitted(net, JOINTS, joints, &panel);
    for (int j = 0; j < JOINTS; j++)
        cr_expect(!f.kink[j].degree.seen);
    cr_expect_eq(f.preferred, BT_FACETS_NOT_SEEN);
    bt_facets_clear(&f);
    bt_network_free(net);
    builder_clear(&b);
}

Test(facets, does_not_choose_where_too_few_readings_are_left_over)
{
    static const double joint[] = {300};
    struct builder b;
    struct bt_network *net;
    struct bt_facets f;

    /* one line: an offset and a slope of the edge, then one kink or one cup, so that
     * two readings have to be left for a criterion to be defined */
    for (size_t n = 3; n <= 6; n++) {
        builder_init(&b, 0.05, faceted);
        builder_run(&b, (struct bt_point){600, 0}, (struct bt_point){600, 600}, n);
        net = adjusted(&b);
        f = fitted(net, 1, joint, &panel);
        cr_expect(f.kink[0].degree.seen);
        cr_expect_eq(isnan(f.aicc_faceted), n < 5, "%zu", n);
        cr_expect_eq(isnan(f.aicc_smooth), n < 5);
        cr_expect_eq(isnan(f.weight_faceted), n < 5);
        cr_expect_eq(f.preferred == BT_FACETS_NOT_SEEN, n < 5);
        bt_facets_clear(&f);
        bt_network_free(net);
        builder_clear(&b);
    }
}

Test(facets, gives_not_seen_without_joints)
{
    struct builder b;
    struct bt_network *net;
    struct bt_facets f;

    read_lines(&b, 0.05, cupped);
    net = adjusted(&b);
    f = fitted(net, 0, NULL, &panel);
    cr_expect_null(f.kink);
    cr_expect_eq(f.preferred, BT_FACETS_NOT_SEEN);
    cr_expect(isnan(f.aicc_faceted) && isnan(f.aicc_smooth) && isnan(f.weight_faceted));
    bt_facets_clear(&f);
    bt_facets_clear(NULL);
    bt_network_free(net);
    builder_clear(&b);
}

Test(facets, takes_a_joint_for_a_straight_one_when_the_panel_is_flat_there)
{
    static const double joint[] = {150, 200, 310, 445};
    struct builder b;
    struct bt_network *net;
    struct bt_facets f;

    read_lines(&b, 0.05, faceted);
    net = adjusted(&b);
    f = fitted(net, 4, joint, &panel);
    cr_expect(fabs(f.kink[1].degree.value) <= 1e-11);
    cr_expect(fabs(f.kink[2].degree.value - kinks[1]) <= 1e-11);
    bt_facets_clear(&f);
    bt_network_free(net);
    builder_clear(&b);
}

/* -- faults, words, memory --------------------------------------------------------- */

static void expect_fault(const struct bt_network *net, size_t n, const double joint[],
                         const struct bt_rectangle *r, size_t row, const char *message)
{
    struct bt_facets f, before;
    struct bt_error err = {0};

    memset(&f, 0x5a, sizeof f);
    before = f;
    cr_expect_eq(bt_facets_fit(net, n, joint, r, &f, &err), BT_EINPUT);
    cr_expect_eq(err.code, BT_EINPUT);
    cr_expect_eq(err.row, row);
    cr_expect_str_eq(err.message, message);
    cr_expect_eq(memcmp(&f, &before, sizeof f), 0);
    cr_expect_eq(bt_facets_fit(net, n, joint, r, &f, NULL), BT_EINPUT);
}

Test(facets, refuses_joints_out_of_order_or_outside_and_panels_without_area)
{
    const struct bt_rectangle flat = {0, 0, 1200, 0}, thin = {5, 0, 5, 600},
                              wrong = {0, NAN, 1200, 600};
    struct builder b;
    struct bt_network *net;

    read_lines(&b, 0.05, faceted);
    net = adjusted(&b);
    expect_fault(net, 3, joints, &flat, 0, "the panel's rectangle has no area");
    expect_fault(net, 3, joints, &thin, 0, "the panel's rectangle has no area");
    expect_fault(net, 3, joints, &wrong, 0, "the panel's rectangle has no area");
    expect_fault(net, 2, (const double[]){200, 600}, &panel, 1,
                 "joint 2 does not lie within the panel");
    expect_fault(net, 2, (const double[]){0, 300}, &panel, 0,
                 "joint 1 does not lie within the panel");
    expect_fault(net, 2, (const double[]){200, NAN}, &panel, 1,
                 "joint 2 does not lie within the panel");
    expect_fault(net, 3, (const double[]){200, 300, 300}, &panel, 2,
                 "joint 3 does not lie in front of the one before");
    expect_fault(net, 2, (const double[]){200, 100}, &panel, 1,
                 "joint 2 does not lie in front of the one before");
    bt_network_free(net);
    builder_clear(&b);
}

Test(facets, has_a_word_for_each_answer)
{
    cr_expect_str_eq(bt_facets_text(BT_FACETS_FACETED), "faceted");
    cr_expect_str_eq(bt_facets_text(BT_FACETS_SMOOTH), "smooth");
    cr_expect_str_eq(bt_facets_text(BT_FACETS_TOO_CLOSE), "too close to call");
    cr_expect_str_eq(bt_facets_text(BT_FACETS_NOT_SEEN), "not seen");
    cr_expect_str_eq(bt_facets_text((enum bt_facets_preferred)99), "not seen");
}

Test(facets, says_so_when_memory_ends_at_any_call)
{
    struct builder b;
    struct bt_network *net;
    struct bt_facets f;
    struct bt_error err;
    int failed = 0;

    read_lines(&b, 0.05, faceted);
    net = adjusted(&b);
    for (;; failed++) {
        enum bt_status status;
        err = (struct bt_error){0};
        memory_fail_from((size_t)failed + 1);
        status = bt_facets_fit(net, JOINTS, joints, &panel, &f, &err);
        memory_fail_at(0);
        if (status == BT_OK)
            break;
        cr_assert_eq(status, BT_ENOMEM);
        cr_expect_str_eq(err.message, "out of memory");
    }
    cr_expect(failed > 20, "%d", failed);
    expect_kinks(&f, 1e-11);
    bt_facets_clear(&f);
    bt_network_free(net);
    builder_clear(&b);
}
