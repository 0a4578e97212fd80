/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>

#include <math.h>

#include "draw/panel.h"
#include "draw/profile.h"

static struct panel panel;

static double hollow(double x, double y)
{
    (void)y;
    return (x - 400) * (x - 400) / 160000;
}

static double tilted(double x, double y)
{
    return 0.002 * x - 0.003 * y + 0.7;
}

static void gather(struct profiles *out)
{
    *out = (struct profiles){0};
    cr_assert_eq(profiles_gather(&panel.input, out, NULL), BT_OK);
}

Test(profile, hull_skips_hollows_and_points_on_it)
{
    const struct profile_place place[] = {{0, 1, 0},  {1, 0.2, 1}, {2, 1, 2},
                                          {3, 1, 3},  {4, 0.9, 4}, {5, 0, 5},
                                          {7, 0.4, 6}};
    size_t hull[7], n = profile_hull(7, place, hull);

    cr_assert_eq(n, 4);
    cr_expect_eq(hull[0], 0);
    cr_expect_eq(hull[1], 3);
    cr_expect_eq(hull[2], 4);
    cr_expect_eq(hull[3], 6);
}

/* From (0, 1) to (6, 0.4) the edge stands at 0.6 over 4, where the surface is at 0.1.
 */
Test(profile, gap_is_edge_minus_surface)
{
    const struct profile_place place[] = {
        {0, 1, 0}, {1, 0.7, 1}, {4, 0.1, 2}, {6, 0.4, 3}};
    struct profile p = {0};
    size_t hull[4], n = profile_hull(4, place, hull);

    profile_gap(4, place, n, hull, &p);
    cr_expect(fabs(p.gap - 0.5) <= 1e-12);
    cr_expect_eq(p.left, 0);
    cr_expect_eq(p.right, 3);
    cr_expect_eq(p.deepest, 2);
}

Test(profile, rows_and_columns_of_a_grid_are_lines)
{
    struct profiles all;

    panel_grid(&panel, 9, 5, hollow);
    gather(&all);
    cr_assert_eq(all.n, 14);
    for (size_t k = 0; k < 5; k++) {
        cr_expect_eq(all.profile[k].count, 9);
        cr_expect(fabs(all.profile[k].gap - 1) <= 1e-12);
        cr_expect_eq(all.profile[k].deepest, 4);
    }
    for (size_t k = 5; k < 14; k++)
        cr_expect(fabs(all.profile[k].gap) <= 1e-12);
    profiles_clear(&all);
}

Test(profile, of_a_plane_has_no_gap)
{
    struct profiles all;

    panel_grid(&panel, 4, 3, tilted);
    gather(&all);
    for (size_t k = 0; k < all.n; k++)
        cr_expect(fabs(all.profile[k].gap) <= 1e-12);
    profiles_clear(&all);
}

Test(profile, placements_come_before_everything_else_and_alone)
{
    const size_t diagonal[] = {0, 22, 44}, back[] = {8, 4, 0};
    const double gap[] = {0, 0.3, 0};
    struct profiles all;

    panel_grid(&panel, 9, 5, hollow);
    panel_edge(&panel, 3, diagonal, gap);
    panel_edge(&panel, 3, back, gap);
    gather(&all);
    cr_assert_eq(all.n, 2);
    cr_expect(fabs(all.profile[0].gap - 1) <= 1e-12, "the adjusted heights count");
    cr_expect(fabs(all.profile[0].to.x - 800) <= 0);
    cr_expect(fabs(all.profile[1].from.x) <= 0, "from left to right");
    cr_expect(fabs(all.place[all.profile[1].start + 2].s - 800) <= 1e-9);
    profiles_clear(&all);
}

Test(profile, where_heights_are_not_seen_shows_the_gaps_as_read)
{
    const size_t diagonal[] = {0, 22, 44};
    const double gap[] = {0.1, 0.4, 0.1};
    struct profiles all;

    panel_grid(&panel, 9, 5, hollow);
    panel_edge(&panel, 3, diagonal, gap);
    panel.z[22] = NAN;
    gather(&all);
    cr_assert_eq(all.n, 1);
    cr_expect(all.profile[0].own);
    cr_expect(fabs(all.profile[0].gap - 0.3) <= 1e-12);
    profiles_clear(&all);
}

/* The contacts lie to both sides of their band, so that the line through them runs off
 * it: what is shown are the places along the stated angle. */
Test(profile, of_an_oblique_figure_follows_its_angle)
{
    const double angle = 0.5, aside[5] = {0.4, 0.4, 0, -0.4, 0.4};
    struct bt_edge_result edge = {
        .span = 400, .direction = BT_EDGE_OBLIQUE, .angle = angle, .seen = true};
    struct profiles all;

    panel_scan(&panel, 300, tilted);
    for (size_t i = 0; i < 300; i++)
        panel.z[i] = NAN;
    for (size_t i = 0; i < 5; i++) {
        const double s = 100 * (double)i, c = cos(angle), d = sin(angle);

        panel.point[10 + i] =
            (struct bt_point){s * c - aside[i] * d, s * d + aside[i] * c};
        panel.z[10 + i] = i == 2 ? -0.25 : 0;
    }
    edge.worst = (struct bt_edge_gap){0.25, 11, 13, 12};
    panel.input.edge = &edge;
    panel.input.nedge = 1;
    panel.input.band = 1;
    gather(&all);
    cr_assert_eq(all.n, 1);
    cr_expect_eq(all.profile[0].count, 5, "%zu places", all.profile[0].count);
    cr_expect(all.profile[0].angle == angle);
    profiles_clear(&all);
}

Test(profile, of_a_straightedge_figure_holds_its_contacts)
{
    struct bt_edge_result edge = {
        .span = 400, .direction = BT_EDGE_ALONG, .seen = true};
    struct profiles all;

    panel_scan(&panel, 300, tilted);
    for (size_t i = 0; i < 9; i++) {
        panel.point[10 + i] = (struct bt_point){100.0 * (double)i, 150};
        panel.z[10 + i] = i == 4 ? -0.25 : i == 7 ? 3 : 0;
    }
    edge.worst = (struct bt_edge_gap){0.25, 12, 16, 14};
    panel.input.edge = &edge;
    panel.input.nedge = 1;
    panel.input.band = 0.01;
    gather(&all);
    cr_assert_eq(all.n, 1);
    cr_expect_eq(all.profile[0].count, 5, "%zu places", all.profile[0].count);
    cr_expect_eq(all.profile[0].left, 0);
    cr_expect_eq(all.profile[0].right, 4);
    cr_expect(fabs(all.profile[0].gap - 0.25) <= 0);
    profiles_clear(&all);
}
