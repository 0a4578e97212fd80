/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/surface/plane.h"

#include <criterion/criterion.h>
#include <gsl/gsl_errno.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "benchtrue/surface/lsq.h"
#include "support/reference.h"
#include "surface/plane_private.h"

static void quiet_gsl(void)
{
    gsl_set_error_handler_off();
}

TestSuite(plane, .init = quiet_gsl);

/* Places on no grid, and heights of a face that is bowed, cupped and rough. */
enum { POINTS = 9 };

static const struct bt_point place[POINTS] = {
    {3.5, 12.25},     {611.0, 4.75}, {1204.5, 20.5},  {18.0, 301.25},  {598.5, 333.0},
    {1190.0, 288.75}, {2.25, 590.5}, {640.25, 602.0}, {1211.75, 577.5}};
static const double height[POINTS] = {0.31,  -0.125, 0.47, 0.085, -0.64,
                                      0.205, 0.52,   -0.2, 0.91};

/* Highest less lowest. */
static double range(const double v[])
{
    double low = v[0], high = v[0];

    for (size_t i = 1; i < POINTS; i++) {
        low = fmin(low, v[i]);
        high = fmax(high, v[i]);
    }
    return high - low;
}

/* Rows of one set; *p and *z to be freed. */
static size_t load_points(const struct reference *t, const char *set,
                          struct bt_point **p, double **z)
{
    size_t n = 0;

    *p = calloc(reference_rows(t), sizeof **p);
    *z = calloc(reference_rows(t), sizeof **z);
    cr_assert(*p && *z);
    for (size_t i = reference_find(t, "dataset", set, 0); i < reference_rows(t); i++)
        if (strcmp(reference_text(t, i, "dataset"), set) == 0) {
            (*p)[n].x = reference_number(t, i, "x_mm");
            (*p)[n].y = reference_number(t, i, "y_mm");
            (*z)[n++] = reference_number(t, i, "z_mm");
        }
    return n;
}

/* Constructed sets, not published; printed with 15 digits.  1e-14 mm is a rounding
 * of heights near 10 mm times the length of the sums. */
Test(plane, gives_the_least_squares_planes_of_the_constructed_sets)
{
    struct reference *points =
        reference_load("metrology/flatness_constructed_points.csv");
    struct reference *want =
        reference_load("metrology/flatness_constructed_results.csv");

    for (size_t k = 0; k < reference_rows(want); k++) {
        const char *set = reference_text(want, k, "dataset");
        struct bt_point *p;
        struct bt_plane plane;
        double *z, low = INFINITY, high = -INFINITY, sum = 0.0;
        size_t n;

        if (reference_empty(want, k, "ls_a")) /* steep bodies: for the zone only */
            continue;
        n = load_points(points, set, &p, &z);
        cr_expect((double)n == reference_number(want, k, "n"), "%s", set);
        cr_expect(bt_plane_fit(n, p, z, &plane, z, NULL) == BT_OK, "%s", set);
        for (size_t i = 0; i < n; i++) {
            low = fmin(low, z[i]);
            high = fmax(high, z[i]);
            sum += z[i] * z[i];
        }
        cr_expect(fabs(plane.b - reference_number(want, k, "ls_a")) <= 1e-16, "%s",
                  set);
        cr_expect(fabs(plane.c - reference_number(want, k, "ls_b")) <= 1e-16, "%s",
                  set);
        cr_expect(fabs(plane.a - reference_number(want, k, "ls_c")) <= 1e-14, "%s",
                  set);
        cr_expect(fabs(high - low - reference_number(want, k, "ls_t")) <= 1e-14, "%s",
                  set);
        cr_expect(fabs(high - reference_number(want, k, "ls_p")) <= 1e-14, "%s", set);
        cr_expect(fabs(-low - reference_number(want, k, "ls_v")) <= 1e-14, "%s", set);
        cr_expect(fabs(sqrt(sum / (double)n) - reference_number(want, k, "ls_q")) <=
                      1e-14,
                  "%s", set);
        free(p);
        free(z);
    }
    reference_free(points);
    reference_free(want);
}

Test(plane, returns_an_exact_plane_without_residual)
{
    double z[POINTS], residual[POINTS];
    struct bt_plane plane;

    for (size_t i = 0; i < POINTS; i++)
        z[i] = 2.375 + place[i].x / 1024.0 - place[i].y / 512.0;
    cr_assert(bt_plane_fit(POINTS, place, z, &plane, residual, NULL) == BT_OK);
    cr_expect(fabs(plane.a - 2.375) <= 5e-16, "%.17g", plane.a);
    cr_expect(fabs(plane.b - 1.0 / 1024.0) <= 3e-19, "%.17g", plane.b);
    cr_expect(fabs(plane.c + 1.0 / 512.0) <= 5e-19, "%.17g", plane.c);
    for (size_t i = 0; i < POINTS; i++)
        cr_expect(fabs(residual[i]) <= 1e-18, "%zu: %g", i, residual[i]);
}

/* The heights are multiples of 2^-10, so that adding the offset is exact. */
Test(plane, keeps_all_digits_of_residuals_under_an_offset_of_a_kilometre)
{
    double z[POINTS], plain[POINTS], far[POINTS];
    struct bt_plane low, high;

    for (size_t i = 0; i < POINTS; i++)
        z[i] = round(height[i] * 1024.0) / 1024.0;
    cr_assert(bt_plane_fit(POINTS, place, z, &low, plain, NULL) == BT_OK);
    for (size_t i = 0; i < POINTS; i++)
        z[i] += 1e6;
    cr_assert(bt_plane_fit(POINTS, place, z, &high, far, NULL) == BT_OK);
    for (size_t i = 0; i < POINTS; i++)
        cr_expect(fabs(far[i] - plain[i]) <= 2e-16, "%zu: %g", i, far[i] - plain[i]);
    cr_expect(fabs(high.a - low.a - 1e6) <= 2.4e-10);
    cr_expect(fabs(high.b - low.b) <= 1e-18);
    cr_expect(fabs(high.c - low.c) <= 1e-18);
}

Test(plane, keeps_its_slopes_under_positions_far_from_the_origin)
{
    struct bt_point moved[POINTS];
    double plain[POINTS], far[POINTS];
    struct bt_plane near, away;

    for (size_t i = 0; i < POINTS; i++) {
        moved[i].x = place[i].x + 3e6;
        moved[i].y = place[i].y - 5e6;
    }
    cr_assert(bt_plane_fit(POINTS, place, height, &near, plain, NULL) == BT_OK);
    cr_assert(bt_plane_fit(POINTS, moved, height, &away, far, NULL) == BT_OK);
    cr_expect(fabs(away.b - near.b) <= 1e-17 && fabs(away.c - near.c) <= 1e-17);
    for (size_t i = 0; i < POINTS; i++)
        cr_expect(fabs(far[i] - plain[i]) <= 1e-15);
}

Test(plane, takes_a_tilt_that_is_added_and_nothing_else)
{
    double z[POINTS], plain[POINTS], tilted[POINTS];
    struct bt_plane before, after;

    for (size_t i = 0; i < POINTS; i++)
        z[i] = height[i] - 0.7 + 0.0125 * place[i].x - 0.003 * place[i].y;
    cr_assert(bt_plane_fit(POINTS, place, height, &before, plain, NULL) == BT_OK);
    cr_assert(bt_plane_fit(POINTS, place, z, &after, tilted, NULL) == BT_OK);
    cr_expect(fabs(after.a - before.a + 0.7) <= 1e-14);
    cr_expect(fabs(after.b - before.b - 0.0125) <= 1e-17);
    cr_expect(fabs(after.c - before.c + 0.003) <= 1e-17);
    for (size_t i = 0; i < POINTS; i++)
        cr_expect(fabs(tilted[i] - plain[i]) <= 4e-15, "%zu", i);
}

Test(plane, leaves_residuals_orthogonal_to_one_x_and_y)
{
    double r[POINTS], sum = 0.0, with_x = 0.0, with_y = 0.0;
    struct bt_plane plane;

    cr_assert(bt_plane_fit(POINTS, place, height, &plane, r, NULL) == BT_OK);
    for (size_t i = 0; i < POINTS; i++) {
        sum += r[i];
        with_x += r[i] * place[i].x;
        with_y += r[i] * place[i].y;
        cr_expect(fabs(height[i] - plane.a - plane.b * place[i].x -
                       plane.c * place[i].y - r[i]) <= 4e-16);
    }
    cr_expect(fabs(sum) <= 1e-15 && fabs(with_x) <= 1e-12 && fabs(with_y) <= 1e-12,
              "%g %g %g", sum, with_x, with_y);
    cr_expect(range(r) > 0.5);
}

Test(plane, scales_mirrors_and_reorders_with_its_points)
{
    struct bt_point p[POINTS];
    double z[POINTS];
    struct bt_plane plain, changed;

    for (size_t i = 0; i < POINTS; i++) {
        p[i].x = -place[POINTS - 1 - i].x;
        p[i].y = place[POINTS - 1 - i].y * 25.4;
        z[i] = height[POINTS - 1 - i] * -3.0;
    }
    cr_assert(bt_plane_fit(POINTS, place, height, &plain, NULL, NULL) == BT_OK);
    cr_assert(bt_plane_fit(POINTS, p, z, &changed, NULL, NULL) == BT_OK);
    cr_expect(fabs(changed.a + 3.0 * plain.a) <= 2e-15);
    cr_expect(fabs(changed.b - 3.0 * plain.b) <= 2e-18);
    cr_expect(fabs(changed.c + 3.0 * plain.c / 25.4) <= 2e-18);
}

/* More points than one block of the triangle holds, and not a multiple of it. */
Test(plane, agrees_with_the_general_fit_on_scattered_points)
{
    enum { N = 331 };
    double x[3 * N], z[N], coef[3], residual[N], r[N];
    struct bt_point p[N];
    struct bt_plane plane;
    unsigned seed = 20119u;

    for (size_t i = 0; i < N; i++) {
        double draw[3];
        for (size_t j = 0; j < 3; j++) {
            seed = seed * 1664525u + 1013904223u;
            draw[j] = (double)seed / 4294967296.0;
        }
        p[i].x = x[3 * i + 1] = 1800.0 * draw[0];
        p[i].y = x[3 * i + 2] = 600.0 * draw[1] + 0.2 * p[i].x;
        x[3 * i] = 1.0;
        z[i] = 2.0 * draw[2] - 1.0;
    }
    cr_assert(bt_lsq_fit(N, 3, x, z, coef, NULL, residual, NULL, NULL) == BT_OK);
    cr_assert(bt_plane_fit(N, p, z, &plane, r, NULL) == BT_OK);
    cr_expect(fabs(plane.a - coef[0]) <= 1e-16 && fabs(plane.b - coef[1]) <= 1e-19 &&
              fabs(plane.c - coef[2]) <= 1e-19);
    for (size_t i = 0; i < N; i++)
        cr_expect(fabs(r[i] - residual[i]) <= 2e-16, "%zu: %g", i, r[i] - residual[i]);
}

Test(plane, fits_three_points_and_points_that_coincide)
{
    static const struct bt_point p[4] = {{0, 0}, {900, 0}, {0, 0}, {450, 300}};
    static const double z[4] = {0.25, 1.0, 0.75, -1.0};
    double r[4];
    struct bt_plane plane;

    cr_assert(bt_plane_fit(3, p + 1, z + 1, &plane, r, NULL) == BT_OK);
    for (size_t i = 0; i < 3; i++)
        cr_expect(fabs(r[i]) <= 1e-18);
    cr_assert(bt_plane_fit(4, p, z, &plane, r, NULL) == BT_OK);
    cr_expect(fabs(plane.a - 0.5) <= 1e-16);
    cr_expect(fabs(r[0] + 0.25) <= 1e-16 && fabs(r[2] - 0.25) <= 1e-16);
    cr_expect(fabs(r[1]) <= 1e-18 && fabs(r[3]) <= 1e-18);
}

Test(plane, sees_a_tilt_across_a_strip_a_micrometre_wide)
{
    struct bt_point p[6];
    double z[6];
    struct bt_plane plane;

    for (size_t i = 0; i < 6; i++) {
        p[i].x = 300.0 * (double)(i % 3);
        p[i].y = p[i].x + (i < 3 ? 0.0 : 0x1p-10);
        z[i] = p[i].y - p[i].x;
    }
    cr_assert(bt_plane_fit(6, p, z, &plane, NULL, NULL) == BT_OK);
    cr_expect(fabs(plane.b + 1.0) <= 1e-12 && fabs(plane.c - 1.0) <= 1e-12,
              "%.17g %.17g", plane.b, plane.c);
}

Test(plane, fits_a_scan_of_a_hundred_thousand_points)
{
    enum { NX = 400, NY = 250, N = NX * NY };
    struct bt_point *p = calloc(N, sizeof *p);
    double *z = calloc(N, sizeof *z), sum = 0.0, largest = 0.0;
    struct bt_plane plane;

    cr_assert(p && z);
    for (size_t i = 0; i < N; i++) {
        double u = (double)(i % NX), v = (double)(i / NX);
        p[i].x = 4.0 * u;
        p[i].y = 3.0 * v;
        /* a saddle that is orthogonal to every plane over the whole grid */
        z[i] =
            1e6 + 0.002 * p[i].x - 0.001 * p[i].y + (u - 199.5) * (v - 124.5) * 0x1p-14;
    }
    cr_assert(bt_plane_fit(N, p, z, &plane, z, NULL) == BT_OK);
    cr_expect(fabs(plane.a - 1e6) <= 1e-9 && fabs(plane.b - 0.002) <= 1e-12 &&
              fabs(plane.c + 0.001) <= 1e-12);
    for (size_t i = 0; i < N; i++) {
        double u = (double)(i % NX), v = (double)(i / NX);
        sum += z[i];
        largest = fmax(largest, fabs(z[i] - (u - 199.5) * (v - 124.5) * 0x1p-14));
    }
    cr_expect(largest <= 3e-10, "%g", largest); /* roundings of heights at 1e6 */
    cr_expect(fabs(sum / N) <= 1e-16, "%g", sum / N);
    free(p);
    free(z);
}

/* At 1e12 mm places are 1e-4 mm apart, and so is the mean from the number next to it;
 * the face must still be met at its true mean. */
Test(plane, meets_the_mean_of_many_points_very_far_from_the_origin)
{
    enum { NX = 100, NY = 51, N = NX * NY };
    static struct bt_point p[N];
    static double z[N];
    struct bt_plane plane;
    long double sum = 0.0L;

    for (size_t i = 0; i < N; i++) {
        p[i].x = 1e12 + 8.0 * (double)(i % NX) + (i % 4 ? 0.0 : 0x1p-12);
        p[i].y = 6.0 * (double)(i / NX);
        z[i] = 0.5 * (p[i].x - 1e12) + (double)(i % 11) / 16.0;
    }
    cr_assert(bt_plane_fit(N, p, z, &plane, z, NULL) == BT_OK);
    for (size_t i = 0; i < N; i++)
        sum += (long double)z[i];
    cr_expect(fabsl(sum / N) <= 1e-13L, "%Lg", sum / N);
}

/* A scan goes another way than its careful solution; both to the last digits. */
Test(plane, agrees_with_extended_precision_on_a_steep_offset_scan)
{
    enum { NX = 120, NY = 75, N = NX * NY };
    static struct bt_point p[N];
    static double z[N], r[N];
    struct plane_solution care;
    struct bt_plane plane, careful;

    for (size_t i = 0; i < N; i++) {
        p[i].x = 9.5 * (double)(i % NX) + 0.3 * (double)(i * i % 17);
        p[i].y = 7.25 * (double)(i / NX) + 0.4 * p[i].x;
        z[i] = 1e6 + 0.3 * p[i].x - 0.8 * p[i].y + 0.01 * (double)(i * 7 % 101);
    }
    cr_assert(bt_plane_fit(N, p, z, &plane, r, NULL) == BT_OK);
    cr_assert(plane_solve(N, p, z, &care, NULL) == BT_OK);
    cr_assert(plane_unframe(&care, &careful, NULL) == BT_OK);
    cr_expect(fabs(plane.a - careful.a) <= 1e-13 * fabs(careful.a));
    cr_expect(fabs(plane.b - careful.b) <= 1e-13 * fabs(careful.b));
    cr_expect(fabs(plane.c - careful.c) <= 1e-13 * fabs(careful.c));
    for (size_t i = 0; i < N; i++)
        cr_expect(fabsl(r[i] - plane_residual(&care, &p[i], z[i])) <= 1e-12L, "%zu", i);
}

static void expect_refused(size_t n, const struct bt_point p[], const double z[],
                           enum bt_status status, size_t row, const char *message)
{
    struct bt_plane plane = {7.0, 7.0, 7.0};
    double r[POINTS] = {7.0};
    struct bt_error err = {.code = BT_OK};

    cr_expect(bt_plane_fit(n, p, z, &plane, r, &err) == status);
    cr_expect(bt_plane_fit(n, p, z, &plane, r, NULL) == status);
    cr_expect(err.code == status);
    cr_expect(err.row == row, "row %zu", err.row);
    cr_expect_str_eq(err.message, message);
    cr_expect(plane.a == 7.0 && plane.b == 7.0 && plane.c == 7.0 && r[0] == 7.0);
}

Test(plane, refuses_points_that_all_lie_on_one_line)
{
    struct bt_point p[5];

    for (size_t i = 0; i < 5; i++) { /* tenths are not exact in binary */
        p[i].x = 1000.1 + 0.1 * (double)i;
        p[i].y = 77.7 + 0.3 * (double)i;
    }
    expect_refused(5, p, height, BT_ESINGULAR, 0,
                   "all 5 points lie on one line, a plane needs one beside it");
    for (size_t i = 0; i < 5; i++)
        p[i] = p[0];
    expect_refused(5, p, height, BT_ESINGULAR, 0,
                   "all 5 points lie on one line, a plane needs one beside it");
}

Test(plane, refuses_fewer_than_three_points)
{
    expect_refused(2, place, height, BT_EINPUT, 2,
                   "2 points are too few for a plane, 3 would do");
    expect_refused(0, NULL, NULL, BT_EINPUT, 0,
                   "0 points are too few for a plane, 3 would do");
}

Test(plane, refuses_points_that_are_not_finite)
{
    struct bt_point p[POINTS];
    double z[POINTS];

    memcpy(p, place, sizeof p);
    memcpy(z, height, sizeof z);
    z[8] = INFINITY;
    expect_refused(POINTS, p, z, BT_EINPUT, 8, "point 9 is not three finite numbers");
    p[4].y = NAN;
    expect_refused(POINTS, p, z, BT_EINPUT, 4, "point 5 is not three finite numbers");
    p[1].x = -INFINITY;
    expect_refused(POINTS, p, z, BT_EINPUT, 1, "point 2 is not three finite numbers");
}

Test(plane, refuses_a_plane_that_no_number_holds)
{
    static const struct bt_point p[3] = {{0, 0}, {1e-10, 0}, {0, 1e-10}};
    static const double z[3] = {-1e300, 1e300, 0};

    expect_refused(3, p, z, BT_EINPUT, 0, "the numbers are too large to compute with");
}
