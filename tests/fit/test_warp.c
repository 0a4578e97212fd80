/* SPDX-License-Identifier: GPL-3.0-or-later */

/* What has to come off a warped face, against the minimum zone of a dense grid. */
#include <criterion/criterion.h>

#include <math.h>

#include "benchtrue/fit/warp.h"
#include "benchtrue/surface/zone.h"

/* Fine enough that a place between two knots is missed by less than 2e-4 of the
 * curves: (1/80)^2. */
enum { SIDE = 81 };

static double height(const struct bt_warp *w, double a, double b)
{
    return -w->bow * a * a - w->cup * b * b + w->twist / 4 * a * b;
}

/* The least width of two planes that hold the part x0..x1, y0..y1 (shares of the
 * board), tilts free: vertical, since slopes of a board change nothing. */
static double zone_of_grid(const struct bt_warp *w, double x0, double x1, double y0,
                           double y1)
{
    static struct bt_point p[SIDE * SIDE];
    static double z[SIDE * SIDE];
    struct bt_error err = {0};
    struct bt_zone zone;

    for (int i = 0; i < SIDE * SIDE; i++) {
        const double x = x0 + (x1 - x0) * (i % SIDE) / (SIDE - 1),
                     y = y0 + (y1 - y0) * (i / SIDE) / (SIDE - 1);

        p[i] = (struct bt_point){1000 * x, 200 * y};
        z[i] = height(w, 2 * x - 1, 2 * y - 1) + 3 * x - 2 * y;
    }
    cr_assert_eq(bt_zone_fit(SIDE * SIDE, p, z, &zone, &err), BT_OK, "%s", err.message);
    return zone.vertical;
}

static const struct bt_warp shapes[] = {
    {4, 0, 0},    {0, 2.385, 0}, {0, 0, 3},    {4, 2, 0},     {4, -2, 0},
    {4, 2, 3},    {4, -2, 3},    {1, 0.5, 12}, {1, -0.5, 12}, {0.3, 2, -5},
    {-0.3, 2, 5}, {6, 0.1, 2},   {6, -0.1, 2}, {0, 2, 5},     {5, 0, 5},
};
enum { SHAPES = sizeof shapes / sizeof *shapes };

Test(warp, zone_is_that_of_a_dense_grid_with_tilts_free)
{
    for (int i = 0; i < SHAPES; i++) {
        const double want = zone_of_grid(&shapes[i], 0, 1, 0, 1),
                     got = bt_warp_zone(&shapes[i]);

        /* a grid never sees more than there is */
        cr_expect(got >= want - 1e-9 && got <= want + 4e-4 * got,
                  "shape %d: %.9g, of the grid %.9g", i, got, want);
    }
}

Test(warp, a_part_has_the_same_zone_wherever_it_is_taken_from)
{
    static const double starts[] = {0, 0.2, 0.6};

    for (int i = 0; i < SHAPES; i++)
        for (int k = 0; k < 3; k++) {
            const double x = starts[k], y = starts[2 - k];
            const struct bt_warp part = bt_warp_part(&shapes[i], 0.4, 0.3);
            const double want = zone_of_grid(&shapes[i], x, x + 0.4, y, y + 0.3),
                         got = bt_warp_zone(&part);

            cr_expect(got >= want - 1e-9 && got <= want + 4e-4 * got,
                      "shape %d at %g: %.9g, of the grid %.9g", i, x, got, want);
        }
}

/* By hand: bow alone B, cup alone C, twist alone T/2 (corners at T/4 up and down), bow
 * and cup together B + C; half of a bowed board has a quarter of its bow, a strip of a
 * third of a cupped one a ninth, half of a twisted one half its twist. */
Test(warp, single_shapes_are_those_reckoned_by_hand)
{
    static const struct {
        struct bt_warp warp;
        double length, width, want;
    } rows[] = {
        {{4, 0, 0}, 1, 1, 4},       {{0, 3, 0}, 1, 1, 3},
        {{0, 0, 6}, 1, 1, 3},       {{4, 3, 0}, 1, 1, 7},
        {{4, NAN, NAN}, 0.5, 1, 1}, {{0, 9, 0}, 1, 1.0 / 3, 1},
        {{0, 0, 6}, 0.5, 1, 1.5},   {{0, 0, 0}, 1, 1, 0},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const struct bt_warp none = {NAN, NAN, NAN};
        const struct bt_measured got =
            bt_warp_part_zone(&rows[i].warp, &none, rows[i].length, rows[i].width);

        cr_expect(fabs(got.value - rows[i].want) <= 1e-12, "row %zu: %g", i, got.value);
        cr_expect(got.u == 0);
    }
}

/* Sizes from 0.1 to 10 in steps of a half more, in every combination of signs. */
Test(warp, where_only_sizes_are_known_the_worst_of_all_signs_counts)
{
    enum { STEPS = 12 };

    for (int i = 0; i < STEPS * STEPS * STEPS; i++) {
        const struct bt_warp size = {0.1 * pow(1.5, i % STEPS),
                                     0.1 * pow(1.5, i / STEPS % STEPS),
                                     0.1 * pow(1.5, i / STEPS / STEPS)};
        double most = 0;

        for (int sign = 0; sign < 8; sign++) {
            const struct bt_warp w = {sign & 1 ? -size.bow : size.bow,
                                      sign & 2 ? -size.cup : size.cup,
                                      sign & 4 ? -size.twist : size.twist};

            most = fmax(most, bt_warp_zone(&w));
            cr_expect(fabs(bt_warp_zone_most(&w) - bt_warp_zone_most(&size)) <= 1e-12);
        }
        cr_expect(fabs(most - bt_warp_zone_most(&size)) <= 1e-12 * most);
    }
}

/* By hand: d(B + C)/dB is 1, of the twist 1/2, on half of the length 1/4 of the bow's,
 * 1/2 of the twist's. */
Test(warp, uncertainty_is_carried_to_the_first_order)
{
    const struct bt_warp bow = {4, 0, 0}, all = {4, 2, 1}, u = {0.3, 0.4, 0.2};
    const struct bt_warp only_bow = {0.3, NAN, NAN};
    struct bt_measured got = bt_warp_part_zone(&bow, &only_bow, 1, 1);

    cr_expect(fabs(got.u - 0.3) <= 1e-9, "%g", got.u);
    got = bt_warp_part_zone(&bow, &only_bow, 0.5, 1);
    cr_expect(fabs(got.u - 0.075) <= 1e-9, "%g", got.u);
    /* on one face B + C + T/4, as 4 B C >= (T/4)^2; the twist counts a quarter */
    got = bt_warp_part_zone(&all, &u, 1, 1);
    cr_expect(fabs(got.value - 6.25) <= 1e-12);
    cr_expect(fabs(got.u - sqrt(0.09 + 0.16 + 0.0025)) <= 1e-6, "%g", got.u);
}

Test(warp, a_size_of_nought_that_is_not_sure_counts)
{
    const struct bt_warp flat = {0, 0, 0}, u = {0.3, 0.4, 0};

    cr_expect(fabs(bt_warp_part_zone(&flat, &u, 1, 1).u - 0.5) <= 1e-9);
}
