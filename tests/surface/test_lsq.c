/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/surface/lsq.h"

#include <criterion/criterion.h>
#include <gsl/gsl_errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "support/memory.h"
#include "support/reference.h"

static void quiet_gsl(void)
{
    gsl_set_error_handler_off();
}

TestSuite(lsq, .init = quiet_gsl);

/*
 * NIST StRD, linear least squares regression (NIST/ITL Statistical Reference
 * Datasets).  digits: least number of digits of the worst coefficient; sd_digits:
 * of the worst certified standard deviation and of the residual standard deviation.
 * The certified figures have 15 digits.  power: degree of the polynomial, 0 for
 * columns as they stand.
 *
 * Why the floors differ: the powers of Filip and the decimals of Pontius and
 * Wampler2 are rounded to double before the fit sees them, which alone costs the
 * digits missing there; Wampler4 and 5 have residuals 1e5 and 1e7 times the signal,
 * and their y and powers are exact integers.
 */
struct strd {
    const char *name, *file;
    size_t power;
    bool constant;
    double digits, sd_digits;
};

static const struct strd strd[] = {
    {"Norris", "norris", 1, true, 13.0, 13.0},
    {"Pontius", "pontius", 2, true, 13.0, 13.0},
    {"NoInt1", "noint1", 1, false, 14.0, 14.0},
    {"NoInt2", "noint2", 1, false, 14.0, 14.0},
    {"Filip", "filip", 10, true, 7.0, 7.0},
    {"Longley", "longley", 0, true, 13.0, 13.0},
    {"Wampler1", "wampler1", 5, true, 12.0, 0.0},
    {"Wampler2", "wampler2", 5, true, 12.0, 0.0},
    {"Wampler3", "wampler3", 5, true, 12.0, 13.0},
    {"Wampler4", "wampler4", 5, true, 11.0, 13.0},
    {"Wampler5", "wampler5", 5, true, 9.0, 13.0},
};

/* A set as the fit sees it: design matrix and results. */
struct problem {
    size_t n, p;
    double *x, *y, *coef, *cov;
    double sum_sq;
};

static void problem_free(struct problem *q)
{
    free(q->x);
    free(q->y);
    free(q->coef);
    free(q->cov);
}

static void problem_alloc(struct problem *q, size_t n, size_t p)
{
    q->n = n;
    q->p = p;
    q->x = calloc(n * p, sizeof(double));
    q->y = calloc(n, sizeof(double));
    q->coef = calloc(p, sizeof(double));
    q->cov = calloc(p * p, sizeof(double));
    cr_assert(q->x && q->y && q->coef && q->cov);
}

static void strd_load(const struct strd *set, struct problem *q)
{
    struct reference *t;
    char path[96];
    size_t regressors, first = set->constant ? 1 : 0;

    snprintf(path, sizeof path, "metrology/nist_strd_%s.csv", set->file);
    t = reference_load(path);
    regressors = set->power ? set->power : reference_columns(t) - 1;
    problem_alloc(q, reference_rows(t), regressors + first);
    for (size_t i = 0; i < q->n; i++) {
        double *row = q->x + i * q->p;
        q->y[i] = reference_number(t, i, "y");
        row[0] = 1.0;
        for (size_t j = 1; j <= regressors; j++)
            if (!set->power)
                row[j] = reference_number_at(t, i, j);
            else if (first || j > 1)
                row[j] = row[j - 1] * reference_number(t, i, "x");
            else
                row[0] = reference_number(t, i, "x");
    }
    reference_free(t);
}

/* Digits in which got agrees with want, at most 16; NaN has none. */
static double digits(double got, double want)
{
    double error = fabs(got - want) / fabs(want);

    if (error == 0.0)
        return 16.0;
    return error > 0.0 ? fmin(16.0, -log10(error)) : -1.0;
}

static double certified(const struct reference *t, const char *set,
                        const char *quantity, const char *column)
{
    for (size_t i = reference_find(t, "dataset", set, 0);; i++) {
        i = reference_find(t, "dataset", set, i);
        if (strcmp(reference_text(t, i, "quantity"), quantity) == 0)
            return reference_number(t, i, column);
    }
}

/* Worst digits over coefficients and over standard deviations; the deviations are
 * certified as 0 for sets without residuals. */
static void compare(const struct strd *set, const struct problem *q,
                    const struct reference *t, double *coef, double *sd)
{
    double s = sqrt(q->sum_sq / (double)(q->n - q->p));
    double s_want = certified(t, set->name, "residual_sd", "certified_value");

    *coef = 16.0;
    *sd = s_want > 0.0 ? digits(s, s_want) : 16.0;
    for (size_t j = 0; j < q->p; j++) {
        char name[8];
        double want;

        snprintf(name, sizeof name, "B%zu", set->constant ? j : j + 1);
        want = certified(t, set->name, name, "certified_value");
        *coef = fmin(*coef, digits(q->coef[j], want));
        want = certified(t, set->name, name, "certified_sd");
        if (want > 0.0)
            *sd = fmin(*sd, digits(s * sqrt(q->cov[j * q->p + j]), want));
    }
}

Test(lsq, reaches_the_certified_digits_of_the_eleven_nist_sets)
{
    struct reference *t = reference_load("metrology/nist_strd_certified.csv");

    printf("NIST StRD linear sets, digits of the worst figure\n");
    printf("%-10s %4s %3s  %11s  %5s  %13s  %5s\n", "set", "n", "p", "coefficient",
           "floor", "sd, residual", "floor");
    for (size_t k = 0; k < sizeof strd / sizeof *strd; k++) {
        const struct strd *set = &strd[k];
        struct problem q;
        struct bt_error err;
        double coef, sd;

        strd_load(set, &q);
        cr_expect(bt_lsq_fit(q.n, q.p, q.x, q.y, q.coef, q.cov, NULL, &q.sum_sq,
                             &err) == BT_OK,
                  "%s", set->name);
        compare(set, &q, t, &coef, &sd);
        printf("%-10s %4zu %3zu  %11.1f  %5.0f  %13.1f  %5.0f\n", set->name, q.n, q.p,
               coef, set->digits, sd, set->sd_digits);
        cr_expect(coef >= set->digits, "%s: %.2f digits", set->name, coef);
        cr_expect(sd >= set->sd_digits, "%s: %.2f digits of sd", set->name, sd);
        problem_free(&q);
    }
    reference_free(t);
}

/* The eight results of JCGM 100:2008, H.3.6, in the order of their table. */
static void thermometer_results(double got[8])
{
    struct reference *t = reference_load("metrology/gum_h3_thermometer.csv");
    struct problem q;
    double variance;

    problem_alloc(&q, reference_rows(t), 2);
    for (size_t i = 0; i < q.n; i++) {
        q.x[2 * i] = 1.0;
        q.x[2 * i + 1] = reference_number(t, i, "t_degC") - 20.0;
        q.y[i] = reference_number(t, i, "b_degC");
    }
    cr_assert(bt_lsq_fit(q.n, 2, q.x, q.y, q.coef, q.cov, NULL, &q.sum_sq, NULL) ==
              BT_OK);
    variance = q.sum_sq / (double)(q.n - 2);
    got[0] = q.coef[0];
    got[1] = sqrt(variance * q.cov[0]);
    got[2] = q.coef[1];
    got[3] = sqrt(variance * q.cov[3]);
    got[4] = q.cov[1] / sqrt(q.cov[0] * q.cov[3]);
    got[5] = sqrt(variance);
    got[6] = q.coef[0] + 10.0 * q.coef[1];
    got[7] = sqrt(variance * (q.cov[0] + 20.0 * q.cov[1] + 100.0 * q.cov[3]));
    problem_free(&q);
    reference_free(t);
}

/* Half a unit of the last digit printed in a text like -0.00218. */
static double half_digit(const char *text)
{
    const char *point = strchr(text, '.');

    return 0.5 * pow(10.0, point ? -(double)strlen(point + 1) : 0.0);
}

/* Published: JCGM 100:2008, H.3 (seen in a test file that quotes it); recomputed:
 * ours with 12 digits, so 1e-9 relative asks for more than the printed ones. */
Test(lsq, gives_the_eight_results_of_jcgm_100_annex_h3)
{
    static const char *const quantity[8] = {"y1 intercept at t0=20",
                                            "s(y1)",
                                            "y2 slope",
                                            "s(y2)",
                                            "r(y1 y2)",
                                            "s residual",
                                            "b(30)",
                                            "u(b(30))"};
    struct reference *t = reference_load("metrology/jcgm_checks.csv");
    double got[8];

    thermometer_results(got);
    for (size_t k = 0; k < 8; k++) {
        size_t i = reference_find(t, "quantity", quantity[k], 0);
        double want = reference_number(t, i, "recomputed");
        double printed = reference_number(t, i, "published");

        cr_expect(fabs(got[k] - want) <= 1e-9 * fabs(want), "%s: %.12g", quantity[k],
                  got[k]);
        cr_expect(fabs(got[k] - printed) <=
                      half_digit(reference_text(t, i, "published")),
                  "%s: %.12g, printed %g", quantity[k], got[k], printed);
    }
    reference_free(t);
}

/* A small problem with an awkward spread of sizes, no two columns alike. */
enum { ROWS = 7, COLUMNS = 3 };

static const double rows[ROWS * COLUMNS] = {
    1.0, 2.385, -310.0, 1.0,  7.125, 45.5,  1.0,    -4.6, 803.25, 1.0,  0.31,
    0.0, 1.0,   12.75,  99.9, 1.0,   -3.33, -512.0, 1.0,  5.5,    268.0};
static const double values[ROWS] = {0.42, -1.375, 2.5, 0.061, 3.14, -0.77, 1.9};

Test(lsq, leaves_residuals_orthogonal_to_every_column)
{
    double coef[COLUMNS], residual[ROWS], sum_sq, sum = 0.0;

    cr_assert(bt_lsq_fit(ROWS, COLUMNS, rows, values, coef, NULL, residual, &sum_sq,
                         NULL) == BT_OK);
    for (size_t j = 0; j < COLUMNS; j++) {
        double dot = 0.0, size = 0.0;
        for (size_t i = 0; i < ROWS; i++) {
            dot += rows[i * COLUMNS + j] * residual[i];
            size += fabs(rows[i * COLUMNS + j] * residual[i]);
        }
        cr_expect(fabs(dot) <= 4e-16 * size, "column %zu: %g of %g", j, dot, size);
    }
    for (size_t i = 0; i < ROWS; i++) {
        double fitted = 0.0;
        for (size_t j = 0; j < COLUMNS; j++)
            fitted += rows[i * COLUMNS + j] * coef[j];
        cr_expect(fabs(values[i] - fitted - residual[i]) <= 1e-14);
        sum += residual[i] * residual[i];
    }
    cr_expect(fabs(sum - sum_sq) <= 1e-15 * sum);
}

Test(lsq, returns_exact_coefficients_and_no_residual_for_exact_data)
{
    static const double want[COLUMNS] = {2.5, -0.375, 0.0625};
    double y[ROWS], coef[COLUMNS], residual[ROWS];

    for (size_t i = 0; i < ROWS; i++) {
        const double *row = rows + i * COLUMNS;
        y[i] = want[0] + want[1] * row[1] + want[2] * row[2];
    }
    cr_assert(bt_lsq_fit(ROWS, COLUMNS, rows, y, coef, NULL, residual, NULL, NULL) ==
              BT_OK);
    for (size_t j = 0; j < COLUMNS; j++)
        cr_expect(fabs(coef[j] - want[j]) <= 1e-15 * fabs(want[j]), "%zu: %.17g", j,
                  coef[j]);
    for (size_t i = 0; i < ROWS; i++)
        cr_expect(fabs(residual[i]) <= 2e-14, "%zu: %g", i, residual[i]);
}

Test(lsq, scales_its_results_with_columns_and_values)
{
    double x[ROWS * COLUMNS], y[ROWS], plain[COLUMNS], scaled[COLUMNS];
    double cov[COLUMNS * COLUMNS], cov_scaled[COLUMNS * COLUMNS];
    static const double factor[COLUMNS] = {1e-9, 3e7, 1e150};

    for (size_t i = 0; i < ROWS; i++) {
        y[i] = 1e12 * values[i];
        for (size_t j = 0; j < COLUMNS; j++)
            x[i * COLUMNS + j] = factor[j] * rows[i * COLUMNS + j];
    }
    cr_assert(bt_lsq_fit(ROWS, COLUMNS, rows, values, plain, cov, NULL, NULL, NULL) ==
              BT_OK);
    cr_assert(bt_lsq_fit(ROWS, COLUMNS, x, y, scaled, cov_scaled, NULL, NULL, NULL) ==
              BT_OK);
    for (size_t j = 0; j < COLUMNS; j++) {
        double want = plain[j] * 1e12 / factor[j];
        cr_expect(fabs(scaled[j] - want) <= 1e-14 * fabs(want), "%zu", j);
        for (size_t k = 0; k < COLUMNS; k++) {
            want = cov[j * COLUMNS + k] / factor[j] / factor[k];
            cr_expect(fabs(cov_scaled[j * COLUMNS + k] - want) <= 1e-12 * fabs(want),
                      "%zu %zu", j, k);
        }
    }
}

Test(lsq, gives_a_covariance_that_is_the_inverse_of_the_normal_matrix)
{
    double coef[COLUMNS], cov[COLUMNS * COLUMNS];

    cr_assert(bt_lsq_fit(ROWS, COLUMNS, rows, values, coef, cov, NULL, NULL, NULL) ==
              BT_OK);
    for (size_t j = 0; j < COLUMNS; j++)
        for (size_t k = 0; k < COLUMNS; k++) {
            double got = 0.0, size = 0.0;
            for (size_t l = 0; l < COLUMNS; l++)
                for (size_t i = 0; i < ROWS; i++) {
                    double term = cov[j * COLUMNS + l] * rows[i * COLUMNS + l] *
                                  rows[i * COLUMNS + k];
                    got += term;
                    size += fabs(term);
                }
            cr_expect(fabs(got - (j == k ? 1.0 : 0.0)) <= 1e-14 * size, "%zu %zu: %g",
                      j, k, got);
            cr_expect(cov[j * COLUMNS + k] == cov[k * COLUMNS + j]);
        }
}

Test(lsq, keeps_its_result_when_rows_change_order)
{
    double x[ROWS * COLUMNS], y[ROWS], plain[COLUMNS], turned[COLUMNS];

    for (size_t i = 0; i < ROWS; i++) {
        memcpy(x + i * COLUMNS, rows + (ROWS - 1 - i) * COLUMNS, COLUMNS * sizeof *x);
        y[i] = values[ROWS - 1 - i];
    }
    cr_assert(bt_lsq_fit(ROWS, COLUMNS, rows, values, plain, NULL, NULL, NULL, NULL) ==
              BT_OK);
    cr_assert(bt_lsq_fit(ROWS, COLUMNS, x, y, turned, NULL, NULL, NULL, NULL) == BT_OK);
    for (size_t j = 0; j < COLUMNS; j++)
        cr_expect(fabs(turned[j] - plain[j]) <= 4e-16 * fabs(plain[j]));
}

Test(lsq, fits_as_many_unknowns_as_readings_without_residual)
{
    static const double x[4] = {1.0, 2.0, 1.0, 5.0}, y[2] = {3.0, -3.0};
    double coef[2], residual[2], sum_sq;

    cr_assert(bt_lsq_fit(2, 2, x, y, coef, NULL, residual, &sum_sq, NULL) == BT_OK);
    cr_expect(fabs(coef[0] - 7.0) <= 1e-14 && fabs(coef[1] + 2.0) <= 1e-14);
    cr_expect(fabs(residual[0]) <= 1e-18 && fabs(residual[1]) <= 1e-18);
    cr_expect(sum_sq <= 1e-36);
}

Test(lsq, gives_zero_coefficients_for_values_that_are_all_zero)
{
    static const double zero[ROWS];
    double coef[COLUMNS] = {1.0, 1.0, 1.0}, sum_sq = 1.0;

    cr_assert(bt_lsq_fit(ROWS, COLUMNS, rows, zero, coef, NULL, NULL, &sum_sq, NULL) ==
              BT_OK);
    for (size_t j = 0; j < COLUMNS; j++)
        cr_expect(coef[j] == 0.0);
    cr_expect(sum_sq == 0.0);
}

/* The allocation of a fit that fails, from 1; 0: none. */
static size_t failing_call;

/* Run a fit that must fail and check that no output changed. */
static void expect_refused(size_t n, size_t p, const double x[], const double y[],
                           enum bt_status status, size_t row, const char *message)
{
    double coef[COLUMNS] = {9.0, 9.0, 9.0}, cov[COLUMNS * COLUMNS] = {9.0};
    double residual[ROWS] = {9.0}, sum_sq = 9.0;
    struct bt_error err = {.code = BT_OK};

    memory_fail_at(failing_call);
    cr_expect(bt_lsq_fit(n, p, x, y, coef, cov, residual, &sum_sq, &err) == status);
    memory_fail_at(failing_call);
    cr_expect(bt_lsq_fit(n, p, x, y, coef, cov, residual, &sum_sq, NULL) == status);
    cr_expect(err.code == status);
    cr_expect(err.row == row, "row %zu", err.row);
    cr_expect_str_eq(err.message, message);
    cr_expect(coef[0] == 9.0 && coef[2] == 9.0 && cov[0] == 9.0 && residual[0] == 9.0 &&
              sum_sq == 9.0);
}

Test(lsq, refuses_fewer_readings_than_unknowns)
{
    expect_refused(2, 3, rows, values, BT_EINPUT, 2,
                   "2 readings are too few for 3 unknowns");
    expect_refused(0, 1, rows, values, BT_EINPUT, 0,
                   "0 readings are too few for 1 unknowns");
    expect_refused(7, 0, rows, values, BT_EINPUT, 0, "there is nothing to fit");
}

Test(lsq, refuses_numbers_that_are_not_finite)
{
    double x[ROWS * COLUMNS], y[ROWS];

    memcpy(x, rows, sizeof x);
    memcpy(y, values, sizeof y);
    y[5] = NAN;
    expect_refused(ROWS, COLUMNS, x, y, BT_EINPUT, 5,
                   "the value of row 6 is not a finite number");
    x[3 * COLUMNS + 2] = -INFINITY;
    expect_refused(ROWS, COLUMNS, x, y, BT_EINPUT, 3,
                   "row 4, column 3 is not a finite number");
}

Test(lsq, refuses_columns_that_depend_on_each_other)
{
    double x[ROWS * COLUMNS];

    memcpy(x, rows, sizeof x);
    for (size_t i = 0; i < ROWS; i++) /* thirds are not exact in binary */
        x[i * COLUMNS + 2] = x[i * COLUMNS] / 3.0 + x[i * COLUMNS + 1] / 7.0;
    expect_refused(ROWS, COLUMNS, x, values, BT_ESINGULAR, 1,
                   "column 2 of 3 follows from the others");
    for (size_t i = 0; i < ROWS; i++)
        x[i * COLUMNS + 2] = 0.0;
    expect_refused(ROWS, COLUMNS, x, values, BT_ESINGULAR, 2,
                   "column 3 of 3 follows from the others");
}

Test(lsq, refuses_results_that_no_number_holds)
{
    static const double x[2] = {1e-300, 2e-300}, y[2] = {1e300, 2e300};

    expect_refused(2, 1, x, y, BT_EINPUT, 0,
                   "the numbers are too large or too small to compute with");
}

Test(lsq, reports_each_allocation_that_fails)
{
    double coef[COLUMNS], cov[COLUMNS * COLUMNS];
    size_t needed;

    memory_fail_at(0);
    cr_assert(bt_lsq_fit(ROWS, COLUMNS, rows, values, coef, cov, NULL, NULL, NULL) ==
              BT_OK);
    needed = memory_calls();
    cr_assert(needed > 0);
    for (failing_call = 1; failing_call <= needed; failing_call++)
        expect_refused(ROWS, COLUMNS, rows, values, BT_ENOMEM, 0, "out of memory");
}
