/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "joint/fence_fit.h"

#include <criterion/criterion.h>
#include <gsl/gsl_cdf.h>
#include <gsl/gsl_errno.h>
#include <math.h>
#include <string.h>

#include "support/reference.h"

static void quiet_gsl(void)
{
    gsl_set_error_handler_off();
}

TestSuite(fence_fit, .init = quiet_gsl);

enum { MOST = 20 };

/* The data rows of an example; lever = place - origin where a place is given. */
static size_t load(const char *example, double origin, struct bt_fence_row row[])
{
    struct reference *t = reference_load("metrology/random_effects.csv");
    size_t n = 0;

    for (size_t i = 0; i < reference_rows(t); i++) {
        if (strcmp(reference_text(t, i, "example"), example) != 0 ||
            strcmp(reference_text(t, i, "row"), "data") != 0)
            continue;
        cr_assert(n < MOST);
        row[n] = (struct bt_fence_row){.y = reference_number(t, i, "value"),
                                       .u = sqrt(reference_number(t, i, "variance")),
                                       .instrument = -1,
                                       .station = n};
        if (!reference_empty(t, i, "place"))
            row[n].lever = reference_number(t, i, "place") - origin;
        n++;
    }
    reference_free(t);
    return n;
}

static double result(const char *example, const char *name, const char *column)
{
    struct reference *t = reference_load("metrology/random_effects.csv");
    size_t i = 0;
    double value;

    while (i = reference_find(t, "name", name, i),
           strcmp(reference_text(t, i, "example"), example) != 0)
        i++;
    value = reference_number(t, i, column);
    reference_free(t);
    return value;
}

/* The other program stops its search for tau^2 at 1e-12 or so of it. */
static void expect_result(const char *example, const char *name, double got)
{
    double want = result(example, name, "recomputed");

    cr_expect(fabs(got - want) <= 2e-11 * fabs(want), "%s, %s: %.15g, not %.15g",
              example, name, got, want);
}

Test(fence_fit, a_published_comparison_of_nine_laboratories_is_reproduced)
{
    struct bt_fence_row row[MOST];
    struct bt_fence_model model = {load("kacker_2004", 0, row), row, 0, false};
    struct bt_fence_room room;
    struct bt_fence_fit fit;
    double tau2;

    model.nstation = model.n;
    cr_assert_eq(model.n, 9);
    cr_assert(bt_fence_room_alloc(&room, model.n));
    cr_assert(bt_fence_tau2(&model, &room, &tau2));
    /* printed with four digits */
    cr_expect(fabs(sqrt(tau2) - result("kacker_2004", "tau", "published")) <= 0.5e-4);
    expect_result("kacker_2004", "tau", sqrt(tau2));
    cr_assert(bt_fence_fit(&model, tau2, &room, &fit));
    expect_result("kacker_2004", "mean", fit.e);
    expect_result("kacker_2004", "u of mean", sqrt(fit.var_e));
    cr_expect(fabs(fit.q - 8) <= 1e-10, "%.15g", fit.q);
    cr_expect(fabs(bt_fence_enlarge(&fit) - 1) <= 1e-11);
    cr_assert(bt_fence_fit(&model, 0, &room, &fit));
    expect_result("kacker_2004", "chi2", fit.q);
    expect_result("kacker_2004", "chi2 p", gsl_cdf_chisq_Q(fit.q, (double)fit.dof));
    bt_fence_room_free(&room);
}

/* DerSimonian and Laird 1986 is the first step from 0 of the search for tau^2: closed
 * form from Q(0), which checks that Q and the weights are theirs. */
Test(fence_fit, q_without_scatter_gives_the_closed_form_of_dersimonian_and_laird)
{
    struct bt_fence_row row[MOST];
    struct bt_fence_model model = {load("kacker_2004", 0, row), row, 9, false};
    struct bt_fence_room room;
    struct bt_fence_fit fit;
    double w1 = 0, w2 = 0;

    cr_assert(bt_fence_room_alloc(&room, model.n));
    cr_assert(bt_fence_fit(&model, 0, &room, &fit));
    for (size_t i = 0; i < model.n; i++) {
        double w = 1 / (row[i].u * row[i].u);
        w1 += w;
        w2 += w * w;
    }
    expect_result("kacker_2004", "tau of DerSimonian and Laird",
                  sqrt((fit.q - 8) / (w1 - w2 / w1)));
    bt_fence_room_free(&room);
}

Test(fence_fit, thirteen_published_trials_give_the_scatter_that_another_program_finds)
{
    struct bt_fence_row row[MOST];
    struct bt_fence_model model = {load("bcg", 33, row), row, 13, false};
    struct bt_fence_room room;
    struct bt_fence_fit fit;
    double tau2;

    cr_assert_eq(model.n, 13);
    cr_assert(bt_fence_room_alloc(&room, model.n));
    cr_assert(bt_fence_tau2(&model, &room, &tau2));
    expect_result("bcg", "tau2", tau2);
    cr_assert(bt_fence_fit(&model, tau2, &room, &fit));
    expect_result("bcg", "mean", fit.e);
    expect_result("bcg", "u of mean", sqrt(fit.var_e));
    cr_assert(bt_fence_fit(&model, 0, &room, &fit));
    expect_result("bcg", "chi2", fit.q);
    bt_fence_room_free(&room);
}

Test(fence_fit, a_slope_over_the_same_trials_is_what_another_program_finds)
{
    struct bt_fence_row row[MOST];
    struct bt_fence_model model = {load("bcg", 33, row), row, 13, true};
    struct bt_fence_room room;
    struct bt_fence_fit fit;
    double tau2, score;
    size_t worst;

    cr_assert(bt_fence_room_alloc(&room, model.n));
    cr_assert(bt_fence_tau2(&model, &room, &tau2));
    expect_result("bcg", "tau2 with slope", tau2);
    cr_assert(bt_fence_fit(&model, tau2, &room, &fit));
    expect_result("bcg", "mean at 33 degrees", fit.e);
    expect_result("bcg", "slope", fit.slope);
    expect_result("bcg", "u of mean at 33 degrees", sqrt(fit.var_e));
    expect_result("bcg", "u of slope", sqrt(fit.var_slope));
    cr_assert(bt_fence_fit(&model, 0, &room, &fit));
    cr_expect_eq(fit.dof, 11);
    expect_result("bcg", "chi2 with slope", fit.q);
    expect_result("bcg", "chi2 p with slope", gsl_cdf_chisq_Q(fit.q, (double)fit.dof));
    cr_assert(bt_fence_worst(&model, &room, &worst, &score));
    cr_expect_eq(worst, 6);
    expect_result("bcg", "worst score with slope", score);
    bt_fence_room_free(&room);
}

/* Stations of equal checks: their means are what Mandel and Paule combine, with u/sqrt
 * of the number; what the checks of a station differ among themselves is no scatter. */
Test(fence_fit, several_checks_a_station_count_as_their_mean)
{
    static const double mean[] = {1.5, 2.75, 2.25, 3.125};
    static const double apart[] = {0.05, -0.02, -0.03};
    struct bt_fence_row row[MOST], one[4];
    struct bt_fence_model all = {12, row, 4, false}, means = {4, one, 4, false};
    struct bt_fence_room room;
    struct bt_fence_fit fit, fit_means;
    double tau2, tau2_means;

    for (size_t s = 0; s < 4; s++) {
        for (size_t k = 0; k < 3; k++)
            row[3 * s + k] = (struct bt_fence_row){
                .y = mean[s] + apart[k], .u = 0.3, .instrument = -1, .station = s};
        one[s] = (struct bt_fence_row){
            .y = mean[s], .u = 0.3 / sqrt(3), .instrument = -1, .station = s};
    }
    cr_assert(bt_fence_room_alloc(&room, 12));
    cr_assert(bt_fence_tau2(&all, &room, &tau2));
    cr_assert(bt_fence_tau2(&means, &room, &tau2_means));
    cr_expect(tau2 > 0.1);
    cr_expect(fabs(tau2 - tau2_means) <= 1e-12, "%.15g, not %.15g", tau2, tau2_means);
    cr_assert(bt_fence_fit(&all, tau2, &room, &fit));
    cr_assert(bt_fence_fit(&means, tau2, &room, &fit_means));
    cr_expect(fabs(fit.e - fit_means.e) <= 1e-13);
    cr_expect(fabs(fit.var_e - fit_means.var_e) <= 1e-13);
    bt_fence_room_free(&room);
}

Test(fence_fit, scatter_is_not_known_with_as_many_unknowns_as_stations)
{
    struct bt_fence_row row[] = {{1, 0.1, 0, -1, -1, 0}, {2, 0.1, 0, 1, -1, 1}};
    struct bt_fence_model model = {2, row, 2, true};
    struct bt_fence_room room;
    double tau2 = 1;

    cr_assert(bt_fence_room_alloc(&room, 2));
    cr_expect(bt_fence_tau2(&model, &room, &tau2) && isnan(tau2));
    model.slope = false;
    cr_expect(bt_fence_tau2(&model, &room, &tau2));
    /* 1/2 (1 - 2)^2 / (0.01 + tau^2) = 1 */
    cr_expect(fabs(tau2 - 0.49) <= 1e-14, "%.15g", tau2);
    bt_fence_room_free(&room);
}
