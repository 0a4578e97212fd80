/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/surface/scan.h"

#include <criterion/criterion.h>
#include <gsl/gsl_errno.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "support/builder.h"
#include "surface/sweep.h"

static void quiet_gsl(void)
{
    gsl_set_error_handler_off();
}

TestSuite(scan_form, .init = quiet_gsl);

/* Invented: an oak window seat, sampled on no grid. */
enum { SEAT = 60 };

static const struct bt_rectangle seat = {0, 0, 1450, 520};

static double level(double x, double y)
{
    (void)x;
    (void)y;
    return 0;
}

static double surface(const struct bt_rectangle *r, double x, double y)
{
    const double u = (2 * x - r->x0 - r->x1) / (r->x1 - r->x0);
    const double v = (2 * y - r->y0 - r->y1) / (r->y1 - r->y0);

    return 3.1 + 0.7 * u - 0.4 * v - 0.35 * u * u + 0.22 * u * v + 0.61 * v * v;
}

static void make_seat(struct bt_point p[], double z[])
{
    unsigned long long seed = 71;

    for (size_t i = 0; i < SEAT; i++) {
        p[i].x = seat.x1 * builder_uniform(&seed);
        p[i].y = seat.y1 * builder_uniform(&seed);
        z[i] = surface(&seat, p[i].x, p[i].y) + 0.05 * builder_normal(&seed);
    }
}

/* A grid of nx rows of ny with noise, so large that it is swept; to be freed. */
static void make_face(size_t nx, size_t ny, const struct bt_rectangle *r, double noise,
                      struct bt_point **p, double **z)
{
    unsigned long long seed = 2027;

    *p = calloc(nx * ny, sizeof **p);
    *z = calloc(nx * ny, sizeof **z);
    cr_assert(*p && *z);
    for (size_t i = 0; i < nx * ny; i++) {
        (*p)[i].x = r->x0 + (r->x1 - r->x0) * (double)(i % nx) / (double)(nx - 1);
        (*p)[i].y = r->y0 + (r->y1 - r->y0) * (double)(i / nx) / (double)(ny - 1);
        (*z)[i] = surface(r, (*p)[i].x, (*p)[i].y) + noise * builder_normal(&seed);
    }
}

/* NaN fails where a number is wanted. */
static void near(const struct bt_measured *got, const struct bt_measured *want,
                 double tolerance, const char *what)
{
    cr_expect(got->seen == want->seen, "%s is seen: %d", what, got->seen);
    if (!want->seen) {
        cr_expect(isnan(got->value) && isnan(got->u), "%s", what);
        return;
    }
    cr_expect(fabs(got->value - want->value) <= tolerance, "%s: %.17g, not %.17g", what,
              got->value, want->value);
    cr_expect(fabs(got->u - want->u) <= tolerance, "u of %s: %.17g, not %.17g", what,
              got->u, want->u);
}

/* Whatever the adjustment of the same points as heights over a known reference says. */
static void expect_adjustment(const char *name, size_t n, const struct bt_point p[],
                              const double z[], double u, double length, double width)
{
    struct bt_scan scan = {n, p, z, u};
    struct bt_scan_figures got;
    struct bt_flatness want;
    struct builder b;
    double *relative = calloc(n, sizeof *relative), *doubt = calloc(n, sizeof *doubt);

    cr_assert(relative && doubt);
    builder_init(&b, u, level);
    for (size_t i = 0; i < n; i++) {
        builder_heights(&b, 0, 1, &p[i]);
        builder_set_last(&b, z[i]);
        b.r.obs[i].kind = BT_READ_SCAN;
    }
    cr_assert(b.r.npoint == n);
    cr_assert(bt_flatness_evaluate(&b.r,
                                   &(struct bt_flatness_options){.length = length,
                                                                 .width = width,
                                                                 .one_reference = true},
                                   &want, NULL) == BT_OK);
    cr_assert(bt_scan_form(&scan, &want.form.rectangle, &got, relative, doubt, NULL) ==
              BT_OK);
    cr_expect(fabs(got.plane.a - want.plane.a) <= 1e-10 &&
                  fabs(got.plane.b - want.plane.b) <= 1e-13 &&
                  fabs(got.plane.c - want.plane.c) <= 1e-13,
              "%s", name);
    cr_expect(got.residual.highest == want.residual.highest, "%s", name);
    cr_expect(got.residual.lowest == want.residual.lowest, "%s", name);
    near(&got.residual.peak, &want.residual.peak, 1e-10, name);
    near(&got.residual.valley, &want.residual.valley, 1e-10, name);
    near(&got.residual.range, &want.residual.range, 1e-10, name);
    near(&got.residual.rms, &want.residual.rms, 1e-10, name);
    near(&got.form.bow, &want.form.bow, 1e-10, name);
    near(&got.form.cup, &want.form.cup, 1e-10, name);
    near(&got.form.twist, &want.form.twist, 1e-10, name);
    cr_expect(got.form.rectangle.x1 == want.form.rectangle.x1, "%s", name);
    cr_expect(!got.form.twist_from_readings, "%s", name);
    for (size_t i = 0; i < n; i++)
        cr_expect(fabs(relative[i] - want.z[i]) <= 1e-10 &&
                      fabs(doubt[i] - want.u[i]) <= 1e-10,
                  "%s, point %zu", name, i);
    bt_flatness_clear(&want);
    builder_clear(&b);
    free(relative);
    free(doubt);
}

Test(scan_form, says_what_the_adjustment_of_the_same_heights_says)
{
    struct bt_point p[SEAT];
    double z[SEAT];

    make_seat(p, z);
    expect_adjustment("seat", SEAT, p, z, 0.03, seat.x1, seat.y1);
    expect_adjustment("seat over its own extent", SEAT, p, z, 0.03, NAN, NAN);
    expect_adjustment("seat within a large panel", SEAT, p, z, 0.03, 9000, 7000);
    expect_adjustment("six points", 6, p, z, 0.2, seat.x1, seat.y1);
    expect_adjustment("five points", 5, p, z, 0.2, seat.x1, seat.y1);
    expect_adjustment("four points", 4, p, z, 0.2, seat.x1, seat.y1);
}

Test(scan_form, agrees_with_the_adjustment_where_the_points_leave_terms_open)
{
    enum { N = 24 };
    struct bt_point two_rows[N], two_columns[N], ring[N], cross[N];
    double z[N];

    for (size_t i = 0; i < N; i++) {
        const double along = 60.0 * (double)(i / 2), angle = 0.25 * (double)i;
        two_rows[i] = (struct bt_point){along, i % 2 ? 300.0 : 20.0};
        two_columns[i] = (struct bt_point){i % 2 ? 710.0 : 35.0, along};
        ring[i] = (struct bt_point){400 + 300 * cos(angle), 300 + 300 * sin(angle)};
        cross[i] =
            i % 2 ? (struct bt_point){330, along} : (struct bt_point){along, 330};
        z[i] = 0.3 * sin(1.7 * (double)i) + 0.001 * along;
    }
    cross[11] = (struct bt_point){330, 337};
    expect_adjustment("two rows", N, two_rows, z, 0.05, NAN, NAN);
    expect_adjustment("two columns", N, two_columns, z, 0.05, NAN, NAN);
    expect_adjustment("ring", N, ring, z, 0.05, NAN, NAN);
    expect_adjustment("cross", N, cross, z, 0.05, NAN, NAN);
}

Test(scan_form, sees_no_cup_in_two_rows_of_points)
{
    struct bt_point p[10];
    struct bt_scan_figures f;
    double z[10];
    const struct bt_rectangle box = {0, 0, 800, 300};

    for (size_t i = 0; i < 10; i++) {
        p[i] = (struct bt_point){200.0 * (double)(i % 5), i < 5 ? 0.0 : 300.0};
        z[i] = surface(&box, p[i].x, p[i].y);
    }
    cr_assert(bt_scan_form(&(struct bt_scan){10, p, z, 0.02}, &box, &f, NULL, NULL,
                           NULL) == BT_OK);
    cr_expect(!f.form.cup.seen && isnan(f.form.cup.value) && isnan(f.form.cup.u));
    cr_expect(f.form.bow.seen && fabs(f.form.bow.value - 0.35) <= 1e-14);
    cr_expect(f.form.twist.seen && fabs(f.form.twist.value - 0.88) <= 1e-14);
}

/* Rows without end that are two all the same: sums cannot tell, the triangle can. */
Test(scan_form, sees_no_cup_in_two_rows_of_many_points)
{
    enum { N = 3 * SWEEP_LEAST };
    static struct bt_point p[N];
    static double z[N];
    const struct bt_rectangle box = {0, 0, 800, 300};
    struct bt_scan_figures f;

    for (size_t i = 0; i < N; i++) {
        p[i] = (struct bt_point){800.0 * (double)(i / 2) / (N / 2 - 1),
                                 i % 2 ? 0.0 : 300.0};
        z[i] = surface(&box, p[i].x, p[i].y);
    }
    cr_assert(bt_scan_form(&(struct bt_scan){N, p, z, 0.02}, &box, &f, NULL, NULL,
                           NULL) == BT_OK);
    cr_expect(!f.form.cup.seen && isnan(f.form.cup.value));
    cr_expect(f.form.bow.seen && fabs(f.form.bow.value - 0.35) <= 1e-12);
    cr_expect(f.form.twist.seen && fabs(f.form.twist.value - 0.88) <= 1e-12);
}

/* Rows of a micrometre's width: sums of squares of squares would have lost the cup. */
Test(scan_form, sees_a_cup_in_two_narrow_bands_of_many_points)
{
    enum { N = 3 * SWEEP_LEAST };
    static struct bt_point p[N];
    static double z[N];
    const struct bt_rectangle box = {0, 0, 800, 300};
    struct bt_scan_figures f;

    for (size_t i = 0; i < N; i++) {
        p[i] = (struct bt_point){800.0 * (double)(i / 2) / (N / 2 - 1),
                                 (i % 2 ? 0.0 : 300.0) + 0x1p-10 * (double)(i % 7)};
        z[i] = surface(&box, p[i].x, p[i].y);
    }
    cr_assert(bt_scan_form(&(struct bt_scan){N, p, z, 0.02}, &box, &f, NULL, NULL,
                           NULL) == BT_OK);
    cr_expect(f.form.cup.seen && fabs(f.form.cup.value + 0.61) <= 1e-8, "%.17g",
              f.form.cup.value);
}

/* Points of a short last block, in a corner of the rectangle. */
Test(scan_form, sums_every_power_over_all_points)
{
    enum { N = SWEEP_LEAST + 999 };
    static struct bt_point p[N];
    static double z[N];
    unsigned long long seed = 5;
    struct sweep_sums s;
    long double moment[SWEEP_MOMENTS] = {0}, height[SWEEP_HEIGHTS] = {0}, square = 0;

    for (size_t i = 0; i < N; i++) {
        p[i].x = 700 + 400 * builder_uniform(&seed);
        p[i].y = -90 + 60 * builder_uniform(&seed) + 0.05 * p[i].x;
        z[i] = 12 + builder_normal(&seed);
    }
    cr_assert(sweep_points(N, p, z, true, &s));
    for (size_t i = 0; i < N; i++) {
        const long double u = (p[i].x - s.x) * (long double)s.u_x;
        const long double v = (p[i].y - s.y) * (long double)s.v_y;
        const long double h = (long double)z[i] - s.z;

        cr_assert(fabs((double)u) <= 1.1 && fabs((double)v) <= 1.1);
        for (size_t a = 0; a <= 4; a++)
            for (size_t b = 0; a + b <= 4; b++) {
                const long double power =
                    powl(u, (long double)a) * powl(v, (long double)b);
                moment[sweep_moment(a, b)] += power;
                if (a + b <= 2)
                    height[sweep_moment(a, b)] += h * power;
            }
        square += h * h;
    }
    for (size_t k = 0; k < SWEEP_MOMENTS; k++)
        cr_expect(fabsl(s.moment[k] - moment[k]) <= 1e-16L * N, "%zu", k);
    for (size_t k = 0; k < SWEEP_HEIGHTS; k++)
        cr_expect(fabsl(s.height[k] - height[k]) <= 1e-16L * N, "%zu", k);
    cr_expect(fabsl(s.square - square) <= 1e-16L * N);
}

Test(scan_form, gives_an_exact_form_back_with_the_u_of_its_grid)
{
    enum { NX = 151, NY = 61, N = NX * NY };
    const struct bt_rectangle box = {-40, 10, 1160, 490};
    struct bt_scan_figures f;
    struct bt_point *p;
    double *z, fourth = 0, square = 0, product = 0;

    make_face(NX, NY, &box, 0, &p, &z);
    cr_assert(bt_scan_form(&(struct bt_scan){N, p, z, 0.02}, &box, &f, NULL, NULL,
                           NULL) == BT_OK);
    cr_expect(fabs(f.form.bow.value - 0.35) <= 1e-14, "%.17g", f.form.bow.value);
    cr_expect(fabs(f.form.cup.value + 0.61) <= 1e-14, "%.17g", f.form.cup.value);
    cr_expect(fabs(f.form.twist.value - 0.88) <= 1e-14, "%.17g", f.form.twist.value);
    /* On a full grid u^2 less its mean is orthogonal to the five others, as is u v. */
    for (size_t i = 0; i < NX; i++) {
        const double u = -1 + 2 * (double)i / (NX - 1);
        square += u * u / NX;
        fourth += u * u * u * u / NX;
    }
    for (size_t i = 0; i < NY; i++) {
        const double v = -1 + 2 * (double)i / (NY - 1);
        product += v * v / NY;
    }
    cr_expect(fabs(f.form.bow.u - 0.02 / sqrt(N * (fourth - square * square))) <=
              1e-15);
    cr_expect(fabs(f.form.twist.u - 4 * 0.02 / sqrt(N * square * product)) <= 1e-15);
    free(p);
    free(z);
}

/* Heights near 3 mm and, in the second round, over an offset of a kilometre. */
Test(scan_form, finds_the_same_by_sums_as_in_extended_precision)
{
    enum { NX = 240, NY = 131, N = NX * NY };
    const struct bt_rectangle box = {500, -800, 2100, 100};
    struct bt_point *p;
    double *z, *r = calloc(N, sizeof *r), *doubt = calloc(N, sizeof *doubt);

    cr_assert(r && doubt);
    make_face(NX, NY, &box, 0.04, &p, &z);
    for (int offset = 0; offset < 2; offset++) {
        struct bt_scan_figures f;
        struct plane_solution care;
        struct bt_plane plane;
        size_t highest = 0, lowest = 0;
        long double square = 0;
        double worst = 0, worst_u = 0;

        for (size_t i = 0; i < N && offset; i++)
            z[i] += 1e6;
        cr_assert(bt_scan_form(&(struct bt_scan){N, p, z, 0.25}, &box, &f, r, doubt,
                               NULL) == BT_OK);
        cr_assert(plane_solve(N, p, z, &care, NULL) == BT_OK);
        cr_assert(plane_unframe(&care, &plane, NULL) == BT_OK);
        cr_expect(fabs(f.plane.a - plane.a) <= 1e-13 * fabs(plane.a));
        cr_expect(fabs(f.plane.b - plane.b) <= 1e-13 * fabs(plane.b));
        cr_expect(fabs(f.plane.c - plane.c) <= 1e-13 * fabs(plane.c));
        for (size_t i = 0; i < N; i++) {
            const long double want = plane_residual(&care, &p[i], z[i]);
            worst = fmax(worst, fabs(r[i] - (double)want));
            worst_u = fmax(
                worst_u, fabs(doubt[i] -
                              0.25 * sqrt(1 - (double)plane_hat(&care, &p[i], &p[i]))));
            square += want * want;
            highest = r[i] > r[highest] ? i : highest;
            lowest = r[i] < r[lowest] ? i : lowest;
        }
        cr_expect(worst <= 1e-14, "%g", worst);
        cr_expect(worst_u <= 1e-15, "%g", worst_u);
        cr_expect(f.residual.highest == highest && f.residual.lowest == lowest);
        cr_expect(f.residual.peak.value == r[highest]);
        cr_expect(f.residual.valley.value == r[lowest]);
        cr_expect(f.residual.range.value == r[highest] - r[lowest]);
        cr_expect(fabs(f.residual.rms.value - (double)sqrtl(square / N)) <= 1e-15);
        cr_expect(fabs(f.residual.rms.u - 0.25 / sqrt(N)) <= 1e-17);
        cr_expect(f.residual.peak.u == doubt[highest] ||
                  fabs(f.residual.peak.u - doubt[highest]) <= 1e-15);
    }
    free(p);
    free(z);
    free(r);
    free(doubt);
}

/* The last block is short, the last stretch too; an extreme may stand anywhere. */
Test(scan_form, finds_a_spike_and_a_pit_at_either_end_of_many_points)
{
    enum { NX = 101, NY = 83, N = NX * NY };
    static const size_t place[] = {0, 1, 255, 256, 4095, 4096, N - 2, N - 1};
    const struct bt_rectangle box = {0, 0, 900, 600};
    struct bt_scan_figures f;
    struct bt_point *p;
    double *z;

    make_face(NX, NY, &box, 0.001, &p, &z);
    for (size_t k = 0; k + 1 < sizeof place / sizeof *place; k++) {
        const size_t spike = place[k], pit = place[k + 1];
        z[spike] += 7;
        z[pit] -= 7;
        cr_assert(bt_scan_form(&(struct bt_scan){N, p, z, 0.02}, &box, &f, NULL, NULL,
                               NULL) == BT_OK);
        cr_expect(f.residual.highest == spike && f.residual.lowest == pit, "%zu %zu",
                  f.residual.highest, f.residual.lowest);
        z[spike] -= 7;
        z[pit] += 7;
    }
    free(p);
    free(z);
}

Test(scan_form, writes_residuals_over_the_heights_they_came_from)
{
    enum { NX = 97, NY = 53, N = NX * NY };
    const struct bt_rectangle box = {0, 0, 900, 600};
    struct bt_scan_figures aside, over;
    struct bt_point *p, q[SEAT];
    double *z, *r = calloc(N, sizeof *r), small[SEAT], apart[SEAT];

    cr_assert(r);
    make_face(NX, NY, &box, 0.02, &p, &z);
    cr_assert(bt_scan_form(&(struct bt_scan){N, p, z, 0.02}, &box, &aside, r, NULL,
                           NULL) == BT_OK);
    cr_assert(bt_scan_form(&(struct bt_scan){N, p, z, 0.02}, &box, &over, z, NULL,
                           NULL) == BT_OK);
    cr_expect(memcmp(r, z, N * sizeof *r) == 0);
    cr_expect(memcmp(&aside.residual.highest, &over.residual.highest,
                     2 * sizeof(size_t)) == 0);
    make_seat(q, small);
    cr_assert(bt_scan_form(&(struct bt_scan){SEAT, q, small, 0.02}, &seat, &aside,
                           apart, NULL, NULL) == BT_OK);
    cr_assert(bt_scan_form(&(struct bt_scan){SEAT, q, small, 0.02}, &seat, &over, small,
                           NULL, NULL) == BT_OK);
    cr_expect(memcmp(apart, small, sizeof small) == 0);
    free(p);
    free(z);
    free(r);
}

Test(scan_form, has_no_doubt_of_the_residuals_of_three_points)
{
    static const struct bt_point p[3] = {{0, 0}, {900, 40}, {310, 570}};
    static const double z[3] = {0.5, -0.25, 1.75};
    struct bt_scan_figures f;
    double r[3], u[3];

    cr_assert(bt_scan_form(&(struct bt_scan){3, p, z, 0.1}, &seat, &f, r, u, NULL) ==
              BT_OK);
    for (size_t i = 0; i < 3; i++)
        cr_expect(fabs(r[i]) <= 1e-17 && fabs(u[i]) <= 1e-9, "%g %g", r[i], u[i]);
    cr_expect(fabs(f.residual.range.u) <= 1e-9 && f.residual.rms.u == 0);
    cr_expect(!f.form.bow.seen && !f.form.cup.seen && !f.form.twist.seen);
}

/* A far point leaves the sample's extent far behind; both ways must agree. */
Test(scan_form, takes_a_point_that_lies_far_off)
{
    enum { NX = 97, NY = 53, N = NX * NY };
    const struct bt_rectangle box = {0, 0, 900, 600};
    struct bt_scan_figures f;
    struct plane_solution care;
    struct bt_plane plane;
    struct bt_point *p;
    double *z;

    make_face(NX, NY, &box, 0.02, &p, &z);
    p[77] = (struct bt_point){-4e5, 3e5};
    cr_assert(bt_scan_form(&(struct bt_scan){N, p, z, 0.02}, &box, &f, NULL, NULL,
                           NULL) == BT_OK);
    cr_assert(plane_solve(N, p, z, &care, NULL) == BT_OK);
    cr_assert(plane_unframe(&care, &plane, NULL) == BT_OK);
    cr_expect(fabs(f.plane.a - plane.a) <= 1e-12);
    cr_expect(fabs(f.plane.b - plane.b) <= 1e-15);
    cr_expect(fabs(f.plane.c - plane.c) <= 1e-15);
    cr_expect(f.form.bow.seen && f.form.cup.seen && f.form.twist.seen);
    free(p);
    free(z);
}

static void expect_refused(const struct bt_scan *scan, const struct bt_rectangle *box,
                           enum bt_status status, size_t row, const char *message)
{
    struct bt_scan_figures f, before;
    struct bt_error err = {.code = BT_OK};
    double *r = malloc(scan->n * sizeof *r + 1), *u = malloc(scan->n * sizeof *u + 1);

    cr_assert(r && u);
    memset(&f, 7, sizeof f);
    before = f;
    for (size_t i = 0; i < scan->n; i++)
        r[i] = u[i] = 7;
    cr_expect(bt_scan_form(scan, box, &f, r, u, &err) == status);
    cr_expect(bt_scan_form(scan, box, &f, r, u, NULL) == status);
    cr_expect(err.code == status && err.row == row, "%d, row %zu", err.code, err.row);
    cr_expect_str_eq(err.message, message);
    cr_expect(memcmp(&f, &before, sizeof f) == 0);
    for (size_t i = 0; i < scan->n; i++)
        cr_expect(r[i] == 7 && u[i] == 7);
    free(r);
    free(u);
}

Test(scan_form, refuses_a_rectangle_or_an_uncertainty_that_is_none)
{
    const struct bt_rectangle flat = {0, 0, 900, 0}, endless = {0, 0, INFINITY, 600};
    const struct bt_rectangle open = {0, 0, NAN, 600};
    static const double bad[] = {0, -0.1, NAN, INFINITY};
    struct bt_point p[SEAT];
    struct bt_scan scan = {SEAT, p, NULL, 0.1};
    double z[SEAT];

    make_seat(p, z);
    scan.z = z;
    expect_refused(&scan, &flat, BT_EINPUT, 0, "the panel's rectangle has no area");
    expect_refused(&scan, &endless, BT_EINPUT, 0,
                   "the panel's rectangle is not finite");
    expect_refused(&scan, &open, BT_EINPUT, 0, "the panel's rectangle is not finite");
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        scan.u = bad[i];
        expect_refused(&scan, &seat, BT_EINPUT, 0,
                       "the uncertainty of the heights is not a number above 0");
    }
}

Test(scan_form, refuses_few_points_points_on_one_line_and_points_that_are_none)
{
    struct bt_point p[SEAT];
    struct bt_scan scan = {2, p, NULL, 0.1};
    double z[SEAT];

    make_seat(p, z);
    scan.z = z;
    expect_refused(&scan, &seat, BT_EINPUT, 2,
                   "2 points are too few for a plane, 3 would do");
    scan.n = SEAT;
    z[31] = NAN;
    expect_refused(&scan, &seat, BT_EINPUT, 31, "point 32 is not three finite numbers");
    z[31] = 1e300;
    expect_refused(&scan, &seat, BT_EINPUT, 0,
                   "the numbers are too large to compute with");
    z[31] = 1;
    for (size_t i = 0; i < SEAT; i++)
        p[i].y = 0.1 * p[i].x;
    expect_refused(&scan, &seat, BT_ESINGULAR, 0,
                   "all 60 points lie on one line, a plane needs one beside it");
}

/* Wherever the fault stands, in the sample or beside it. */
Test(scan_form, refuses_one_fault_among_many_points)
{
    enum { NX = 97, NY = 53, N = NX * NY };
    static const size_t place[] = {0, 1, 2, 3, 4, 5, 4096, N - 2, N - 1};
    const struct bt_rectangle box = {0, 0, 900, 600};
    struct bt_point *p;
    struct bt_scan scan = {N, NULL, NULL, 0.1};
    double *z;

    make_face(NX, NY, &box, 0.02, &p, &z);
    scan.p = p;
    scan.z = z;
    for (size_t k = 0; k < sizeof place / sizeof *place; k++) {
        const size_t i = place[k];
        const struct bt_point good = p[i];
        const double height = z[i];
        char message[80];

        snprintf(message, sizeof message, "point %zu is not three finite numbers",
                 i + 1);
        z[i] = k % 2 ? NAN : -INFINITY;
        expect_refused(&scan, &box, BT_EINPUT, i, message);
        z[i] = height;
        p[i].x = INFINITY;
        expect_refused(&scan, &box, BT_EINPUT, i, message);
        p[i] = good;
        p[i].y = NAN;
        expect_refused(&scan, &box, BT_EINPUT, i, message);
        p[i] = good;
        z[i] = 1e200;
        expect_refused(&scan, &box, BT_EINPUT, 0,
                       "the numbers are too large to compute with");
        z[i] = height;
    }
    for (size_t i = 0; i < N; i++)
        p[i].y = 0.25 * p[i].x;
    expect_refused(&scan, &box, BT_ESINGULAR, 0,
                   "all 5141 points lie on one line, a plane needs one beside it");
    for (size_t i = 0; i < N; i++)
        p[i].y = 33;
    expect_refused(&scan, &box, BT_ESINGULAR, 0,
                   "all 5141 points lie on one line, a plane needs one beside it");
    free(p);
    free(z);
}
