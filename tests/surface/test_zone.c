/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/surface/zone.h"

#include <criterion/criterion.h>
#include <float.h>
#include <gsl/gsl_errno.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "support/memory.h"
#include "support/reference.h"
#include "zone_proof.h"

static void quiet_gsl(void)
{
    gsl_set_error_handler_off();
}

TestSuite(zone, .init = quiet_gsl);

static struct zone_case sample;

static void load_case(const struct reference *t, const char *set, struct zone_case *c)
{
    c->n = 0;
    for (size_t i = reference_find(t, "dataset", set, 0); i < reference_rows(t); i++)
        if (strcmp(reference_text(t, i, "dataset"), set) == 0) {
            c->p[c->n].x = reference_number(t, i, "x_mm");
            c->p[c->n].y = reference_number(t, i, "y_mm");
            c->z[c->n++] = reference_number(t, i, "z_mm");
        }
}

/* Points on the planes of the zone. */
static size_t touching(const struct zone_case *c, const struct bt_zone *zone)
{
    size_t count = 0;

    for (size_t i = 0; i < c->n; i++) {
        const double r = c->z[i] - zone->middle.a - zone->middle.b * c->p[i].x -
                         zone->middle.c * c->p[i].y;
        count += fabs(r) >= 0.5 * zone->vertical - 1e-12;
    }
    return count;
}

/* As in the table: "+1 +3 -5 +8". */
static void write_contacts(const struct bt_zone *zone, char text[128])
{
    size_t used = 0;

    text[0] = '\0';
    for (int k = 0; k < zone->ncontact; k++)
        used += (size_t)snprintf(text + used, 128 - used, "%s%c%zu", k ? " " : "",
                                 zone->contact[k].side > 0 ? '+' : '-',
                                 zone->contact[k].point + 1);
}

/* A larger body of points near the sample of the fit. */
static void make_panel(size_t n, unsigned long long seed, struct zone_case *c)
{
    c->n = n;
    for (size_t i = 0; i < n; i++) {
        const double x = zone_next(&seed), y = zone_next(&seed);
        c->p[i] = (struct bt_point){1200.0 * x, 700.0 * y};
        c->z[i] =
            0.8 * x * y - 0.6 * x * x + 0.9 * y * (1.0 - y) + 0.05 * zone_next(&seed);
    }
}

static struct bt_zone fit(const struct zone_case *c)
{
    struct bt_zone zone;

    memset(&zone, 0, sizeof zone);
    zone.vertical = NAN;
    cr_expect(bt_zone_fit(c->n, c->p, c->z, &zone, NULL) == BT_OK);
    return zone;
}

/* Constructed sets, not published: exact rational optimum.  Width and slopes are
 * printed with 15 digits; the normal width with 13. */
Test(zone, gives_the_exact_zones_of_the_constructed_sets)
{
    struct reference *points =
        reference_load("metrology/flatness_constructed_points.csv");
    struct reference *want =
        reference_load("metrology/flatness_constructed_results.csv");
    size_t unique = 0;

    for (size_t k = 0; k < reference_rows(want); k++) {
        const char *set = reference_text(want, k, "dataset"), *wrong;
        const double normal = reference_number(want, k, "mzn_width");
        const bool steep = reference_empty(want, k, "mzv_width");
        const double width = steep ? 2.0 : reference_number(want, k, "mzv_width");
        struct bt_zone zone;
        char text[128];

        load_case(points, set, &sample);
        zone = fit(&sample);
        cr_expect(fabs(zone.vertical - width) <= 1e-12 * width, "%s: %.17g", set,
                  zone.vertical);
        cr_expect(fabs(zone.normal_width - normal) <= 1e-12 * normal, "%s: %.17g", set,
                  zone.normal_width);
        wrong = zone_not_proved(sample.n, sample.p, sample.z, &zone, 1e-13);
        cr_expect(!wrong, "%s: %s", set, wrong);
        if (steep || touching(&sample, &zone) != 4)
            continue;
        unique++;
        write_contacts(&zone, text);
        cr_expect(strcmp(text, reference_text(want, k, "mzv_contacts")) == 0, "%s: %s",
                  set, text);
        cr_expect(fabs(zone.middle.b - reference_number(want, k, "mzv_a")) <= 1e-16,
                  "%s", set);
        cr_expect(fabs(zone.middle.c - reference_number(want, k, "mzv_b")) <= 1e-16,
                  "%s", set);
        cr_expect(fabs(zone.middle.a - reference_number(want, k, "mzv_c")) <= 1e-14,
                  "%s", set);
        for (size_t j = 0; j < 3; j++) {
            static const char *const column[3] = {"mzn_nx", "mzn_ny", "mzn_nz"};
            /* printed to 13 decimals at the least */
            cr_expect(fabs(zone.normal[j] - reference_number(want, k, column[j])) <=
                          1e-12,
                      "%s: %zu", set, j);
        }
    }
    cr_expect(unique >= 6, "only %zu sets have no ties", unique);
    reference_free(points);
    reference_free(want);
}

/* Results page of a library manual, digits as printed; see the source column and
 * sources.md: data from memory, proved right by the exact solution. */
Test(zone, gives_the_published_chebyshev_plane)
{
    struct reference *t = reference_load("metrology/chebyshev_published.csv");
    struct bt_zone zone;

    sample.n = reference_rows(t);
    for (size_t i = 0; i < sample.n; i++) {
        sample.p[i].x = reference_number(t, i, "x_exp_t");
        sample.p[i].y = reference_number(t, i, "y_exp_minus_t");
        sample.z[i] = reference_number(t, i, "z");
    }
    zone = fit(&sample);
    cr_expect(fabs(zone.middle.b - 1.0049) <= 5e-5);
    cr_expect(fabs(zone.middle.c - 2.0149) <= 5e-5);
    cr_expect(fabs(zone.middle.a - 1.4822) <= 5e-5);
    cr_expect(fabs(0.5 * zone.vertical - 1.03e-3) <= 5e-6);
    for (size_t i = 0; i < sample.n; i++)
        cr_expect(fabs(sample.z[i] - zone.middle.a - zone.middle.b * sample.p[i].x -
                       zone.middle.c * sample.p[i].y -
                       reference_number(t, i, "recomputed_residual")) <= 5e-13,
                  "%zu", i);
    reference_free(t);
}

Test(zone, takes_three_points_as_flat)
{
    const struct bt_point p[3] = {{0.3, 0.7}, {411.0, 13.1}, {97.0, 350.0}};
    const double z[3] = {0.125, -0.375, 2.5};
    struct bt_zone zone;

    cr_assert(bt_zone_fit(3, p, z, &zone, NULL) == BT_OK);
    cr_expect(zone.kind == BT_ZONE_FLAT && zone.ncontact == 0);
    cr_expect(zone.vertical == 0.0 && zone.normal_width == 0.0 && zone.gap == 0.0);
    for (size_t i = 0; i < 3; i++)
        cr_expect(fabs(zone.middle.a + zone.middle.b * p[i].x + zone.middle.c * p[i].y -
                       z[i]) <= 1e-15,
                  "%zu", i);
}

Test(zone, takes_coplanar_points_with_rounded_decimals_as_flat)
{
    for (size_t n = 4; n <= 3600; n += 899) {
        struct bt_zone zone;

        sample.n = n;
        for (size_t i = 0; i < n; i++) {
            sample.p[i] =
                (struct bt_point){0.1 * (double)(i % 60), 0.3 * (double)(i / 2)};
            sample.z[i] = 7.7 + 0.01 * sample.p[i].x - 0.007 * sample.p[i].y;
        }
        zone = fit(&sample);
        cr_expect(zone.kind == BT_ZONE_FLAT && zone.ncontact == 0, "%zu", n);
        cr_expect(zone.vertical == 0.0 && zone.normal_width == 0.0, "%zu", n);
        cr_expect(fabs(zone.middle.b - 0.01) <= 1e-14, "%zu", n);
        cr_expect(fabs(zone.middle.c + 0.007) <= 1e-14, "%zu", n);
    }
}

Test(zone, finds_a_spike_on_a_flat_field_and_halves_it)
{
    struct bt_zone zone;

    sample.n = 4800;
    for (size_t i = 0; i < sample.n; i++) {
        sample.p[i] = (struct bt_point){7.0 * (double)(i % 80), 9.0 * (double)(i / 80)};
        sample.z[i] = i == 2443 ? 3.25 : 0.5;
    }
    zone = fit(&sample);
    cr_expect(zone.vertical == 2.75, "%.17g", zone.vertical);
    cr_expect(zone.kind == BT_ZONE_1_3);
    cr_expect(fabs(zone.middle.a - 1.875) <= 1e-14);
}

Test(zone, solves_two_rows_of_points)
{
    for (size_t n = 2; n <= 40; n++) {
        unsigned long long state = n;
        struct bt_zone zone;
        const char *wrong;

        sample.n = 2 * n;
        for (size_t i = 0; i < 2 * n; i++) {
            sample.p[i] =
                (struct bt_point){40.0 * (double)(i / 2), i % 2 ? 300.0 : 0.0};
            sample.z[i] = zone_next(&state);
        }
        zone = fit(&sample);
        wrong = zone_not_proved(sample.n, sample.p, sample.z, &zone, 1e-14);
        cr_expect(!wrong, "%zu: %s", n, wrong);
    }
}

Test(zone, takes_the_same_place_twice)
{
    const struct bt_point p[5] = {
        {0.0, 0.0}, {0.0, 0.0}, {500.0, 0.0}, {0.0, 300.0}, {500.0, 300.0}};
    const double z[5] = {0.5, -0.25, 0.125, 0.0, 0.125};
    struct bt_zone zone;

    cr_assert(bt_zone_fit(5, p, z, &zone, NULL) == BT_OK);
    cr_expect(zone.vertical == 0.75, "%.17g", zone.vertical);
    cr_expect(zone.contact[0].point == 0 && zone.contact[0].side == 1);
    cr_expect(zone.contact[1].point == 1 && zone.contact[1].side == -1);
}

/* Heights are multiples of 2^-16, so that the offset is added without rounding. */
Test(zone, keeps_all_digits_under_an_offset_of_a_kilometre)
{
    struct bt_zone low, high;

    make_panel(3000, 11, &sample);
    for (size_t i = 0; i < sample.n; i++)
        sample.z[i] = round(sample.z[i] * 65536.0) / 65536.0;
    low = fit(&sample);
    for (size_t i = 0; i < sample.n; i++)
        sample.z[i] += 1e6;
    high = fit(&sample);
    cr_expect(fabs(high.vertical - low.vertical) <= 1e-15, "%g",
              high.vertical - low.vertical);
    cr_expect(fabs(high.normal_width - low.normal_width) <= 1e-15);
    cr_expect(memcmp(high.contact, low.contact, sizeof low.contact) == 0 ||
              touching(&sample, &high) > 4);
    cr_expect(fabs(high.middle.a - low.middle.a - 1e6) <= 2.4e-10);
}

Test(zone, turned_and_scaled_positions_give_the_same_width)
{
    const double turn = 0.7853;
    struct bt_zone plain, turned;

    make_panel(900, 3, &sample);
    plain = fit(&sample);
    for (size_t i = 0; i < sample.n; i++) {
        const struct bt_point p = sample.p[i];
        sample.p[i].x = 3.7 * (cos(turn) * p.x - sin(turn) * p.y) + 411.0;
        sample.p[i].y = 3.7 * (sin(turn) * p.x + cos(turn) * p.y) - 2300.0;
    }
    turned = fit(&sample);
    cr_expect(fabs(turned.vertical - plain.vertical) <= 1e-13 * plain.vertical);
    for (int k = 0; k < 4; k++)
        cr_expect(turned.contact[k].point == plain.contact[k].point &&
                      turned.contact[k].side == plain.contact[k].side,
                  "%d", k);
}

Test(zone, scaled_heights_scale_the_width)
{
    struct bt_zone plain, scaled;

    make_panel(1500, 4, &sample);
    plain = fit(&sample);
    for (size_t i = 0; i < sample.n; i++)
        sample.z[i] *= 0.0254;
    scaled = fit(&sample);
    cr_expect(fabs(scaled.vertical - 0.0254 * plain.vertical) <=
              1e-13 * scaled.vertical);
}

/* A rotation of the whole body leaves the normal width, not the vertical one. */
Test(zone, normal_width_stands_when_the_body_is_tilted)
{
    const double tilts[3] = {1e-3, 0.05, 0.4};
    struct bt_zone plain;
    static struct zone_case tilted;

    make_panel(2500, 6, &sample);
    plain = fit(&sample);
    for (size_t k = 0; k < 3; k++) {
        const double c = cos(tilts[k]), s = sin(tilts[k]);
        struct bt_zone zone;

        tilted.n = sample.n;
        for (size_t i = 0; i < sample.n; i++) {
            tilted.p[i].x = c * sample.p[i].x - s * sample.z[i];
            tilted.p[i].y = sample.p[i].y;
            tilted.z[i] = s * sample.p[i].x + c * sample.z[i];
        }
        zone = fit(&tilted);
        cr_expect(fabs(zone.normal_width - plain.normal_width) <=
                      1e-12 * plain.normal_width,
                  "%g: %.17g, %.17g", tilts[k], zone.normal_width, plain.normal_width);
        cr_expect(zone.normal_width < zone.vertical, "%g", tilts[k]);
    }
}

Test(zone, a_point_inside_changes_nothing)
{
    struct bt_zone before, after;

    make_panel(400, 8, &sample);
    before = fit(&sample);
    sample.p[sample.n] = (struct bt_point){333.0, 222.0};
    sample.z[sample.n++] = before.middle.a + before.middle.b * 333.0 +
                           before.middle.c * 222.0 + 0.49 * before.vertical;
    after = fit(&sample);
    cr_expect(fabs(after.vertical - before.vertical) <= 1e-15);
    cr_expect(memcmp(after.contact, before.contact, sizeof before.contact) == 0);
}

Test(zone, a_mirrored_face_swaps_the_sides)
{
    for (unsigned long long seed = 20; seed < 40; seed++) {
        static const enum bt_zone_kind other[3] = {BT_ZONE_1_3, BT_ZONE_3_1,
                                                   BT_ZONE_2_2};
        struct bt_zone face, back;

        make_panel(150, seed, &sample);
        face = fit(&sample);
        for (size_t i = 0; i < sample.n; i++)
            sample.z[i] = -sample.z[i];
        back = fit(&sample);
        cr_expect(fabs(back.vertical - face.vertical) <= 1e-15);
        cr_expect(back.kind == other[face.kind]);
        for (int k = 0; k < 4; k++)
            cr_expect(back.contact[k].point == face.contact[k].point &&
                      back.contact[k].side == -face.contact[k].side);
    }
}

Test(zone, is_never_wider_than_the_least_squares_range)
{
    for (unsigned long long seed = 50; seed < 90; seed++) {
        struct bt_zone zone;

        make_panel(4 + 40 * (size_t)(seed - 50), seed, &sample);
        zone = fit(&sample);
        cr_expect(zone.vertical <= zone_least_squares_range(&sample) * (1.0 + 1e-14));
        cr_expect(zone.normal_width <= zone.vertical);
    }
}

/* Fit that fails: code, row, message, and the zone as it was. */
static void expect_failure(const struct zone_case *c, enum bt_status code, size_t row,
                           const char *message)
{
    struct bt_zone zone, kept;
    struct bt_error err;

    memset(&zone, 0x5a, sizeof zone);
    kept = zone;
    memset(&err, 0, sizeof err);
    cr_expect(bt_zone_fit(c->n, c->p, c->z, &zone, &err) == code, "%s", message);
    cr_expect(err.code == code && err.row == row, "row %zu: %s", err.row, message);
    cr_expect(strcmp(err.message, message) == 0, "'%s'", err.message);
    cr_expect(memcmp(&zone, &kept, sizeof zone) == 0, "%s", message);
    cr_expect(bt_zone_fit(c->n, c->p, c->z, &zone, NULL) == code, "%s", message);
}

Test(zone, refuses_fewer_than_three_points)
{
    make_panel(2, 1, &sample);
    expect_failure(&sample, BT_EINPUT, 2,
                   "2 points are too few for a zone, 3 would do");
    sample.n = 0;
    expect_failure(&sample, BT_EINPUT, 0,
                   "0 points are too few for a zone, 3 would do");
}

Test(zone, names_the_first_point_that_is_not_finite)
{
    const double bad[3] = {NAN, INFINITY, -INFINITY};

    for (size_t k = 0; k < 18; k++) {
        const size_t n = k < 9 ? 20 : 4000, row = k < 9 ? 13 : 3210;
        char message[64];

        make_panel(n, 2, &sample);
        if (k % 3 == 0)
            sample.p[row].x = bad[k / 3 % 3];
        if (k % 3 == 1)
            sample.p[row].y = bad[k / 3 % 3];
        if (k % 3 == 2)
            sample.z[row] = bad[k / 3 % 3];
        snprintf(message, sizeof message, "point %zu is not three finite numbers",
                 row + 1);
        expect_failure(&sample, BT_EINPUT, row, message);
    }
}

Test(zone, names_a_point_that_is_not_finite_even_if_all_are_on_one_line)
{
    make_panel(20, 2, &sample);
    for (size_t i = 0; i < sample.n; i++)
        sample.p[i].y = 0.0;
    sample.z[7] = NAN;
    expect_failure(&sample, BT_EINPUT, 7, "point 8 is not three finite numbers");
}

Test(zone, refuses_numbers_too_large_to_compute_with)
{
    const char *const message = "the numbers are too large to compute with";

    for (size_t k = 0; k < 6; k++) {
        make_panel(k < 3 ? 10 : 4000, 2, &sample);
        for (size_t i = sample.n / 2; i < sample.n; i += 2) {
            if (k % 3 == 0)
                sample.p[i].x = i % 4 ? 1e200 : -1e200;
            if (k % 3 == 1)
                sample.p[i].y = 1.7e308;
            if (k % 3 == 2)
                sample.z[i] = i % 4 ? 1.7e308 : -1.7e308;
        }
        expect_failure(&sample, BT_EINPUT, 0, message);
    }
    make_panel(4000, 2, &sample);
    sample.z[1717] = 1e170;
    expect_failure(&sample, BT_EINPUT, 0, message);
}

Test(zone, refuses_points_all_on_one_line)
{
    for (size_t n = 3; n <= 4203; n += 2100) {
        char message[96];

        sample.n = n;
        for (size_t i = 0; i < n; i++) {
            sample.p[i] = (struct bt_point){0.1 * (double)i, 0.3 * (double)i};
            sample.z[i] = (double)(i % 7);
        }
        snprintf(message, sizeof message,
                 "all %zu points lie on one line, a zone needs one beside it", n);
        expect_failure(&sample, BT_ESINGULAR, 0, message);
        for (size_t i = 0; i < n; i++)
            sample.p[i] = (struct bt_point){812.5, 41.0};
        expect_failure(&sample, BT_ESINGULAR, 0, message);
    }
}

/* Among four thousand, so that the one beside the line is in no sample. */
Test(zone, finds_the_only_point_beside_a_line)
{
    struct bt_zone zone;
    const char *wrong;

    sample.n = 4000;
    for (size_t i = 0; i < sample.n; i++) {
        sample.p[i] = (struct bt_point){(double)i, 0.0};
        sample.z[i] = i == 1000 ? 0.25 : i == 3000 ? -0.5 : 0.0;
    }
    sample.p[1777].y = 0.01;
    zone = fit(&sample);
    wrong = zone_not_proved(sample.n, sample.p, sample.z, &zone, 1e-13);
    cr_expect(!wrong, "%s", wrong);
}

Test(zone, reports_want_of_memory_at_every_allocation)
{
    size_t needed;

    make_panel(4000, 5, &sample);
    memory_fail_at(0);
    (void)fit(&sample);
    needed = memory_calls();
    cr_assert(needed >= 2);
    for (size_t k = 1; k <= needed; k++) {
        struct bt_zone zone, kept;
        struct bt_error err;

        memset(&zone, 0x5a, sizeof zone);
        kept = zone;
        memory_fail_at(k);
        cr_expect(bt_zone_fit(sample.n, sample.p, sample.z, &zone, &err) == BT_ENOMEM,
                  "%zu", k);
        cr_expect(err.code == BT_ENOMEM && strcmp(err.message, "out of memory") == 0);
        cr_expect(memcmp(&zone, &kept, sizeof zone) == 0, "%zu", k);
    }
    memory_fail_at(0);
}
