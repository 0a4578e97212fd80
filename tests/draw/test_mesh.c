/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>

#include <math.h>

#include "draw/mesh.h"
#include "draw/panel.h"

static struct panel panel;

static const struct mesh_options options = {.same = 3, .fine = 5};

static double twisted(double x, double y)
{
    return 1 + x * y / 320000;
}

static void build(struct mesh *mesh)
{
    cr_assert_eq(mesh_build(panel.set.readings.npoint, panel.point, panel.z, &options,
                            mesh, NULL),
                 BT_OK);
}

static double area(const struct mesh *m)
{
    double sum = 0;

    for (size_t t = 0; t < m->ntri; t++) {
        struct bt_point a = m->p[m->tri[3 * t]], b = m->p[m->tri[3 * t + 1]],
                        c = m->p[m->tri[3 * t + 2]];
        double one = ((b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x)) / 2;

        cr_expect_gt(one, 0, "triangle %zu runs the other way round", t);
        sum += one;
    }
    return sum;
}

Test(mesh, a_grid_is_bilinear_between_its_nodes)
{
    struct mesh m;

    panel_grid(&panel, 5, 3, twisted);
    build(&m);
    cr_expect_eq(m.kind, MESH_GRID);
    cr_expect_gt(m.n, 15, "cells are cut finer than the readings");
    for (size_t i = 0; i < m.n; i++)
        cr_expect(fabs(m.z[i] - twisted(m.p[i].x, m.p[i].y)) <= 1e-12);
    cr_expect(fabs(area(&m) - 320000) <= 1e-6);
    mesh_clear(&m);
}

Test(mesh, a_grid_tolerates_places_that_stray_less_than_same_point)
{
    struct mesh m;

    panel_grid(&panel, 5, 3, twisted);
    for (size_t i = 0; i < 15; i++)
        panel.point[i].x += i % 2 ? 1 : -1;
    build(&m);
    cr_expect_eq(m.kind, MESH_GRID);
    mesh_clear(&m);
}

Test(mesh, a_node_that_was_not_seen_leaves_its_cells_blank)
{
    struct mesh m;

    panel_grid(&panel, 5, 3, twisted);
    panel.z[7] = NAN;
    /* Cells cut into 16 parts, and into 3: other triangles at their corners. */
    for (int fine = 5; fine <= 34; fine += 29) {
        const struct mesh_options cut = {.same = 3, .fine = fine};

        cr_assert_eq(mesh_build(15, panel.point, panel.z, &cut, &m, NULL), BT_OK);
        cr_expect(fabs(area(&m) - 320000 / 2) <= 1e-6, "four of eight cells");
        mesh_clear(&m);
    }
}

/* Rows that only diagonals cross are no rows of a grid. */
Test(mesh, places_on_lines_and_diagonals_become_triangles)
{
    struct mesh m;

    panel_grid(&panel, 5, 3, twisted);
    panel.set.readings.npoint = 19;
    for (size_t k = 0; k < 4; k++) {
        panel.point[15 + k] = (struct bt_point){k % 2 ? 700 : 100, k / 2 ? 350 : 50};
        panel.z[15 + k] = 1;
    }
    build(&m);
    cr_expect_eq(m.kind, MESH_TRIANGLES);
    cr_expect(fabs(area(&m) - 320000) <= 1e-6);
    cr_expect_eq(m.n, 19);
    mesh_clear(&m);
}

/* Euler: a triangulation of n points, b of them on the hull, has 2 n - b - 2 triangles.
 */
Test(mesh, triangles_of_scattered_places_meet_no_other_place)
{
    struct mesh m;

    panel_scan(&panel, 60, twisted);
    build(&m);
    cr_expect_eq(m.kind, MESH_TRIANGLES);
    for (size_t t = 0; t < m.ntri; t++) {
        struct bt_point a = m.p[m.tri[3 * t]], b = m.p[m.tri[3 * t + 1]],
                        c = m.p[m.tri[3 * t + 2]];

        /* Delaunay: no place within the circle through the corners. */
        for (size_t i = 0; i < m.n; i++) {
            double ax = a.x - m.p[i].x, ay = a.y - m.p[i].y, bx = b.x - m.p[i].x;
            double by = b.y - m.p[i].y, cx = c.x - m.p[i].x, cy = c.y - m.p[i].y;
            double inside = (ax * ax + ay * ay) * (bx * cy - cx * by) -
                            (bx * bx + by * by) * (ax * cy - cx * ay) +
                            (cx * cx + cy * cy) * (ax * by - bx * ay);

            /* Positive inside, in mm^4; terms reach 1e11. */
            cr_expect(inside <= 1e-3, "triangle %zu holds place %zu: %g", t, i, inside);
        }
    }
    mesh_clear(&m);
}

Test(mesh, a_gap_in_a_scan_stays_open)
{
    struct mesh m;
    size_t kept = 0;

    panel_scan(&panel, 4000, twisted);
    for (size_t i = 0; i < 4000; i++) {
        double r = hypot(panel.point[i].x - 400, panel.point[i].y - 200);

        if (r < 90)
            continue;
        panel.point[kept] = panel.point[i];
        panel.z[kept++] = panel.z[i];
    }
    panel.set.readings.npoint = kept;
    build(&m);
    for (size_t t = 0; t < m.ntri; t++) {
        double x = 0, y = 0;

        for (size_t k = 0; k < 3; k++) {
            x += m.p[m.tri[3 * t + k]].x / 3;
            y += m.p[m.tri[3 * t + k]].y / 3;
        }
        cr_expect_gt(hypot(x - 400, y - 200), 60, "triangle %zu spans the gap", t);
    }
    mesh_clear(&m);
}

Test(mesh, many_places_are_averaged_over_squares)
{
    struct mesh m;

    panel_scan(&panel, PANEL_POINTS, twisted);
    build(&m);
    cr_expect_eq(m.kind, MESH_AVERAGED);
    cr_expect_lt(m.n, 7000, "squares of 7 mm");
    cr_expect_gt(area(&m), 0.97 * 320000);
    /* Means of a surface that bends by 3e-6 per mm^2 over 7 mm. */
    for (size_t i = 0; i < m.n; i++)
        cr_expect(fabs(m.z[i] - twisted(m.p[i].x, m.p[i].y)) <= 1e-4);
    mesh_clear(&m);
}

Test(mesh, places_without_area_have_no_triangle)
{
    static const struct {
        const char *name;
        size_t n;
        struct bt_point p[5];
    } cases[] = {
        {"one", 1, {{3, 4}}},
        {"two", 2, {{3, 4}, {5, 6}}},
        {"one place five times", 5, {{3, 4}, {3, 4}, {3, 4}, {3, 4}, {3, 4}}},
        {"a line", 5, {{0, 0}, {100, 0}, {200, 0}, {300, 0}, {400, 0}}},
        {"a slope", 5, {{0, 0}, {1, 2}, {2, 4}, {4, 8}, {8, 16}}},
    };
    const double z[5] = {1, 2, 3, 4, 5};

    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        struct mesh m;

        cr_expect_eq(mesh_build(cases[k].n, cases[k].p, z, &options, &m, NULL), BT_OK,
                     "%s", cases[k].name);
        cr_expect_eq(m.ntri, 0, "%s", cases[k].name);
        cr_expect_eq(m.kind, MESH_NONE, "%s", cases[k].name);
        mesh_clear(&m);
    }
}

/* Four places on one circle, and three alone: what qhull needs help with. */
Test(mesh, three_and_four_places_make_one_and_two_triangles)
{
    const struct bt_point p[4] = {{0, 0}, {100, 0}, {100, 60}, {0, 60}};
    const struct bt_point kite[4] = {{0, 30}, {50, 0}, {100, 30}, {50, 60}};
    const double z[4] = {1, 2, 3, 5};
    struct mesh m;

    cr_expect_eq(mesh_build(3, p, z, &options, &m, NULL), BT_OK);
    cr_expect(fabs(area(&m) - 3000) <= 1e-9);
    mesh_clear(&m);
    cr_expect_eq(mesh_build(4, kite, z, &options, &m, NULL), BT_OK);
    cr_expect(fabs(area(&m) - 3000) <= 1e-9);
    cr_expect_eq(m.ntri, 2);
    mesh_clear(&m);
}
