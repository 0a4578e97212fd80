/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Shares of the area, and the lower face in the frame of the upper. */
#include <criterion/criterion.h>
#include <gsl/gsl_errno.h>
#include <math.h>
#include <string.h>

#include "judge/nine.h"

static void quiet(void)
{
    gsl_set_error_handler_off();
}

TestSuite(removal_under, .init = quiet);

static void shares_refused(size_t n, const struct bt_point p[], struct bt_rectangle r,
                           size_t row, const char *message)
{
    struct bt_error err = {0};
    double share[2] = {7.0, 7.0};

    cr_expect_eq(bt_removal_shares(n, p, &r, share, &err), BT_EINPUT);
    cr_expect_str_eq(err.message, message);
    cr_expect_eq(err.row, row);
    cr_expect(share[0] == 7.0);
}

Test(removal_under, shares_are_the_areas_nearest_to_each_place)
{
    const struct nine s = square(hollow);
    const struct bt_rectangle r = {0.0, 0.0, 200.0, 200.0};
    const struct bt_point none[] = {{0.0, 0.0}, {NAN, 1.0}};
    const struct bt_point twice[] = {{150.0, 10.0}, {150.0, 10.0}};
    double share[NINE], sum = 0.0;

    cr_assert_eq(bt_removal_shares(NINE, s.p, &r, share, NULL), BT_OK);
    for (size_t i = 0; i < NINE; i++)
        sum += share[i];
    near(sum, 1.0, 1e-10, "sum");
    near(share[4], 0.25, 0.005, "middle");
    near(share[1], 0.125, 0.005, "side");
    near(share[0], 0.0625, 0.005, "corner");
    near(share[0], share[8], 1e-12, "both corners");
    cr_assert_eq(bt_removal_shares(2, twice, &r, share, NULL), BT_OK);
    near(share[0], 1.0, 1e-10, "first of two");
    near(share[1], 0.0, 0.0, "second of two");
    shares_refused(0, none, r, 0, "there is no place");
    shares_refused(2, none, r, 1, "place 2 is not two finite numbers");
    shares_refused(1, none, (struct bt_rectangle){0, 0, 0, 1}, 0,
                   "the rectangle has no area");
    shares_refused(1, none, (struct bt_rectangle){0, 0, 1, NAN}, 0,
                   "the rectangle has no area");
}

Test(removal_under, shares_of_scattered_places_are_those_of_a_plain_search)
{
    enum { N = 57, RASTER_X = 300, RASTER_Y = 200 };
    const struct bt_rectangle r = {0.0, 0.0, 300.0, 200.0};
    struct bt_point p[N];
    double share[N], want[N] = {0};

    for (size_t i = 0; i < N; i++)
        p[i] = (struct bt_point){fmod(97.31 * (double)i, 331.0) - 10.0,
                                 fmod(41.77 * (double)i, 200.0)};
    cr_assert_eq(bt_removal_shares(N, p, &r, share, NULL), BT_OK);
    for (size_t k = 0; k < RASTER_X * RASTER_Y; k++) {
        const double x = (double)(k % RASTER_X) + 0.5, y = (double)(k / RASTER_X) + 0.5;
        size_t best = 0;

        for (size_t i = 1; i < N; i++)
            if (hypot(p[i].x - x, p[i].y - y) < hypot(p[best].x - x, p[best].y - y))
                best = i;
        want[best] += 1.0 / (RASTER_X * RASTER_Y);
    }
    for (size_t i = 0; i < N; i++)
        cr_expect(fabs(share[i] - want[i]) <= 1e-9, "%zu: %g, want %g", i, share[i],
                  want[i]);
}

Test(removal_under, thickness_at_places_gives_the_underside_there)
{
    const struct nine s = square(hollow);
    const struct bt_removal_face top = face(&s);
    struct bt_removal_under under;
    struct bt_thickness_reading unknown = caliper[0];

    cr_assert_eq(bt_removal_underside(&top, 5, caliper, 3.0, &under, NULL), BT_OK);
    cr_assert_eq(under.n, 4);
    near(under.z[0], 1.0 - 24.0, 1e-12, "z");
    near(under.z[3], 1.0 - 23.9, 1e-12, "z");
    near(under.p[2].y, 200.0, 0.0, "place of the top");
    near(under.u[1], hypot(0.02, 0.05), 1e-15, "u");
    cr_expect_eq(under.from[3], 3);
    bt_removal_under_clear(&under);
    cr_expect(under.p == NULL && under.n == 0);
    unknown.u = NAN;
    cr_assert_eq(bt_removal_underside(&top, 1, &unknown, 3.0, &under, NULL), BT_OK);
    cr_expect(under.u == NULL);
    bt_removal_under_clear(&under);
    bt_removal_under_clear(NULL);
}

/* A panel is made, both faces are read over references of their own, and put together
 * again. */
Test(removal_under, the_second_face_comes_back_to_where_it_was)
{
    const struct nine s = square(hollow);
    const struct bt_removal_face top = face(&s);
    struct nine b = s;
    struct bt_removal_face bottom = face(&b);
    struct bt_removal_under under;
    double truth[NINE];

    for (size_t i = 0; i < NINE; i++)
        truth[i] = -24.0 + 0.1 * sin((double)i);
    for (size_t i = 0; i < NINE; i++) {
        /* Place i of the bottom as read is y mirrored, over a tilted reference. */
        const size_t above = 3 * (2 - i / 3) + i % 3;
        b.z[i] = -truth[above] + 7.0 + 0.002 * b.p[i].x - 0.004 * b.p[i].y;
    }
    struct bt_thickness_reading r[4];
    static const size_t at[] = {0, 2, 6, 4};
    for (size_t k = 0; k < 4; k++)
        r[k] =
            (struct bt_thickness_reading){s.p[at[k]], s.z[at[k]] - truth[at[k]], 0.05};
    cr_assert_eq(bt_removal_turned(&top, &bottom, 200.0, 3, r, 1.0, &under, NULL),
                 BT_OK);
    cr_expect(isnan(under.misfit));
    bt_removal_under_clear(&under);
    cr_assert_eq(bt_removal_turned(&top, &bottom, 200.0, 4, r, 1.0, &under, NULL),
                 BT_OK);
    near(under.misfit, 0.0, 1e-12, "misfit");
    for (size_t i = 0; i < NINE; i++) {
        const size_t above = 3 * (2 - i / 3) + i % 3;
        near(under.p[i].y, s.p[above].y, 0.0, "y");
        near(under.z[i], truth[above], 1e-12, "z");
        near(under.u[i], 0.02, 0.0, "u");
    }
    bt_removal_under_clear(&under);
    r[3].thickness += 0.3;
    cr_assert_eq(bt_removal_turned(&top, &bottom, 200.0, 4, r, 1.0, &under, NULL),
                 BT_OK);
    cr_expect(under.misfit > 0.1, "%g", under.misfit);
    bt_removal_under_clear(&under);
}

Test(removal_under, refuses_thickness_readings_that_tie_nothing)
{
    const struct nine s = square(hollow);
    const struct bt_removal_face top = face(&s);
    struct bt_thickness_reading r[3];
    struct bt_removal_under under = {.n = 7};
    struct bt_error err;
    static const char *const bad = "thickness 2 is not a finite place with a thickness "
                                   "above 0 and a u from 0 up";

    memcpy(r, caliper, sizeof r);
    r[1].thickness = NAN;
    cr_expect_eq(bt_removal_underside(&top, 3, r, 3.0, &under, &err), BT_EINPUT);
    cr_expect_str_eq(err.message, bad);
    cr_expect_eq(err.row, 1);
    r[1].thickness = 24.0;
    r[1].u = -1.0;
    cr_expect_eq(bt_removal_turned(&top, &top, 200.0, 3, r, 3.0, &under, &err),
                 BT_EINPUT);
    cr_expect_str_eq(err.message, bad);
    r[1].u = NAN;
    cr_expect_eq(bt_removal_turned(&top, &top, 0.0, 3, r, 3.0, &under, &err),
                 BT_EINPUT);
    cr_expect_str_eq(err.message, "the width is not a finite number above 0");
    cr_expect_eq(bt_removal_turned(&top, &top, 200.0, 2, r, 3.0, &under, &err),
                 BT_EINPUT);
    cr_expect_str_eq(
        err.message,
        "2 thickness readings lie at places of both faces, three would do");
    r[2].at = (struct bt_point){100.0, 0.0};
    r[1].at.y = 0.0;
    cr_expect_eq(bt_removal_turned(&top, &top, 200.0, 3, r, 3.0, &under, &err),
                 BT_ESINGULAR);
    cr_expect_str_eq(err.message, "the thickness readings lie on one line");
    cr_expect_eq(bt_removal_underside(&top, 3, r, NAN, &under, &err), BT_EINPUT);
    cr_expect_str_eq(
        err.message,
        "the distance of places that are one is not a finite number from 0 up");
    cr_expect_eq(bt_removal_underside(&top, 1, &caliper[4], 3.0, &under, &err),
                 BT_EINPUT);
    cr_expect_str_eq(err.message,
                     "no thickness was measured at a place of the top face");
    cr_expect_eq(under.n, 7);
}
