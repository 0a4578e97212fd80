/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>

#include <math.h>

#include "draw/panel.h"
#include "draw/peaks.h"

static struct panel panel;

static double hill(double x, double y, double x0, double y0)
{
    return exp(-((x - x0) * (x - x0) + (y - y0) * (y - y0)) / 6400);
}

/* Hills of 0.9, 0.6 and 0.3 on a floor of -0.2. */
static double three_hills(double x, double y)
{
    return 0.9 * hill(x, y, 600, 200) + 0.6 * hill(x, y, 200, 300) +
           0.3 * hill(x, y, 200, 100) - 0.2;
}

static double flat(double x, double y)
{
    (void)x;
    (void)y;
    return 0.5;
}

static double dome_below(double x, double y)
{
    return hill(x, y, 400, 200) - 2;
}

static size_t find(panel_height *f, double least, struct peak peak[PEAKS_MAX],
                   struct bt_point at[PEAKS_MAX])
{
    const struct mesh_options options = {.same = 3, .fine = 50};
    struct mesh m;
    size_t count;

    panel_grid(&panel, 17, 9, f);
    cr_assert_eq(mesh_build(17 * 9, panel.point, panel.z, &options, &m, NULL), BT_OK);
    cr_assert_eq(peaks_find(&m, least, peak, &count, NULL), BT_OK);
    for (size_t i = 0; i < count; i++)
        at[i] = m.p[peak[i].corner];
    mesh_clear(&m);
    return count;
}

Test(peaks, are_found_highest_first)
{
    struct peak peak[PEAKS_MAX];
    struct bt_point at[PEAKS_MAX];
    size_t n = find(three_hills, 0.05, peak, at);

    cr_assert_eq(n, 3);
    cr_expect(fabs(at[0].x - 600) <= 1e-9 && fabs(at[0].y - 200) <= 1e-9);
    cr_expect(fabs(at[1].x - 200) <= 1e-9 && fabs(at[1].y - 300) <= 1e-9);
    cr_expect(fabs(at[2].x - 200) <= 1e-9 && fabs(at[2].y - 100) <= 1e-9);
    cr_expect(isinf(peak[0].drop), "no way leads higher");
    /* The way down from 0.9 hill(...) to the floor between them. */
    cr_expect_lt(peak[1].drop, 0.8);
    cr_expect_gt(peak[1].drop, 0.5);
}

Test(peaks, that_stand_out_less_than_asked_are_left_out)
{
    struct peak peak[PEAKS_MAX];
    struct bt_point at[PEAKS_MAX];

    cr_expect_eq(find(three_hills, 0.4, peak, at), 2);
    cr_expect_eq(find(three_hills, 0.9, peak, at), 1);
}

Test(peaks, of_a_level_surface_are_one)
{
    struct peak peak[PEAKS_MAX];
    struct bt_point at[PEAKS_MAX];

    cr_expect_eq(find(flat, 0, peak, at), 1);
}

Test(peaks, below_the_mean_plane_are_not_to_be_planed)
{
    struct peak peak[PEAKS_MAX];
    struct bt_point at[PEAKS_MAX];

    cr_expect_eq(find(dome_below, 0.1, peak, at), 0);
}
