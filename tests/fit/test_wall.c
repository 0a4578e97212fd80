/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>

#include <math.h>
#include <stdint.h>

#include "benchtrue/fit/wall.h"

/* The same stream everywhere. */
static double noise(uint64_t *state)
{
    *state = *state * 6364136223846793005u + 1442695040888963407u;
    return (double)(*state >> 11) / 9007199254740992.0 - 0.5;
}

static void near(double got, double want, double tol)
{
    cr_expect(fabs(got - want) <= tol, "got %.12g, want %.12g", got, want);
}

static struct bt_wall_profile found(size_t n, const double at[], const double d[],
                                    double u)
{
    struct bt_wall_profile p;
    double us[64];

    for (size_t i = 0; i < n; i++)
        us[i] = u;
    cr_assert_eq(bt_wall_profile_find(n, at, d, us, &p, NULL), BT_OK);
    return p;
}

Test(wall, straight_edge_on_a_bump_rocks_and_gaps_at_the_far_end)
{
    const double at[] = {0, 250, 500, 750, 1000}, d[] = {4, 4, 1, 4, 4};
    struct bt_wall_profile p = found(5, at, d, 0.5);

    /* on the bump and one end: at the other end 3 + 3 mm */
    near(p.home.value, 6, 1e-12);
    near(p.home.u, 0.5 * sqrt(1 + 1 + 4), 1e-12);
    /* parallel to the wall: 3 mm at the ends */
    near(p.zone.value, 3, 1e-12);
    near(p.station[2].scribe, 3, 1e-12);
    near(p.station[0].scribe, 0, 1e-12);
    bt_wall_profile_clear(&p);
}

Test(wall, hollow_gaps_in_the_middle_and_is_scribed_at_the_ends)
{
    const double at[] = {100, 300, 600, 900}, d[] = {2, 5, 7, 2};
    struct bt_wall_profile p = found(4, at, d, 0.2);

    near(p.home.value, 5, 1e-12);
    cr_expect_eq(p.widest, 2);
    near(p.zone.value, 5, 1e-12);
    near(p.station[0].scribe, 5, 1e-12);
    near(p.station[1].scribe, 2, 1e-12);
    near(p.station[1].home, 3, 1e-12);
    near(bt_wall_profile_at(&p, 450), 4, 1e-12);
    near(bt_wall_profile_at(&p, 50), 0, 0);
    near(bt_wall_profile_at(&p, 950), 0, 0);
    bt_wall_profile_clear(&p);
}

Test(wall, place_and_tilt_of_the_batten_do_not_matter)
{
    const double at[] = {0, 200, 450, 700, 1100}, d[] = {0, 1.5, -2, 0.7, 0};
    double tilted[5];
    struct bt_wall_profile p = found(5, at, d, 0.3), q;

    for (int i = 0; i < 5; i++)
        tilted[i] = d[i] + 17.5 - 0.0123 * at[i];
    q = found(5, at, tilted, 0.3);
    near(q.zone.value, p.zone.value, 1e-9);
    near(q.home.value, p.home.value, 1e-9);
    near(q.station[2].offset, -2, 1e-9);
    bt_wall_profile_clear(&p);
    bt_wall_profile_clear(&q);
}

Test(wall, repeated_place_counts_with_its_weighted_mean)
{
    const double at[] = {0, 500, 1000, 500}, d[] = {0, 2, 0, 4}, u[] = {1, 1, 1, 0.5};
    struct bt_wall_profile p;

    cr_assert_eq(bt_wall_profile_find(4, at, d, u, &p, NULL), BT_OK);
    cr_expect_eq(p.n, 3);
    near(p.station[1].offset, (2 + 4 * 4) / 5.0, 1e-12);
    near(p.station[1].u, 1 / sqrt(5), 1e-12);
    bt_wall_profile_clear(&p);
}

Test(wall, two_places_show_no_shape)
{
    const double at[] = {0, 1000}, d[] = {3, 9};
    struct bt_wall_profile p = found(2, at, d, 1);

    cr_expect(!p.zone.seen && isnan(p.zone.value) && !p.home.seen);
    near(bt_wall_profile_at(&p, 500), 0, 1e-12);
    bt_wall_profile_clear(&p);
    near(bt_wall_profile_at(NULL, 500), 0, 0);
}

/* Every slope that two stations give, for the zone; every pair of stations as rests,
 * for the edge pushed home. */
static double zone_by_force(size_t n, const double at[], const double d[])
{
    double least = INFINITY;

    for (size_t i = 0; i < n; i++)
        for (size_t k = 0; k < n; k++) {
            double low = INFINITY, high = -INFINITY;

            if (k == i)
                continue;
            for (size_t q = 0; q < n; q++) {
                double slope = (d[k] - d[i]) / (at[k] - at[i]);

                low = fmin(low, d[q] - slope * at[q]);
                high = fmax(high, d[q] - slope * at[q]);
            }
            least = fmin(least, high - low);
        }
    return least;
}

static double home_by_force(size_t n, const double at[], const double d[])
{
    double low = INFINITY, high = -INFINITY, found = NAN;

    for (size_t i = 0; i < n; i++) {
        low = fmin(low, at[i]);
        high = fmax(high, at[i]);
    }
    for (size_t i = 0; i < n; i++)
        for (size_t k = 0; k < n; k++) {
            double slope = (d[k] - d[i]) / (at[k] - at[i]), most = 0;
            bool rests = at[i] < (low + high) / 2 && at[k] > (low + high) / 2;

            for (size_t q = 0; q < n && rests; q++) {
                double gap = d[q] - d[i] - slope * (at[q] - at[i]);

                rests = gap > -1e-9;
                most = fmax(most, gap);
            }
            if (rests)
                found = most;
        }
    return found;
}

Test(wall, agrees_with_trying_every_straight_edge)
{
    uint64_t state = 20261125;

    for (int round = 0; round < 3000; round++) {
        const size_t n = 3 + (size_t)round % 12;
        double at[16], d[16];
        struct bt_wall_profile p;

        for (size_t i = 0; i < n; i++) {
            at[i] = 100.0 * (double)((7 * i) % n) + 40 * noise(&state);
            d[i] = 12 * noise(&state);
        }
        /* 7 shares no factor with these n but 7 and 14 */
        if (n % 7 == 0)
            continue;
        p = found(n, at, d, 0.4);
        near(p.zone.value, zone_by_force(n, at, d), 1e-9);
        near(p.home.value, home_by_force(n, at, d), 1e-9);
        bt_wall_profile_clear(&p);
    }
}

Test(wall, refuses_what_is_no_number)
{
    const double at[] = {0, NAN}, d[] = {0, 1}, u[] = {1, 1}, good[] = {0, 1};
    const double none[] = {1, 0};
    struct bt_wall_profile p;
    struct bt_error err = {0};

    cr_expect_eq(bt_wall_profile_find(2, at, d, u, &p, &err), BT_EINPUT);
    cr_expect_eq(err.row, 1);
    cr_expect_str_eq(
        err.message,
        "a place, offset or uncertainty of a wall is no number that can be "
        "used");
    bt_wall_profile_clear(&p);
    cr_expect_eq(bt_wall_profile_find(2, good, d, none, &p, &err), BT_EINPUT);
    bt_wall_profile_clear(&p);
    cr_expect_eq(bt_wall_profile_find(0, NULL, NULL, NULL, &p, &err), BT_OK);
    cr_expect_eq(p.n, 0);
    bt_wall_profile_clear(&p);
}
