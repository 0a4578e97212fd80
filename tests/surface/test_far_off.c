/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/surface/far_off.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>

#include "support/builder.h"
#include "support/memory.h"

Test(far_off, is_counted_from_the_median_in_median_absolute_deviations)
{
    /* median 3, deviations 2 1 0 1 97: their median 1 */
    const double residual[] = {1, 2, 3, 4, 100};
    struct bt_far_off far;

    cr_assert_eq(bt_far_off_find(5, residual, 0.001, &far), BT_OK);
    cr_expect_eq(far.middle, 3);
    cr_expect(fabs(far.limit - 12 * 1.482602218505602) <= 1e-12);
    cr_assert_eq(far.n, 1);
    cr_expect_eq(far.point[0], 4);
}

Test(far_off, of_an_even_number_takes_the_mean_of_the_two_in_the_middle)
{
    /* median 2.5, deviations 1.5 0.5 0.5 1.5: their median 1 */
    const double residual[] = {4, 1, 3, 2};
    struct bt_far_off far;

    cr_assert_eq(bt_far_off_find(4, residual, 0.001, &far), BT_OK);
    cr_expect_eq(far.middle, 2.5);
    cr_expect(fabs(far.limit - 12 * 1.482602218505602) <= 1e-12);
    cr_expect_eq(far.n, 0);
}

Test(far_off, is_not_measured_by_less_than_the_uncertainty)
{
    double residual[100] = {0};
    struct bt_far_off far;

    residual[40] = 0.11;
    residual[60] = -0.13;
    cr_assert_eq(bt_far_off_find(100, residual, 0.01, &far), BT_OK);
    cr_expect_eq(far.limit, 0.12);
    cr_assert_eq(far.n, 1);
    cr_expect_eq(far.point[0], 60);
}

Test(far_off, lists_the_first_twenty_and_counts_all)
{
    double residual[200];
    struct bt_far_off far;

    for (int i = 0; i < 200; i++)
        residual[i] = i % 4 == 2 ? 1e6 + i : 0.001 * (i % 7);
    cr_assert_eq(bt_far_off_find(200, residual, 0.01, &far), BT_OK);
    cr_assert_eq(far.n, 50);
    for (size_t k = 0; k < BT_FAR_OFF_SHOWN; k++)
        cr_expect_eq(far.point[k], 4 * k + 2);
}

Test(far_off, finds_nothing_in_noise_nor_in_the_form_of_a_panel)
{
    enum { N = 300000 };
    double *residual = calloc(N, sizeof *residual);
    struct bt_far_off far;
    unsigned long long seed = 5;

    for (size_t i = 0; i < N; i++)
        residual[i] = builder_normal(&seed);
    cr_assert_eq(bt_far_off_find(N, residual, 1e-6, &far), BT_OK);
    cr_expect_eq(far.n, 0);
    /* of 65,536 normal ones: median to 1.25/256, deviation to 1.17/256 of sigma, once
     */
    cr_expect(fabs(far.middle) <= 5 * 1.25 / 256);
    cr_expect(fabs(far.limit / 12 - 1) <= 5 * 1.17 / 256);
    for (size_t i = 0; i < N; i++) {
        const double x = (double)(i % 1000) / 500 - 1;
        residual[i] = x * x * x * x; /* most of it flat, the ends up */
    }
    cr_assert_eq(bt_far_off_find(N, residual, 1e-6, &far), BT_OK);
    cr_expect_eq(far.n, 0);
    residual[N - 1] = 12;
    cr_assert_eq(bt_far_off_find(N, residual, 1e-6, &far), BT_OK);
    cr_assert_eq(far.n, 1);
    cr_expect_eq(far.point[0], N - 1);
    free(residual);
}

Test(far_off, of_nothing_is_nothing)
{
    struct bt_far_off far = {.n = 7};

    cr_assert_eq(bt_far_off_find(0, NULL, 0.01, &far), BT_OK);
    cr_expect_eq(far.n, 0);
}

Test(far_off, without_memory_leaves_what_there_was)
{
    const double residual[] = {1, 2, 3};
    struct bt_far_off far = {.n = 7};

    memory_fail_at(1);
    cr_expect_eq(bt_far_off_find(3, residual, 0.01, &far), BT_ENOMEM);
    memory_fail_at(0);
    cr_expect_eq(far.n, 7);
}
