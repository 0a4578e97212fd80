/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Places to points, names to numbers, and sorting, against the plain way. */
#include <criterion/criterion.h>

#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include "ingest/names.h"
#include "ingest/order.h"
#include "ingest/points.h"

/* A fixed sequence: the tests must not depend on the C library's. */
static double next_share(uint64_t *state)
{
    *state = *state * 6364136223846793005u + 1442695040888963407u;
    return (double)(*state >> 11) * 0x1p-53;
}

enum { PLACES = 3000 };

/* The rule as the header states it, with a look at every point. */
static size_t plain_take(const struct bt_point *place, double within, size_t *n,
                         struct bt_point first[])
{
    size_t best = *n;

    for (size_t i = 0; i < *n; i++) {
        double d = hypot(first[i].x - place->x, first[i].y - place->y);
        if (d < within) {
            within = d;
            best = i;
        }
    }
    if (best == *n)
        first[(*n)++] = *place;
    return best;
}

Test(points, are_those_of_a_look_at_every_point)
{
    static const double nears[] = {3, 0.5, 40};
    static struct bt_point first[PLACES];
    struct bt_points points;
    struct bt_points_found found;

    for (size_t k = 0; k < sizeof nears / sizeof *nears; k++) {
        uint64_t state = 20260302 + k;
        size_t n = 0;
        cr_assert_eq(bt_points_start(&points, nears[k]), BT_OK);
        for (int i = 0; i < PLACES; i++) {
            struct bt_point place = {300 * next_share(&state) - 150,
                                     150 * next_share(&state) - 75};
            size_t want = plain_take(&place, nears[k], &n, first);
            cr_assert_eq(bt_points_take(&points, &place, &found), BT_OK);
            cr_assert_eq(found.point, want, "place %d, near %g", i, nears[k]);
            cr_assert(found.off <= nears[k]);
        }
        cr_expect_eq(points.n, n);
        bt_points_clear(&points);
    }
}

Test(points, are_not_merged_at_exactly_the_distance)
{
    const struct bt_point a = {0, 0}, b = {3, 0}, c = {2.999, 0};
    struct bt_points points;
    struct bt_points_found found;

    cr_assert_eq(bt_points_start(&points, 3), BT_OK);
    cr_assert_eq(bt_points_take(&points, &a, &found), BT_OK);
    cr_assert_eq(bt_points_take(&points, &b, &found), BT_OK);
    cr_expect_eq(found.point, 1);
    cr_expect_not(found.merged);
    cr_assert_eq(bt_points_take(&points, &c, &found), BT_OK);
    cr_expect_eq(found.point, 1);
    cr_expect(found.merged);
    cr_expect(fabs(found.off - 0.001) <= 1e-12);
    bt_points_clear(&points);
}

Test(points, count_a_place_that_comes_again_as_merged_once)
{
    const struct bt_point a = {10, 20}, b = {11, 20};
    struct bt_points points;
    struct bt_points_found found;

    cr_assert_eq(bt_points_start(&points, 3), BT_OK);
    bt_points_take(&points, &a, &found);
    bt_points_take(&points, &b, &found);
    cr_expect(found.merged);
    bt_points_take(&points, &b, &found);
    cr_expect_eq(found.point, 0);
    cr_expect_not(found.merged);
    cr_expect(fabs(found.off - 1) <= 1e-12);
    bt_points_clear(&points);
}

Test(points, take_places_far_beyond_any_panel)
{
    const struct bt_point far[] = {{1e300, -1e300}, {-1e300, 1e300}, {1e300, -1e300}};
    struct bt_points points;
    struct bt_points_found found;

    cr_assert_eq(bt_points_start(&points, 3), BT_OK);
    for (size_t i = 0; i < 3; i++)
        cr_assert_eq(bt_points_take(&points, &far[i], &found), BT_OK);
    cr_expect_eq(found.point, 0);
    cr_expect_eq(points.n, 2);
    bt_points_clear(&points);
}

/* Half a million distinct places that all fall into few points: a look at each place
 * met before would take hours. */
Test(points, take_many_places_in_one_spot_in_constant_time_each, .timeout = 60)
{
    struct bt_points points;
    struct bt_points_found found;
    uint64_t state = 7;

    cr_assert_eq(bt_points_start(&points, 3), BT_OK);
    for (int i = 0; i < 500000; i++) {
        struct bt_point place = {4 * next_share(&state), 4 * next_share(&state)};
        cr_assert_eq(bt_points_take(&points, &place, &found), BT_OK);
    }
    cr_expect(points.n < 10);
    bt_points_clear(&points);
}

static int by_value(const void *what, size_t a, size_t b)
{
    const double *value = what;

    if (value[a] != value[b])
        return value[a] < value[b] ? -1 : 1;
    return a < b ? -1 : a > b;
}

Test(order, sorts_indices_by_value_then_place)
{
    static double value[1000];
    static size_t index[1000];
    uint64_t state = 11;

    for (size_t n = 0; n < 1000; n += n < 10 ? 1 : 97) {
        for (size_t i = 0; i < n; i++) {
            value[i] = floor(50 * next_share(&state));
            index[i] = i;
        }
        bt_order(n, index, by_value, value);
        for (size_t i = 1; i < n; i++)
            cr_assert(by_value(value, index[i - 1], index[i]) < 0, "%zu of %zu", i, n);
    }
}

Test(names, are_found_by_text_and_tag)
{
    static char texts[500][12];
    struct bt_names names = {0};

    cr_expect_eq(bt_names_find(&names, "back", 4, 0), SIZE_MAX);
    for (size_t i = 0; i < 500; i++) {
        int length = sprintf(texts[i], "line %zu", i / 2);
        cr_assert_eq(bt_names_add(&names, texts[i], (size_t)length, i % 2 ? -1 : 7, i),
                     BT_OK);
    }
    for (size_t i = 0; i < 500; i++)
        cr_expect_eq(bt_names_find(&names, texts[i], strlen(texts[i]), i % 2 ? -1 : 7),
                     i);
    cr_expect_eq(bt_names_find(&names, "line 3", 6, 1), SIZE_MAX);
    cr_expect_eq(bt_names_find(&names, "line 250", 8, 7), SIZE_MAX);
    bt_names_clear(&names);
}

Test(names, are_alike_whatever_their_case)
{
    cr_expect(bt_names_alike("Gap_IN", "gap_in", 6));
    cr_expect_not(bt_names_alike("gap", "gab", 3));
    cr_expect_not(bt_names_alike("[", "{", 1));
}
