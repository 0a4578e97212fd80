/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>
#include <gsl/gsl_errno.h>
#include <math.h>
#include <string.h>

#include "benchtrue/judge/trend.h"
#include "benchtrue/wood/drying.h"
#include "support/builder.h"
#include "support/memory.h"

static void quiet_gsl(void)
{
    gsl_set_error_handler_off();
}

TestSuite(trend, .init = quiet_gsl);

static void near(double got, double want, double tol, const char *what)
{
    cr_expect(fabs(got - want) <= tol, "%s: got %.17g, want %.17g", what, got, want);
}

/* ---- the change ---- */

/* By hand: 1.62 - 2.05 = -0.43; u^2 = 0.03^2 + 0.04^2 + 0.12^2 = 0.0169, the shared
 * error moving the first by +0.08, the second by -0.04: u = 0.13. */
Test(trend, change_adds_what_each_set_has_and_the_difference_of_what_they_share)
{
    static const double first[] = {0.08}, second[] = {-0.04};
    const struct bt_trend_point from = {3, 2.05, 0.03, first};
    const struct bt_trend_point to = {10, 1.62, 0.04, second};
    struct bt_measured change = bt_trend_change(&from, &to, 1);

    cr_expect(change.seen);
    near(change.value, -0.43, 1e-14, "change");
    near(change.u, 0.13, 1e-14, "u");
    near(bt_trend_change(&from, &to, 0).u, 0.05, 1e-14, "nothing shared");
}

Test(trend, an_error_that_both_sets_share_alike_cancels)
{
    static const double same[] = {0.8, -0.3};
    const struct bt_trend_point from = {0, 1.385, 0.03, same};
    const struct bt_trend_point to = {7, 1.415, 0.04, same};

    near(bt_trend_change(&from, &to, 2).u, 0.05, 1e-14, "u");
}

Test(trend, a_change_with_nan_is_not_seen)
{
    static const double none[] = {NAN}, some[] = {0.02};
    const struct bt_trend_point good = {0, 1.385, 0.03, some};
    const struct bt_trend_point bad[] = {
        {7, NAN, 0.03, some}, {7, 1.2, NAN, some}, {7, 1.2, 0.03, none}};

    for (size_t i = 0; i < 3; i++) {
        struct bt_measured a = bt_trend_change(&good, &bad[i], 1);
        struct bt_measured b = bt_trend_change(&bad[i], &good, 1);

        cr_expect(!a.seen && isnan(a.value) && isnan(a.u), "%zu", i);
        cr_expect(!b.seen && isnan(b.value) && isnan(b.u), "%zu", i);
        cr_expect_eq(bt_trend_judge(&a, 1), BT_TREND_NOT_SEEN);
    }
}

/* ---- the verdict ---- */

Test(trend, verdicts_follow_the_rule_at_its_edges)
{
    static const struct {
        double value, u, matters;
        enum bt_trend_verdict verdict;
    } rows[] = {
        {0.25, 0.125, 1, BT_TREND_SETTLED}, /* exactly 2 u: not moved */
        {-0.2500001, 0.125, 1, BT_TREND_MOVED},
        {0.25, 0.125, 0.5,
         BT_TREND_CANNOT_TELL}, /* the sum is not under what matters */
        {-0.25, 0.125, 0.5000001, BT_TREND_SETTLED},
        {0.01, 0.004, 5, BT_TREND_MOVED}, /* seen, however little it matters */
        {0, 0, 0.3, BT_TREND_SETTLED},
        {0.1, 0.2, NAN, BT_TREND_CANNOT_TELL},
        {0.1, NAN, 0.3, BT_TREND_NOT_SEEN},
        {NAN, 0.1, 0.3, BT_TREND_NOT_SEEN},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const struct bt_measured change = {rows[i].value, rows[i].u, true};

        cr_expect_eq(bt_trend_judge(&change, rows[i].matters), rows[i].verdict,
                     "row %zu", i);
    }
}

Test(trend, verdicts_have_words)
{
    cr_expect_str_eq(bt_trend_verdict_text(BT_TREND_SETTLED), "settled");
    cr_expect_str_eq(bt_trend_verdict_text(BT_TREND_MOVED), "moved");
    cr_expect_str_eq(bt_trend_verdict_text(BT_TREND_CANNOT_TELL), "cannot tell");
    cr_expect_str_eq(bt_trend_verdict_text(BT_TREND_NOT_SEEN), "not seen");
    cr_expect_str_eq(bt_trend_verdict_text((enum bt_trend_verdict)9),
                     "unknown verdict");
}

/* ---- the approach to rest ---- */

enum { DAYS = 5 };
static const double day_of[DAYS] = {100, 102, 105, 109, 116};

/* Exact values of an approach to rest. */
static void exact(struct bt_trend_point point[DAYS], double end, double left,
                  double tau, double own)
{
    for (int i = 0; i < DAYS; i++)
        point[i] = (struct bt_trend_point){
            day_of[i], end - left * exp(-(day_of[i] - day_of[0]) / tau), own, NULL};
}

static struct bt_trend_rest fit(size_t n, const struct bt_trend_point point[],
                                size_t nshared, struct bt_trend_prior prior)
{
    struct bt_trend_rest rest = {0};
    struct bt_error err = {0};

    cr_assert_eq(bt_trend_fit(n, point, nshared, &prior, &rest, &err), BT_OK, "%s",
                 err.message);
    return rest;
}

Test(trend, exact_values_give_exact_parameters)
{
    struct bt_trend_point point[DAYS];
    struct bt_trend_rest rest;

    exact(point, 1.178, -1.206, 5.374, 0.02);
    /* where prior and readings agree, and where the prior says next to nothing */
    rest = fit(DAYS, point, 0, (struct bt_trend_prior){5.374, 0.348});
    near(rest.end, 1.178, 1e-12, "end");
    near(rest.left, -1.206, 1e-12, "left");
    near(rest.tau, 5.374, 1e-11, "tau");
    near(rest.chi2, 0, 1e-20, "chi2");
    near(rest.agreement, 1, 1e-12, "agreement");
    cr_expect_eq(rest.dof, 3);
    near(rest.day, 100, 0, "day");
    near(rest.last, 116, 0, "last");
    for (double prior = 1; prior < 100; prior *= 3) {
        exact(point, -0.417, 2.31, 7.3, 1e-4);
        rest = fit(DAYS, point, 0, (struct bt_trend_prior){prior, 1e3});
        near(rest.end, -0.417, 1e-9, "end, far prior");
        near(rest.left, 2.31, 1e-9, "left, far prior");
        near(rest.tau, 7.3, 1e-7, "tau, far prior");
    }
}

/*
 * Noise and errors shared between the sets, against scipy 1.10.1:
 * optimize.least_squares of the residuals whitened by the Cholesky factor of the whole
 * covariance (own^2 on the diagonal, plus shared shared^T), with the prior as one more
 * row; covariance from the slopes at the solution.  Invented data.
 */
Test(trend, correlated_readings_are_weighted_by_their_whole_covariance)
{
    static const double shared[DAYS][2] = {
        {0.030, 0.004}, {0.030, -0.006}, {0.012, 0}, {0.030, 0.004}, {0, 0.011}};
    static const double day[] = {0, 2, 5, 9, 16};
    static const double value[] = {2.385, 1.990, 1.652, 1.401, 1.244};
    static const double own[] = {0.021, 0.034, 0.018, 0.025, 0.022};
    static const double covariance[3][3] = {
        {0.001344596738, 0.001143986966, -0.002416032743},
        {0.001143986966, 0.001872493523, -0.002002876481},
        {-0.002416032743, -0.002002876481, 0.005851135175}};
    struct bt_trend_point point[DAYS];
    struct bt_trend_rest rest;

    for (int i = 0; i < DAYS; i++)
        point[i] = (struct bt_trend_point){day[i], value[i], own[i], shared[i]};
    rest = fit(DAYS, point, 2, (struct bt_trend_prior){8.3, 0.348});
    near(rest.end, 1.1782915427816165, 1e-8, "end");
    near(rest.left, -1.2059431931979152, 1e-8, "left");
    near(rest.tau, 5.374475084756774, 1e-7, "tau");
    near(rest.chi2, 1.83782656064915, 1e-10, "chi2");
    near(rest.agreement, 0.6067382494415279, 1e-9, "agreement");
    /* the solutions differ in their ninth digit, and with them the time constants */
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            near(rest.covariance[i][j], covariance[i][j], 1e-9, "covariance");
    near(bt_trend_end(&rest).u, 0.03666874334, 1e-8, "u of end");
}

/* A hollow of the straightedge that every set has: the curve is as sure as without, all
 * of it goes to where it ends. */
Test(trend, an_error_that_all_sets_share_leaves_the_movement_alone)
{
    static const double hollow[] = {0.2};
    struct bt_trend_point point[DAYS];
    struct bt_trend_rest with, without;

    exact(point, 0.9, -0.7, 6.1, 0.015);
    point[2].value += 0.02;
    without = fit(DAYS, point, 0, (struct bt_trend_prior){7, 0.348});
    for (int i = 0; i < DAYS; i++)
        point[i].shared = hollow;
    with = fit(DAYS, point, 1, (struct bt_trend_prior){7, 0.348});
    near(with.left, without.left, 1e-9, "left");
    near(with.tau, without.tau, 1e-8, "tau");
    near(bt_trend_left(&with, 116).u, bt_trend_left(&without, 116).u, 1e-10,
         "u of what is to come");
    near(bt_trend_end(&with).u, hypot(bt_trend_end(&without).u, 0.2), 1e-10,
         "u of end");
}

/*
 * A slab whose faces change at once, by the series of J. Crank, The Mathematics of
 * Diffusion (plane sheet, from memory): reference/checks.py, section 6, prints 0.2982
 * of the difference left at tau, 0.1097 at 2 tau, and tau 7.3 d for 25 mm and D 1e-10
 * m2/s. From tau on the series is one exponential to 2e-5 of the difference.
 */
Test(trend, a_drying_board_gives_back_its_time_constant_and_its_end)
{
    const double tau = 0.025 * 0.025 / (acos(-1) * acos(-1)) / 1e-10 / 86400;
    struct bt_trend_point point[4];
    struct bt_trend_rest rest;

    near(tau, 7.3, 0.05, "tau of the table");
    near(bt_drying_left(tau, tau), 0.2982, 5e-5, "left at tau");
    near(bt_drying_left(2 * tau, tau), 0.1097, 5e-5, "left at 2 tau");
    for (int i = 0; i < 4; i++) {
        const double day = tau * (1 + 0.5 * i);

        point[i] = (struct bt_trend_point){day, 0.35 + 2.4 * bt_drying_left(day, tau),
                                           0.003, NULL};
    }
    rest = fit(4, point, 0, (struct bt_trend_prior){13.3, 0.348});
    near(rest.tau, tau, 0.15, "tau"); /* the prior, far off, pulls a little */
    near(rest.end, 0.35, 0.01, "end");
    cr_expect(fabs(rest.end - 0.35) <= 2 * bt_trend_end(&rest).u);
    rest = fit(4, point, 0, (struct bt_trend_prior){13.3, 30});
    near(rest.tau, tau, 3e-3, "tau by the readings alone");
    near(rest.end, 0.35, 3e-4, "end by the readings alone");
}

Test(trend, curve_is_that_of_the_parameters_and_its_u_that_of_their_covariance)
{
    struct bt_trend_point point[DAYS];
    struct bt_trend_rest rest, moved;
    struct bt_measured at;
    double slope[3], square = 0;
    const double day = 107.5, h = 1e-6;

    exact(point, 1.178, -1.206, 5.374, 0.02);
    rest = fit(DAYS, point, 0, (struct bt_trend_prior){5.374, 0.348});
    at = bt_trend_value(&rest, day);
    near(at.value, 1.178 + 1.206 * exp(-7.5 / 5.374), 1e-11, "value");
    near(bt_trend_left(&rest, day).value, 1.178 - at.value, 1e-11, "left");
    for (int k = 0; k < 3; k++) {
        moved = rest;
        *(k == 0   ? &moved.end
          : k == 1 ? &moved.left
                   : &moved.tau) += k == 2 ? moved.tau * expm1(h) : h;
        slope[k] = (bt_trend_value(&moved, day).value - at.value) / h;
    }
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            square += slope[i] * rest.covariance[i][j] * slope[j];
    near(at.u, sqrt(square), 1e-7, "u");
}

Test(trend, far_days_keep_their_digits)
{
    struct bt_trend_point point[DAYS];
    struct bt_trend_rest rest;

    /* a thin shelf, read again after ten years */
    exact(point, 0.4, -0.9, 1.1, 0.02);
    point[4].day = 100 + 3652;
    point[4].value = 0.4;
    rest = fit(DAYS, point, 0, (struct bt_trend_prior){1.1, 0.348});
    near(rest.end, 0.4, 1e-10, "end");
    near(bt_trend_left(&rest, rest.last).value, 0, 1e-300, "left");
    near(bt_trend_value(&rest, 1e5).value, 0.4, 1e-10, "value");
    cr_expect(bt_trend_value(&rest, 1e5).u > 0);
}

/* Panels whose time constant is drawn from what is known beforehand, readings of u
 * 0.02 mm: 95 % of 1000 within three of its own standard errors below, and not so rare
 * that the band would be far too wide. */
Test(trend, the_end_lies_within_its_95_percent_as_often_as_that_says)
{
    static const double span[] = {0.5, 1, 2, 4};
    static const struct bt_trend_prior prior = {13.4, 0.348};
    unsigned long long seed = 20260309;

    for (size_t k = 0; k < sizeof span / sizeof *span; k++) {
        int held = 0;

        for (int draw = 0; draw < 1000; draw++) {
            const double tau = 13.4 * exp(0.348 * builder_normal(&seed));
            struct bt_trend_point point[4];
            struct bt_measured end;
            struct bt_trend_rest rest;

            for (int i = 0; i < 4; i++) {
                const double day = span[k] * 13.4 * i / 3;

                point[i] = (struct bt_trend_point){
                    day, -0.4 - 0.8 * exp(-day / tau) + 0.02 * builder_normal(&seed),
                    0.02, NULL};
            }
            rest = fit(4, point, 0, prior);
            end = bt_trend_end(&rest);
            held += fabs(end.value - -0.4) <= 1.96 * end.u;
        }
        cr_expect(held >= 929 && held <= 985, "over %g tau: %d of 1000", span[k], held);
    }
}

Test(trend, unseen_readings_are_passed_over)
{
    struct bt_trend_point point[DAYS + 1];
    struct bt_trend_rest rest;

    exact(point, 1.178, -1.206, 5.374, 0.02);
    point[DAYS] = point[1];
    point[1] = (struct bt_trend_point){101, NAN, NAN, NULL};
    rest = fit(DAYS + 1, point, 0, (struct bt_trend_prior){5.374, 0.348});
    near(rest.tau, 5.374, 1e-10, "tau");
    cr_expect_eq(rest.dof, DAYS - 2);
}

/* ln(0.9/0.05) = 2.89; over 3 time constants it is cut; under `within` it is tomorrow.
 */
Test(trend, waits_until_what_is_to_come_falls_under_what_a_reading_sees)
{
    const struct bt_trend_rest rest = {
        .day = 100, .last = 100, .end = 1, .left = -0.9, .tau = 6};

    near(bt_trend_wait(&rest, 0.05), 6 * log(18), 1e-12, "wait");
    near(bt_trend_wait(&rest, 0.01), 18, 1e-12, "cut");
    near(bt_trend_wait(&rest, 0.89), 1, 0, "a day at least");
    near(bt_trend_wait(&rest, 2), 1, 0, "tomorrow");
    cr_expect(isnan(bt_trend_wait(&rest, 0)));
    cr_expect(isnan(bt_trend_wait(&rest, NAN)));
}

/* ---- what is refused ---- */

static void refused(size_t n, const struct bt_trend_point point[], size_t nshared,
                    struct bt_trend_prior prior, enum bt_status status, size_t row,
                    const char *message)
{
    struct bt_trend_rest rest = {.tau = 42};
    struct bt_error err = {0};

    cr_expect_eq(bt_trend_fit(n, point, nshared, &prior, &rest, &err), status, "%s",
                 message);
    cr_expect_str_eq(err.message, message);
    cr_expect_eq(err.row, row, "%s: row %zu", message, err.row);
    near(rest.tau, 42, 0, "untouched");
    cr_expect_eq(bt_trend_fit(n, point, nshared, &prior, &rest, NULL), status);
}

Test(trend, refuses_what_it_cannot_use)
{
    static const struct bt_trend_prior good = {7, 0.348};
    static const char few[] =
        "an approach to rest needs readings of three days or more";
    static const char u[] = "an uncertainty is not over 0";
    static const char value[] = "a value or a day is not finite";
    static const char tau[] = "the time constant and its u must be over 0";
    static const double fine[] = {0.01}, nan[] = {NAN};
    struct bt_trend_point point[DAYS];

    exact(point, 1, -1, 5, 0.02);
    refused(0, point, 0, good, BT_EINPUT, 0, few);
    refused(2, point, 0, good, BT_EINPUT, 0, few);
    point[3].day = point[1].day;
    point[4].day = point[1].day;
    point[0].value = NAN;
    refused(DAYS, point, 0, good, BT_EINPUT, 0, few);
    exact(point, 1, -1, 5, 0.02);
    point[2].own = 0;
    refused(DAYS, point, 0, good, BT_EINPUT, 2, u);
    point[2].own = NAN;
    refused(DAYS, point, 0, good, BT_EINPUT, 2, u);
    point[2].own = INFINITY;
    refused(DAYS, point, 0, good, BT_EINPUT, 2, u);
    exact(point, 1, -1, 5, 0.02);
    point[1].value = INFINITY;
    refused(DAYS, point, 0, good, BT_EINPUT, 1, value);
    exact(point, 1, -1, 5, 0.02);
    point[4].day = NAN;
    refused(DAYS, point, 0, good, BT_EINPUT, 4, value);
    exact(point, 1, -1, 5, 0.02);
    for (int i = 0; i < DAYS; i++)
        point[i].shared = i == 3 ? nan : fine;
    refused(DAYS, point, 1, good, BT_EINPUT, 3, "a shared error is not finite");
    for (size_t i = 0; i < 4; i++) {
        const double bad[] = {0, -1, NAN, INFINITY};

        refused(DAYS, point, 0, (struct bt_trend_prior){bad[i], 0.3}, BT_EINPUT, 0,
                tau);
        refused(DAYS, point, 0, (struct bt_trend_prior){7, bad[i]}, BT_EINPUT, 0, tau);
    }
}

Test(trend, readings_of_one_hour_do_not_tell_an_end)
{
    struct bt_trend_point point[3];

    for (int i = 0; i < 3; i++)
        point[i] = (struct bt_trend_point){1e-13 * i, 1.2 + 0.01 * i, 0.02, NULL};
    refused(3, point, 0, (struct bt_trend_prior){20, 0.348}, BT_ESINGULAR, 0,
            "the readings are too close together in time to tell where they end");
}

Test(trend, fails_cleanly_at_every_allocation)
{
    static const struct bt_trend_prior prior = {5.374, 0.348};
    struct bt_trend_point point[DAYS];
    struct bt_trend_rest rest;
    struct bt_error err;
    enum bt_status status = BT_ENOMEM;
    const size_t before = memory_live();
    size_t k;

    exact(point, 1.178, -1.206, 5.374, 0.02);
    for (k = 1; status != BT_OK; k++) {
        memory_fail_at(k);
        status = bt_trend_fit(DAYS, point, 0, &prior, &rest, &err);
        cr_assert(status == BT_OK || status == BT_ENOMEM, "call %zu: %d", k,
                  (int)status);
        if (status == BT_ENOMEM)
            cr_expect_str_eq(err.message, "out of memory");
        cr_assert_eq(memory_live(), before, "call %zu leaked", k);
    }
    memory_fail_at(0);
    cr_expect_gt(k, 4);
}
