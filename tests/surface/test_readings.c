/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The equation of each kind of reading against values worked by hand. */
#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "benchtrue/surface/readings.h"

/* Fields that a builder sets; u is the caller's and must stay. */
static void expect_obs(const struct bt_obs *got, const struct bt_obs *want)
{
    cr_expect_eq(got->kind, want->kind);
    cr_expect_eq(got->group, want->group);
    cr_assert_eq(got->npoint, want->npoint);
    for (int k = 0; k < want->npoint; k++) {
        cr_expect_eq(got->point[k], want->point[k], "point %d", k);
        cr_expect(fabs(got->coef[k] - want->coef[k]) <= 1e-15, "coef %d: %.17g", k,
                  got->coef[k]);
    }
    for (int k = 0; k < 3; k++) {
        cr_expect(fabs(got->basis[k] - want->basis[k]) <= 1e-12, "basis %d: %.17g", k,
                  got->basis[k]);
        cr_expect(fabs(got->plane[k] - want->plane[k]) <= 1e-12, "plane %d: %.17g", k,
                  got->plane[k]);
    }
    cr_expect(fabs(got->edge - want->edge) <= 1e-15, "edge %.17g", got->edge);
    cr_expect(got->value == want->value, "value %.17g", got->value);
}

/* -- equations --------------------------------------------------------------------- */

Test(readings, a_gap_is_edge_minus_surface_with_offset_and_slope)
{
    struct bt_obs obs = {.u = 7};
    const struct bt_obs want = {.kind = BT_READ_GAP,
                                .group = 3,
                                .npoint = 1,
                                .point = {5},
                                .coef = {-1},
                                .basis = {1, 150},
                                .edge = -0.5,
                                .value = 0.41};

    cr_assert_eq(bt_obs_gap(&obs, 5, 3, 150, 600, 0.41, NULL), BT_OK);
    expect_obs(&obs, &want);
}

Test(readings, the_place_along_the_edge_runs_from_minus_one_to_one)
{
    struct bt_obs obs = {0};
    static const struct {
        double s, edge;
    } rows[] = {{0, -1}, {100, 0}, {200, 1}, {50, -0.5}, {200.0 / 3, -1.0 / 3}};

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        cr_assert_eq(bt_obs_gap(&obs, 0, 0, rows[i].s, 200, 0, NULL), BT_OK);
        cr_expect(fabs(obs.edge - rows[i].edge) <= 1e-15, "s %g: %.17g", rows[i].s,
                  obs.edge);
    }
}

Test(readings, a_height_has_the_offset_and_the_tilt_of_its_set_up)
{
    static const struct bt_point p[2] = {{0, 0}, {25.5, 410}};
    struct bt_obs obs = {0};
    struct bt_obs want = {.kind = BT_READ_HEIGHT,
                          .group = 2,
                          .npoint = 1,
                          .point = {1},
                          .coef = {1},
                          .basis = {1, 25.5, 410},
                          .plane = {1, 25.5, 410},
                          .value = -0.2};

    cr_assert_eq(bt_obs_height(&obs, BT_READ_HEIGHT, p, 1, 2, 3, -0.2, NULL), BT_OK);
    expect_obs(&obs, &want);
    want.basis[1] = want.basis[2] = 0; /* level: an offset alone */
    want.kind = BT_READ_SCAN;
    cr_assert_eq(bt_obs_height(&obs, BT_READ_SCAN, p, 1, 2, 1, -0.2, NULL), BT_OK);
    expect_obs(&obs, &want);
    want.basis[0] = 0; /* a known reference */
    want.group = BT_NO_GROUP;
    cr_assert_eq(bt_obs_height(&obs, BT_READ_SCAN, p, 1, BT_NO_GROUP, 0, -0.2, NULL),
                 BT_OK);
    expect_obs(&obs, &want);
}

/* Feet at (0, 0) and (300, 400), 500 apart; the dial 5 mm beside the point 125 mm from
 * the first foot: t = 125/500. */
Test(readings, a_bar_reads_at_the_foot_of_the_perpendicular_from_the_dial)
{
    static const struct bt_point p[3] = {
        {0, 0}, {75 - 5 * 0.8, 100 + 5 * 0.6}, {300, 400}};
    struct bt_obs obs = {0};
    struct bt_obs want = {.kind = BT_READ_BAR,
                          .group = BT_NO_GROUP,
                          .npoint = 3,
                          .point = {0, 1, 2},
                          .coef = {-0.75, 1, -0.25},
                          .value = 0.11};

    cr_assert_eq(bt_obs_bar(&obs, p, 0, 1, 2, BT_NO_GROUP, 0.11, NULL), BT_OK);
    expect_obs(&obs, &want);
    want.group = 4;
    want.basis[0] = 1; /* an unknown zero */
    cr_assert_eq(bt_obs_bar(&obs, p, 0, 1, 2, 4, 0.11, NULL), BT_OK);
    expect_obs(&obs, &want);
}

Test(readings, a_slope_is_the_rise_over_the_distance_and_sees_tilt)
{
    static const struct bt_point p[2] = {{100, 200}, {400, 600}};
    struct bt_obs obs = {0};
    struct bt_obs want = {.kind = BT_READ_SLOPE,
                          .group = BT_NO_GROUP,
                          .npoint = 2,
                          .point = {0, 1},
                          .coef = {-0.002, 0.002},
                          .plane = {0, 0.6, 0.8},
                          .value = 1.5e-4};

    cr_assert_eq(bt_obs_slope(&obs, p, 0, 1, BT_NO_GROUP, 1.5e-4, NULL), BT_OK);
    expect_obs(&obs, &want);
    want.group = 0;
    want.basis[0] = 1;
    cr_assert_eq(bt_obs_slope(&obs, p, 0, 1, 0, 1.5e-4, NULL), BT_OK);
    expect_obs(&obs, &want);
}

/* Sticks of 500 mm touch at y 50 and 300: the difference of the heights counts twice.
 */
Test(readings, winding_sticks_magnify_by_their_length_over_the_width_touched)
{
    static const struct bt_point p[4] = {{10, 50}, {10, 300}, {900, 50}, {900, 300}};
    static const size_t point[4] = {0, 1, 2, 3};
    struct bt_obs obs = {0};
    const struct bt_obs want = {.kind = BT_READ_WIND,
                                .group = BT_NO_GROUP,
                                .npoint = 4,
                                .point = {0, 1, 2, 3},
                                .coef = {2, -2, -2, 2},
                                .value = 1.25};

    cr_assert_eq(bt_obs_wind(&obs, p, point, 500, 1.25, NULL), BT_OK);
    expect_obs(&obs, &want);
}

Test(readings, builders_leave_nothing_of_an_earlier_reading)
{
    static const struct bt_point p[2] = {{0, 0}, {10, 0}};
    struct bt_obs obs, clean = {0};

    memset(&obs, 0x5a, sizeof obs);
    cr_assert_eq(bt_obs_slope(&obs, p, 0, 1, BT_NO_GROUP, 0, NULL), BT_OK);
    cr_assert_eq(bt_obs_slope(&clean, p, 0, 1, BT_NO_GROUP, 0, NULL), BT_OK);
    for (int k = 0; k < 4; k++)
        cr_expect(obs.coef[k] == clean.coef[k] && obs.point[k] == clean.point[k]);
    cr_expect_eq(obs.edge, 0);
    cr_expect_eq(obs.basis[2], 0);
}

/* -- errors ------------------------------------------------------------------------ */

static const char not_finite[] = "a reading or its place is not finite";

/* Places: 0 to 3 a rectangle, 4 the same as 0, 5 not a number, 6 infinite, 7 beyond. */
static const struct bt_point places[] = {{0, 0},        {0, 400},  {1200, 0},
                                         {1200, 400},   {0, 0},    {NAN, 0},
                                         {0, INFINITY}, {1300, 0}, {600, 0}};

static void expect_refusal(const char *name, enum bt_status status,
                           const struct bt_error *err, const struct bt_obs *obs,
                           const struct bt_obs *before, const char *message)
{
    cr_expect_eq(status, BT_EINPUT, "%s: status %d", name, (int)status);
    cr_expect_eq(err->code, BT_EINPUT, "%s", name);
    cr_expect_str_eq(err->message, message, "%s: %s", name, err->message);
    cr_expect(memcmp(obs, before, sizeof *obs) == 0, "%s: obs was touched", name);
}

Test(readings, a_gap_without_length_or_not_finite_is_refused)
{
    static const struct {
        const char *name;
        double s, length, gap;
        const char *message;
    } rows[] = {{"no length", 1, 0, 1, "the line has no length"},
                {"negative length", 1, -5, 1, "the line has no length"},
                {"length NaN", 1, NAN, 1, "the line has no length"},
                {"length infinite", 1, INFINITY, 1, "the line has no length"},
                {"s NaN", NAN, 10, 1, not_finite},
                {"s infinite", INFINITY, 10, 1, not_finite},
                {"gap NaN", 1, 10, NAN, not_finite},
                {"gap infinite", 1, 10, -INFINITY, not_finite}};
    struct bt_obs obs, before;

    memset(&obs, 0x11, sizeof obs);
    before = obs;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct bt_error err = {0};
        expect_refusal(
            rows[i].name,
            bt_obs_gap(&obs, 0, 0, rows[i].s, rows[i].length, rows[i].gap, &err), &err,
            &obs, &before, rows[i].message);
    }
}

Test(readings, a_height_that_is_not_finite_is_refused)
{
    static const struct {
        const char *name;
        size_t point;
        double value;
    } rows[] = {{"value NaN", 0, NAN},
                {"value infinite", 0, INFINITY},
                {"place NaN", 5, 1},
                {"place infinite", 6, 1}};
    struct bt_obs obs, before;

    memset(&obs, 0x11, sizeof obs);
    before = obs;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct bt_error err = {0};
        expect_refusal(rows[i].name,
                       bt_obs_height(&obs, BT_READ_HEIGHT, places, rows[i].point, 0, 3,
                                     rows[i].value, &err),
                       &err, &obs, &before, not_finite);
    }
}

Test(readings, a_bar_whose_feet_coincide_or_whose_dial_is_outside_is_refused)
{
    static const char outside[] = "the dial does not stand between the feet";
    static const char same[] = "both feet stand on one place";
    static const struct {
        const char *name;
        size_t foot1, dial, foot2;
        double value;
        const char *message;
    } rows[] = {{"feet at one place", 0, 2, 4, 1, same},
                {"one foot twice", 2, 1, 2, 1, same},
                {"dial beyond foot 2", 0, 7, 2, 1, outside},
                {"dial before foot 1", 2, 7, 0, 1, outside},
                {"dial over foot 1", 0, 4, 2, 1, outside},
                {"dial over foot 2", 0, 2, 2, 1, outside},
                {"dial beside foot 1", 0, 1, 2, 1, outside},
                {"value NaN", 0, 8, 2, NAN, not_finite},
                {"value infinite", 0, 8, 2, INFINITY, not_finite},
                {"dial NaN", 0, 5, 2, 1, not_finite},
                {"foot NaN", 5, 8, 2, 1, not_finite},
                {"foot infinite", 0, 8, 6, 1, not_finite}};
    struct bt_obs obs, before;

    memset(&obs, 0x11, sizeof obs);
    before = obs;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct bt_error err = {0};
        expect_refusal(rows[i].name,
                       bt_obs_bar(&obs, places, rows[i].foot1, rows[i].dial,
                                  rows[i].foot2, 0, rows[i].value, &err),
                       &err, &obs, &before, rows[i].message);
    }
}

Test(readings, a_slope_between_places_that_coincide_or_are_not_finite_is_refused)
{
    static const char same[] = "both ends stand on one place";
    static const struct {
        const char *name;
        size_t point1, point2;
        double value;
        const char *message;
    } rows[] = {{"same place", 0, 4, 1, same},
                {"one point twice", 3, 3, 1, same},
                {"value NaN", 0, 1, NAN, not_finite},
                {"value infinite", 0, 1, INFINITY, not_finite},
                {"place NaN", 0, 5, 1, not_finite},
                {"place infinite", 6, 1, 1, not_finite}};
    struct bt_obs obs, before;

    memset(&obs, 0x11, sizeof obs);
    before = obs;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct bt_error err = {0};
        expect_refusal(rows[i].name,
                       bt_obs_slope(&obs, places, rows[i].point1, rows[i].point2, 0,
                                    rows[i].value, &err),
                       &err, &obs, &before, rows[i].message);
    }
}

Test(readings, winding_sticks_at_one_place_or_without_length_are_refused)
{
    static const char same[] = "the sticks stand on one place";
    static const struct {
        const char *name;
        size_t point[4];
        double stick, value;
        const char *message;
    } rows[] = {
        {"same x", {0, 1, 4, 1}, 400, 1, same},
        {"same y", {0, 4, 2, 2}, 400, 1, same},
        {"no stick", {0, 1, 2, 3}, 0, 1, "the stick has no length"},
        {"stick below 0", {0, 1, 2, 3}, -400, 1, "the stick has no length"},
        {"stick NaN", {0, 1, 2, 3}, NAN, 1, "the stick has no length"},
        {"stick infinite", {0, 1, 2, 3}, INFINITY, 1, "the stick has no length"},
        {"value NaN", {0, 1, 2, 3}, 400, NAN, not_finite},
        {"value infinite", {0, 1, 2, 3}, 400, INFINITY, not_finite},
        {"x NaN", {5, 1, 2, 3}, 400, 1, not_finite},
        {"y infinite", {0, 6, 2, 3}, 400, 1, not_finite}};
    struct bt_obs obs, before;

    memset(&obs, 0x11, sizeof obs);
    before = obs;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct bt_error err = {0};
        expect_refusal(rows[i].name,
                       bt_obs_wind(&obs, places, rows[i].point, rows[i].stick,
                                   rows[i].value, &err),
                       &err, &obs, &before, rows[i].message);
    }
}

Test(readings, errors_without_an_error_struct_are_refused_as_well)
{
    struct bt_obs obs;

    cr_expect_eq(bt_obs_gap(&obs, 0, 0, 1, 0, 1, NULL), BT_EINPUT);
    cr_expect_eq(bt_obs_height(&obs, BT_READ_HEIGHT, places, 5, 0, 3, 1, NULL),
                 BT_EINPUT);
    cr_expect_eq(bt_obs_bar(&obs, places, 0, 2, 4, 0, 1, NULL), BT_EINPUT);
    cr_expect_eq(bt_obs_slope(&obs, places, 0, 4, 0, 1, NULL), BT_EINPUT);
}

/* -- names, clearing --------------------------------------------------------------- */

Test(readings, every_kind_has_its_word)
{
    static const char *const words[] = {"height", "gap",  "bar",
                                        "slope",  "wind", "scan"};

    cr_assert_eq((size_t)BT_READ_KINDS, sizeof words / sizeof *words);
    for (int k = 0; k < BT_READ_KINDS; k++)
        cr_expect_str_eq(bt_reading_kind_name((enum bt_reading_kind)k), words[k]);
    cr_expect_str_eq(bt_reading_kind_name(BT_READ_KINDS), "?");
}

Test(readings, clearing_gives_back_all_arrays_and_accepts_null)
{
    struct bt_readings r = {.npoint = 1, .nobs = 1, .ngroup = 1, .slack = 3};

    r.point = bt_alloc(1, sizeof *r.point);
    r.obs = bt_alloc(1, sizeof *r.obs);
    r.group = bt_alloc(1, sizeof *r.group);
    bt_readings_clear(&r);
    cr_expect(!r.point && !r.obs && !r.group);
    cr_expect(r.npoint == 0 && r.nobs == 0 && r.ngroup == 0 && r.slack == 0);
    bt_readings_clear(&r);
    bt_readings_clear(NULL);
}
