/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>

#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "draw/contour.h"

typedef double surface(double x, double y);

static double plane(double x, double y)
{
    return x + 2 * y;
}

static double bowl(double x, double y)
{
    return (x - 5) * (x - 5) + (y - 4) * (y - 4);
}

static double wave(double x, double y)
{
    return (x - 5) * (x - 5) * (x - 5) / 8 + (y - 4);
}

/* A grid of nx by ny corners, 10 by 8, cut into triangles. */
static void make(struct mesh *m, size_t nx, size_t ny, surface *f)
{
    memset(m, 0, sizeof *m);
    m->n = nx * ny;
    m->p = bt_alloc(m->n, sizeof *m->p);
    m->z = bt_alloc(m->n, sizeof *m->z);
    m->tri = bt_alloc(6 * nx * ny, sizeof *m->tri);
    for (size_t v = 0; v < m->n; v++) {
        m->p[v] = (struct bt_point){10.0 * (double)(v % nx) / (double)(nx - 1),
                                    8.0 * (double)(v / nx) / (double)(ny - 1)};
        m->z[v] = f(m->p[v].x, m->p[v].y);
    }
    for (size_t j = 0; j + 1 < ny; j++)
        for (size_t i = 0; i + 1 < nx; i++) {
            const size_t v = j * nx + i;
            const size_t t[6] = {v, v + 1, v + nx + 1, v, v + nx + 1, v + nx};

            memcpy(m->tri + 3 * m->ntri, t, sizeof t);
            m->ntri += 2;
        }
    cr_assert_eq(mesh_finish(m, NULL), BT_OK);
}

static double area(const struct contours *c)
{
    double sum = 0;

    for (size_t k = 0; k < c->npath; k++)
        for (size_t i = 0; i < c->path[k].count; i++) {
            const struct bt_point *p = &c->point[c->path[k].start];
            const struct bt_point *a = &p[i], *b = &p[(i + 1) % c->path[k].count];

            sum += (a->x * b->y - b->x * a->y) / 2;
        }
    return sum;
}

static double region_area(const struct mesh *m, double level, size_t *npath)
{
    struct contours c = {0};
    double a;

    cr_assert_eq(contour_region(m, level, &c, NULL), BT_OK);
    for (size_t k = 0; k < c.npath; k++)
        cr_expect(c.path[k].closed, "path %zu is open", k);
    a = area(&c);
    *npath = c.npath;
    contours_clear(&c);
    return a;
}

/* Over the rectangle 10 x 8 the plane x + 2 y is below t on a triangle of area t^2/4
 * while t <= 10, and above it on one of area (26 - t)^2/4 from t = 16 on. */
Test(contour, cuts_a_plane_where_the_formula_does)
{
    struct mesh m;
    size_t npath;

    make(&m, 6, 5, plane);
    cr_expect(fabs(region_area(&m, 7.3, &npath) - (80 - 7.3 * 7.3 / 4)) <= 1e-12 * 80);
    cr_expect_eq(npath, 1);
    cr_expect(fabs(region_area(&m, 20.1, &npath) - 5.9 * 5.9 / 4) <= 1e-12 * 80);
    cr_expect_eq(npath, 1);
    mesh_clear(&m);
}

Test(contour, every_point_of_a_line_on_a_plane_has_its_height)
{
    struct mesh m;
    struct contours c = {0};

    make(&m, 7, 4, plane);
    cr_assert_eq(contour_lines(&m, 11.7, &c, NULL), BT_OK);
    cr_assert_eq(c.npath, 1);
    cr_expect_not(c.path[0].closed);
    for (size_t i = 0; i < c.npoint; i++)
        cr_expect(fabs(plane(c.point[i].x, c.point[i].y) - 11.7) <= 1e-12 * 26);
    contours_clear(&c);
    mesh_clear(&m);
}

Test(contour, rings_a_bowl_with_one_closed_line_of_its_radius)
{
    struct mesh m;
    struct contours c = {0};
    const double pi = acos(-1);
    size_t npath;
    double hole;

    make(&m, 161, 129, bowl);
    cr_assert_eq(contour_lines(&m, 9, &c, NULL), BT_OK);
    cr_assert_eq(c.npath, 1);
    cr_expect(c.path[0].closed);
    /* Linear between corners 1/16 apart: chord error h^2/(4 r) at most. */
    for (size_t i = 0; i < c.npoint; i++)
        cr_expect(fabs(sqrt(bowl(c.point[i].x, c.point[i].y)) - 3) <= 7e-4);
    hole = 80 - region_area(&m, 9, &npath);
    cr_expect_eq(npath, 2, "a rim and a hole");
    cr_expect(fabs(hole - 9 * pi) <= 9 * pi * 1e-3, "hole %g", hole);
    contours_clear(&c);
    mesh_clear(&m);
}

Test(contour, bands_of_a_surface_add_up_to_all_of_it)
{
    struct mesh m;
    size_t npath;
    double whole, before;

    make(&m, 9, 8, wave);
    whole = region_area(&m, -HUGE_VAL, &npath);
    cr_expect(fabs(whole - 80) <= 1e-12 * 80);
    cr_expect_eq(npath, 1);
    before = whole;
    for (int level = -20; level <= 20; level += 4) {
        double a = region_area(&m, level, &npath);

        cr_expect(a <= before + 1e-9 && a >= 0, "level %d: %g after %g", level, a,
                  before);
        /* Turned half round the wave is its own negative, and so are the triangles:
         * above l there is as much as below -l. */
        cr_expect(fabs(a - (80 - region_area(&m, -level + 1e-9, &npath))) <= 1e-6);
        before = a;
    }
    mesh_clear(&m);
}

/* Corners that lie exactly on a level are where such code breaks. */
Test(contour, levels_through_corners_are_in_order)
{
    struct mesh m;
    size_t npath;

    make(&m, 11, 9, plane);
    for (int t = 0; t <= 10; t += 2)
        cr_expect(fabs(region_area(&m, t, &npath) - (80 - t * t / 4.0)) <= 1e-11,
                  "level %d", t);
    cr_expect(fabs(region_area(&m, 26.0001, &npath)) <= 0);
    cr_expect_eq(npath, 0);
    mesh_clear(&m);
}

static double level_top(double x, double y)
{
    (void)x;
    (void)y;
    return 2;
}

Test(contour, a_surface_at_the_level_counts_as_above_it)
{
    struct mesh m;
    size_t npath;

    make(&m, 4, 3, level_top);
    cr_expect(fabs(region_area(&m, 2, &npath) - 80) <= 1e-12 * 80);
    mesh_clear(&m);
}

Test(contour, a_corner_without_height_takes_its_triangles_away)
{
    struct mesh m;
    size_t npath;

    make(&m, 11, 9, plane);
    m.z[4 * 11 + 5] = NAN;
    bt_free(m.twin);
    cr_assert_eq(mesh_finish(&m, NULL), BT_OK);
    /* Six triangles of half a square each meet at an inner corner. */
    cr_expect(fabs(region_area(&m, -HUGE_VAL, &npath) - 77) <= 1e-12 * 80);
    cr_expect_eq(npath, 2);
    mesh_clear(&m);
}
