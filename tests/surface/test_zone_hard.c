/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Zones of cases that are hard for an exchange method, each proved from its contacts.
 */
#include "benchtrue/surface/zone.h"

#include <criterion/criterion.h>
#include <gsl/gsl_errno.h>
#include <math.h>

#include "bench/zone_shapes.h"
#include "zone_proof.h"

static void quiet_gsl(void)
{
    gsl_set_error_handler_off();
}

TestSuite(zone_hard, .init = quiet_gsl);

static struct zone_case c;

/* Fits and proves to a part of the heights' own size. */
static struct bt_zone prove(const char *name, size_t k, double part)
{
    struct bt_zone zone;
    const enum bt_status status = bt_zone_fit(c.n, c.p, c.z, &zone, NULL);
    const char *wrong;

    cr_assert(status == BT_OK, "%s %zu", name, k);
    wrong =
        zone.kind == BT_ZONE_FLAT ? NULL : zone_not_proved(c.n, c.p, c.z, &zone, part);
    cr_expect(!wrong, "%s %zu: %s", name, k, wrong);
    return zone;
}

Test(zone_hard, proves_fifteen_shapes_within_ten_passes_and_panels_within_three)
{
    for (size_t shape = 0; shape < ZONE_SHAPES; shape++) {
        const char *name = zone_shape_name(shape);
        struct bt_zone zone;

        c.n = 80 * 60;
        zone_shape_make(shape, 80, 60, c.p, c.z);
        zone = prove(name, 0, 1e-12);
        cr_expect(zone.passes <= (shape < ZONE_PANELS ? 3 : 10), "%s: %zu passes", name,
                  zone.passes);
    }
}

Test(zone_hard, breaks_the_ties_of_grids_with_whole_heights)
{
    unsigned long long state = 1;

    for (size_t k = 0; k < 1500; k++) {
        const size_t columns = 2 + (size_t)(18.0 * zone_next(&state));
        const size_t levels = 2 + (size_t)(3.0 * zone_next(&state));

        c.n = columns * (2 + (size_t)(12.0 * zone_next(&state)));
        for (size_t i = 0; i < c.n; i++) {
            c.p[i] = (struct bt_point){(double)(i % columns), (double)(i / columns)};
            c.z[i] = floor((double)levels * zone_next(&state));
        }
        (void)prove("grid", k, 1e-14);
    }
}

/* Saddles and bowls of whole numbers: rows upon rows touch. */
Test(zone_hard, breaks_the_ties_of_regular_figures)
{
    for (size_t k = 0; k < 600; k++) {
        const size_t columns = 3 + k % 13, rows = 2 + k % 11;

        c.n = columns * rows;
        for (size_t i = 0; i < c.n; i++) {
            const double x = (double)(i % columns) - (double)(columns - 1) / 2.0;
            const double y = (double)(i / columns) - (double)(rows - 1) / 2.0;
            c.p[i] = (struct bt_point){x, y};
            c.z[i] = k % 5 == 0   ? x * x + y * y
                     : k % 5 == 1 ? x * x - y * y
                     : k % 5 == 2 ? x * y
                     : k % 5 == 3 ? fabs(x)
                                  : fmod(x + y + 40.0, 2.0);
        }
        (void)prove("figure", k, 1e-13);
    }
}

Test(zone_hard, takes_every_point_many_times)
{
    unsigned long long state = 2;

    for (size_t k = 0; k < 300; k++) {
        const size_t places = 4 + (size_t)(12.0 * zone_next(&state));

        c.n = 5 * places;
        for (size_t i = 0; i < places; i++) {
            c.p[i] = (struct bt_point){1000.0 * zone_next(&state),
                                       1000.0 * zone_next(&state)};
            c.z[i] = k % 2 ? zone_next(&state) : floor(3.0 * zone_next(&state));
        }
        for (size_t i = places; i < c.n; i++) {
            c.p[i] = c.p[i - places];
            c.z[i] = k % 3 ? c.z[i - places] : zone_next(&state);
        }
        (void)prove("double", k, 1e-14);
    }
}

/* The clouds are 1e2 to 1e6 times as long as wide, at 20 degrees.  The width across
 * is known to a rounding of the length, which the heights then show as that many
 * roundings more. */
Test(zone_hard, solves_clouds_that_are_nearly_a_line)
{
    unsigned long long state = 3;

    for (size_t k = 0; k < 400; k++) {
        const double thin = pow(10.0, -(double)(2 + k % 5));

        c.n = 4 + (size_t)(60.0 * zone_next(&state));
        for (size_t i = 0; i < c.n; i++) {
            const double x = 1000.0 * zone_next(&state);
            c.p[i] = (struct bt_point){x, 0.363970234266202 * x +
                                              1000.0 * thin * zone_next(&state)};
            c.z[i] = zone_next(&state);
        }
        (void)prove("thin", k, 1e-15 / thin);
    }
}

/* Scattered far beyond what the sample of the fit sees. */
Test(zone_hard, finds_contacts_that_no_sample_holds)
{
    unsigned long long state = 4;

    for (size_t k = 0; k < 20; k++) {
        c.n = CASE_ROOM;
        for (size_t i = 0; i < c.n; i++) {
            const double size = i % 97 == k ? 1e4 : 1.0;
            c.p[i] =
                (struct bt_point){size * zone_next(&state), size * zone_next(&state)};
            c.z[i] = size * zone_next(&state);
        }
        (void)prove("far", k, 1e-11);
    }
}

typedef double vector[3];

static void cross(const vector a, const vector b, vector out)
{
    for (int j = 0; j < 3; j++)
        out[j] = a[(j + 1) % 3] * b[(j + 2) % 3] - a[(j + 2) % 3] * b[(j + 1) % 3];
}

static void between(size_t i, size_t j, vector out)
{
    out[0] = c.p[j].x - c.p[i].x;
    out[1] = c.p[j].y - c.p[i].y;
    out[2] = c.z[j] - c.z[i];
}

/* Extent of the case along a direction of any size; infinite for none. */
static double extent(const vector along)
{
    const double size =
        sqrt(along[0] * along[0] + along[1] * along[1] + along[2] * along[2]);
    double low = INFINITY, high = -INFINITY;

    if (!(size > 1e-12))
        return INFINITY;
    for (size_t i = 0; i < c.n; i++) {
        const double h =
            (along[0] * c.p[i].x + along[1] * c.p[i].y + along[2] * c.z[i]) / size;
        low = fmin(low, h);
        high = fmax(high, h);
    }
    return high - low;
}

/* Least extent across any two joins of points: among them are all planes of a facet
 * and a vertex, and of two edges. */
static double width_by_trial(void)
{
    double least = INFINITY;

    for (size_t i = 0; i < c.n; i++)
        for (size_t j = i + 1; j < c.n; j++)
            for (size_t k = i; k < c.n; k++)
                for (size_t m = k + 1; m < c.n; m++) {
                    vector a, b, n;
                    between(i, j, a);
                    between(k, m, b);
                    cross(a, b, n);
                    least = fmin(least, extent(n));
                }
    return least;
}

/* Slabs of that thickness over a square of side 1: how many got their least width, and
 * how many had to be levelled for it to other contacts than the vertical ones. */
static void level_slabs(size_t slabs, double thick, size_t *least, size_t *moved)
{
    unsigned long long state = 5;

    *least = *moved = 0;
    for (size_t k = 0; k < slabs; k++) {
        struct bt_zone zone;
        double best, plain;

        c.n = 5 + k % 5;
        for (size_t i = 0; i < c.n; i++) {
            c.p[i] = (struct bt_point){zone_next(&state), zone_next(&state)};
            c.z[i] = thick * zone_next(&state);
        }
        zone = prove("slab", k, 1e-14);
        best = width_by_trial();
        plain = zone.vertical / sqrt(1.0 + zone.middle.b * zone.middle.b +
                                     zone.middle.c * zone.middle.c);
        cr_expect(fabs(extent(zone.normal) - zone.normal_width) <= 1e-14, "%zu", k);
        cr_expect(zone.normal_width >= best - 1e-14, "%zu", k);
        cr_expect(zone.normal_width <= plain + 1e-14, "%zu", k);
        *least += zone.normal_width <= best + 1e-14;
        *moved += zone.normal_width < plain - 1e-6;
    }
}

/* Ten times as wide as thick is already far steeper than a panel. */
Test(zone_hard, levels_slabs_to_their_least_width)
{
    size_t least, moved;

    level_slabs(150, 0.1, &least, &moved);
    cr_expect(least == 150, "%zu", least);
    cr_expect(moved >= 2, "%zu", moved);
}

/* Of bodies as thick as this, some have a narrower zone elsewhere. */
Test(zone_hard, levels_most_thick_bodies_to_their_least_width)
{
    size_t least, moved;

    level_slabs(150, 0.3, &least, &moved);
    cr_expect(least >= 135, "%zu", least);
    cr_expect(moved >= 10, "%zu", moved);
}

/* What is known of a block from above must not hide its points once the planes turn. */
Test(zone_hard, holds_all_points_of_many_blocks_between_the_levelled_planes)
{
    unsigned long long state = 9;
    size_t moved = 0;

    for (size_t k = 0; k < 40; k++) {
        struct bt_zone zone;

        c.n = 4000;
        for (size_t i = 0; i < c.n; i++) {
            c.p[i] = (struct bt_point){zone_next(&state), zone_next(&state)};
            c.z[i] = 0.8 * zone_next(&state) + 0.3 * c.p[i].x;
        }
        cr_assert(bt_zone_fit(c.n, c.p, c.z, &zone, NULL) == BT_OK, "%zu", k);
        cr_expect(fabs(extent(zone.normal) - zone.normal_width) <= 1e-14, "%zu", k);
        moved += zone.normal_width <
                 zone.vertical / sqrt(1.0 + zone.middle.b * zone.middle.b +
                                      zone.middle.c * zone.middle.c) -
                     1e-6;
    }
    cr_expect(moved >= 5, "%zu", moved);
}
