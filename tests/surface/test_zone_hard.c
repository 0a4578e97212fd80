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
