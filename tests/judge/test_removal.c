/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>
#include <gsl/gsl_errno.h>
#include <math.h>
#include <string.h>

#include "judge/nine.h"
#include "support/memory.h"

static void quiet(void)
{
    gsl_set_error_handler_off();
}

TestSuite(removal, .init = quiet);

Test(removal, of_several_planes_of_least_volume_takes_the_one_that_is_least_deep)
{
    const struct nine s = square(hollow);
    const struct bt_removal_face f = face(&s);
    struct bt_removal_cut cut;

    cr_assert_eq(bt_removal_least_volume(&f, &cut, NULL), BT_OK);
    near(cut.mean, 6.0 / 9.0, 1e-12, "mean");
    near(cut.largest, 1.0, 1e-12, "largest");
    near(cut.plane.a, 0.0, 1e-12, "a");
    near(cut.plane.b, 0.0, 1e-14, "b");
    near(cut.plane.c, 0.0, 1e-14, "c");
    cr_expect_eq(cut.ncontact, 1);
    cr_expect_eq(cut.contact[0], 4);
}

/* Crowned across (rows 0, 1, 0): the two outer rows carry the plane, 1 mm comes off the
 * middle one; the volume is the same for any plane on the two rows. */
static const double crowned[NINE] = {0, 0, 0, 1, 1, 1, 0, 0, 0};

Test(removal, a_crown_is_cut_down_to_its_edges)
{
    const struct nine s = square(crowned);
    const struct bt_removal_face f = face(&s);
    struct bt_removal_cut depth, volume;

    cr_assert_eq(bt_removal_least_depth(&f, &depth, NULL), BT_OK);
    cr_assert_eq(bt_removal_least_volume(&f, &volume, NULL), BT_OK);
    near(depth.largest, 1.0, 1e-12, "depth");
    near(volume.largest, 1.0, 1e-12, "depth at least volume");
    near(volume.mean, 1.0 / 3.0, 1e-12, "mean");
    cr_expect(depth.deepest >= 3 && depth.deepest <= 5);
    near(s.z[volume.deepest], 1.0, 0.0, "deepest");
}

/* Twisted: corners up, down.  Least depth 2 mm (the zone); contacts are two low
 * corners, and the plane under them. */
Test(removal, a_twist_costs_its_zone)
{
    static const double twisted[NINE] = {1, 0, -1, 0, 0, 0, -1, 0, 1};
    const struct nine s = square(twisted);
    const struct bt_removal_face f = face(&s);
    struct bt_removal_cut cut;

    cr_assert_eq(bt_removal_least_depth(&f, &cut, NULL), BT_OK);
    near(cut.largest, 2.0, 1e-12, "largest");
    near(cut.mean, 1.0, 1e-12, "mean");
    /* 2 up, 2 down, each with weight 1/2: u = 0.02 sqrt(4/4). */
    near(cut.u, 0.02, 1e-12, "u");
}

/* A lone spike: it all comes off, u its own and that of the three that carry the plane
 * with the factors of the spike's place (0, 1/2, 1/2 at the middle of a diagonal). */
Test(removal, u_of_a_depth_is_that_of_its_place_and_of_the_contacts)
{
    static const double spike[NINE] = {0, 0.1, 0, 0.1, 2.0, 0.1, 0.1, 0.1, 0};
    const struct nine s = square(spike);
    struct bt_removal_face f = face(&s);
    struct bt_removal_cut cut;

    cr_assert_eq(bt_removal_least_volume(&f, &cut, NULL), BT_OK);
    near(cut.largest, 2.0, 1e-12, "largest");
    cr_expect_eq(cut.deepest, 4);
    near(cut.u, 0.02 * sqrt(1.5), 1e-12, "u");
    f.u = NULL;
    cr_assert_eq(bt_removal_least_volume(&f, &cut, NULL), BT_OK);
    cr_expect(isnan(cut.u));
}

/* Heights moved one at a time by a small step show the same factors. */
Test(removal, u_is_what_small_changes_of_the_heights_make_of_the_depths)
{
    static const double z[NINE] = {0.31,  -0.2, 0.17, 0.02, 0.4,
                                   -0.11, -0.3, 0.25, 0.09};
    const double step = 1e-6;
    struct nine s = scattered(z);
    const struct bt_removal_face f = face(&s);
    struct bt_removal_cut depth, volume, moved;
    double sum_depth = 0.0, sum_volume = 0.0;

    for (size_t i = 0; i < NINE; i++)
        s.u[i] = 0.01 * (double)(i + 1);
    cr_assert_eq(bt_removal_least_depth(&f, &depth, NULL), BT_OK);
    cr_assert_eq(bt_removal_least_volume(&f, &volume, NULL), BT_OK);
    for (size_t i = 0; i < NINE; i++) {
        s.z[i] = z[i] + step;
        cr_assert_eq(bt_removal_least_depth(&f, &moved, NULL), BT_OK);
        sum_depth += pow((moved.largest - depth.largest) / step * s.u[i], 2.0);
        cr_assert_eq(bt_removal_least_volume(&f, &moved, NULL), BT_OK);
        sum_volume += pow((moved.largest - volume.largest) / step * s.u[i], 2.0);
        s.z[i] = z[i];
    }
    near(depth.u, sqrt(sum_depth), 1e-8, "depth");
    near(volume.u, sqrt(sum_volume), 1e-8, "volume");
}

static double sum_of(const struct bt_removal_cut *cut, const double z[],
                     const double bottom[], double *factors)
{
    double sum = 0.0;

    *factors = 0.0;
    for (int i = 0; i < cut->nterm; i++) {
        const struct bt_removal_term *t = &cut->term[i];

        sum += t->factor * (t->bottom ? bottom : z)[t->point];
        *factors += t->factor;
    }
    return sum;
}

Test(removal, of_the_deepest_place_is_the_sum_of_its_terms)
{
    static const double z[NINE] = {0.31,  -0.2, 0.17, 0.02, 0.4,
                                   -0.11, -0.3, 0.25, 0.09};
    static const double w[NINE] = {-20.1, -20.4, -19.8, -20.2, -20.0,
                                   -20.3, -19.9, -20.1, -20.6};
    const struct nine s = scattered(z), b = scattered(w), h = square(hollow);
    const struct bt_removal_face top = face(&s), bottom = face(&b), tied = face(&h);
    struct bt_removal_cut cut;
    struct bt_removal_pair pair;
    double factors;

    cr_assert_eq(bt_removal_least_depth(&top, &cut, NULL), BT_OK);
    near(sum_of(&cut, z, w, &factors), cut.largest, 1e-12, "least depth");
    near(factors, 0.0, 1e-12, "a lift changes nothing");
    cr_assert_eq(bt_removal_least_volume(&top, &cut, NULL), BT_OK);
    near(sum_of(&cut, z, w, &factors), cut.largest, 1e-12, "least volume");
    near(factors, 0.0, 1e-12, "a lift changes nothing");
    cr_assert_eq(bt_removal_least_volume(&tied, &cut, NULL), BT_OK);
    near(sum_of(&cut, hollow, w, &factors), cut.largest, 1e-12,
         "least deep of several");
    cr_assert_eq(bt_removal_parallel(&top, &bottom, &pair, NULL), BT_OK);
    near(sum_of(&pair.top, z, w, &factors), pair.top.largest, 1e-12, "top");
    near(sum_of(&pair.bottom, z, w, &factors), pair.bottom.largest, 1e-12, "bottom");
}

Test(removal, does_not_change_when_the_face_is_lifted_or_tilted)
{
    static const double z[NINE] = {0.31,  -0.2, 0.17, 0.02, 0.4,
                                   -0.11, -0.3, 0.25, 0.09};
    const struct nine s = square(z);
    struct nine t = s;
    const struct bt_removal_face f = face(&s), g = face(&t);
    struct bt_removal_cut a, b;

    for (size_t i = 0; i < NINE; i++)
        t.z[i] += 812.5 + 0.03 * t.p[i].x - 0.011 * t.p[i].y;
    cr_assert_eq(bt_removal_least_depth(&f, &a, NULL), BT_OK);
    cr_assert_eq(bt_removal_least_depth(&g, &b, NULL), BT_OK);
    near(b.largest, a.largest, 1e-11, "least depth");
    near(b.mean, a.mean, 1e-11, "its mean");
    near(b.u, a.u, 1e-9, "its u");
    cr_expect_eq(b.deepest, a.deepest);
    cr_assert_eq(bt_removal_least_volume(&f, &a, NULL), BT_OK);
    cr_assert_eq(bt_removal_least_volume(&g, &b, NULL), BT_OK);
    near(b.largest, a.largest, 1e-11, "depth of least volume");
    near(b.mean, a.mean, 1e-11, "mean");
    near(b.plane.b, a.plane.b + 0.03, 1e-13, "slope");
    near(b.plane.c, a.plane.c - 0.011, 1e-13, "slope");
}

Test(removal, of_a_plane_is_nothing)
{
    double z[NINE];
    struct nine s;
    struct bt_removal_face f;
    struct bt_removal_cut cut;

    for (size_t i = 0; i < NINE; i++)
        z[i] = 5.0 + 0.01 * (double)(i % 3) - 0.02 * (double)(i / 3);
    s = square(z);
    f = face(&s);
    cr_assert_eq(bt_removal_least_depth(&f, &cut, NULL), BT_OK);
    near(cut.largest, 0.0, 1e-13, "least depth");
    cr_assert_eq(bt_removal_least_volume(&f, &cut, NULL), BT_OK);
    near(cut.largest, 0.0, 1e-13, "least volume");
    near(cut.mean, 0.0, 1e-13, "mean");
}

Test(removal, shares_move_the_plane_of_least_volume)
{
    static const double z[NINE] = {0, 0, 0, 0, 0.5, 1, 0, 0, 0};
    const struct nine s = square(z);
    struct bt_removal_face f = face(&s);
    double share[NINE] = {0, 0, 0, 0, 0, 1, 0, 0, 0}, depth[NINE];
    struct bt_removal_cut cut;

    /* All the area at the middle of an edge: a plane stands on it from outside. */
    f.share = share;
    cr_assert_eq(bt_removal_least_volume(&f, &cut, NULL), BT_OK);
    near(cut.mean, 1.0, 1e-12, "mean of that place");
    share[4] = 1.0;
    cr_assert_eq(bt_removal_least_volume(&f, &cut, NULL), BT_OK);
    near(cut.mean, 0.75, 1e-12, "mean of the two");
    bt_removal_depths(&f, &cut.plane, depth);
    near(depth[4], 0.5, 1e-12, "depth");
    near(depth[5], 1.0, 1e-12, "depth");
    near(depth[0], 0.0, 0.0, "depth");
}

Test(removal, depths_under_a_plane_are_nothing)
{
    const struct nine s = square(hollow);
    const struct bt_removal_face f = face(&s);
    const struct bt_plane plane = {0.75, 0.0, 0.0};
    double depth[NINE];

    bt_removal_depths(&f, &plane, depth);
    near(depth[0], 0.25, 1e-15, "corner");
    near(depth[1], 0.0, 0.0, "side");
    near(depth[4], 0.0, 0.0, "middle");
}

Test(removal, passes_are_counted_up)
{
    near(bt_removal_passes(1.2, 0.5), 3.0, 0.0, "1.2 by 0.5");
    near(bt_removal_passes(1.0, 0.5), 2.0, 0.0, "1.0 by 0.5");
    near(bt_removal_passes(1.0 + 1e-9, 0.5), 2.0, 0.0, "a rounding more");
    near(bt_removal_passes(0.0, 0.5), 0.0, 0.0, "nothing");
    near(bt_removal_passes(-1.0, 0.5), 0.0, 0.0, "less than nothing");
    cr_expect(isnan(bt_removal_passes(1.0, 0.0)));
    cr_expect(isnan(bt_removal_passes(1.0, NAN)));
    cr_expect(isnan(bt_removal_passes(NAN, 0.5)));
    cr_expect(isnan(bt_removal_passes(INFINITY, 0.5)));
}

/* Top flat at 0; bottom -25 with a hollow of 0.6 upwards in the middle: a panel of even
 * 24.4 could be cut, with nothing off the top and 0.6 off everywhere but the middle. */
Test(removal, two_faces_leave_the_thickest_panel_between_them)
{
    static const double flat[NINE] = {0},
                        under[NINE] = {-25, -25, -25, -25, -24.4, -25, -25, -25, -25};
    const struct nine s = square(flat), b = square(under);
    const struct bt_removal_face top = face(&s), bottom = face(&b);
    struct bt_removal_pair pair;

    cr_assert_eq(bt_removal_parallel(&top, &bottom, &pair, NULL), BT_OK);
    near(pair.thickness, 24.4, 1e-12, "thickness");
    /* The plane may tilt about the middle until it touches the top. */
    cr_expect(pair.bottom.largest >= 0.6 - 1e-12 && pair.bottom.largest <= 1.2 + 1e-12,
              "%g", pair.bottom.largest);
    near(pair.top.mean + pair.bottom.mean, 0.6 * 8.0 / 9.0, 1e-12, "both together");
    cr_expect_eq(pair.bottom.ncontact, 1);
    cr_expect_eq(pair.bottom.contact[0], 4);
    cr_expect(pair.u > 0.02 && pair.u <= 0.02 * sqrt(2.0) + 1e-12, "u %g", pair.u);
}

Test(removal, a_twist_that_both_faces_share_costs_its_zone_once)
{
    static const double twisted[NINE] = {1, 0, -1, 0, 0, 0, -1, 0, 1};
    const struct nine s = square(twisted);
    struct nine b = s;
    const struct bt_removal_face top = face(&s), bottom = face(&b);
    struct bt_removal_pair pair, nominal;

    for (size_t i = 0; i < NINE; i++)
        b.z[i] -= 25.0;
    cr_assert_eq(bt_removal_parallel(&top, &bottom, &pair, NULL), BT_OK);
    near(pair.thickness, 23.0, 1e-12, "thickness");
    near(pair.top.largest, 2.0, 1e-12, "top");
    near(pair.bottom.largest, 2.0, 1e-12, "bottom");
    cr_assert_eq(bt_removal_nominal(&top, 25.0, 0.3, &nominal, NULL), BT_OK);
    near(nominal.thickness, 23.0, 1e-12, "from the nominal thickness");
    near(nominal.u, hypot(0.02, 0.3), 1e-12, "u");
    near(nominal.top.largest, 2.0, 1e-12, "top, nominal");
    near(nominal.bottom.largest, 2.0, 1e-12, "bottom, nominal");
    near(nominal.bottom.mean, 1.0, 1e-12, "bottom, nominal");
    near(nominal.top.plane.a - nominal.bottom.plane.a, 23.0, 1e-12, "planes");
    cr_expect_eq(nominal.top.ncontact, 2);
    cr_expect_eq(nominal.top.contact[0], 2);
    cr_expect_eq(nominal.top.contact[1], 6);
    cr_expect_eq(nominal.bottom.contact[0], 0);
    cr_expect_eq(nominal.bottom.contact[1], 8);
}

Test(removal, u_of_the_thickest_panel_is_what_small_changes_make_of_it)
{
    static const double z[NINE] = {0.31,  -0.2, 0.17, 0.02, 0.4,
                                   -0.11, -0.3, 0.25, 0.09};
    static const double w[NINE] = {-20.1, -20.4, -19.8, -20.2, -20.0,
                                   -20.3, -19.9, -20.1, -20.6};
    const double step = 1e-6;
    struct nine s = scattered(z), b = scattered(w);
    const struct bt_removal_face top = face(&s), bottom = face(&b);
    struct bt_removal_pair pair, moved;
    double sum = 0.0, sum_top = 0.0, sum_bottom = 0.0;

    for (size_t i = 0; i < 2 * NINE; i++) {
        double *h = i < NINE ? &s.z[i] : &b.z[i - NINE];
        const double u = 0.02, kept = *h;

        cr_assert_eq(bt_removal_parallel(&top, &bottom, &pair, NULL), BT_OK);
        *h = kept + step;
        cr_assert_eq(bt_removal_parallel(&top, &bottom, &moved, NULL), BT_OK);
        *h = kept;
        sum += pow((moved.thickness - pair.thickness) / step * u, 2.0);
        sum_top += pow((moved.top.largest - pair.top.largest) / step * u, 2.0);
        sum_bottom += pow((moved.bottom.largest - pair.bottom.largest) / step * u, 2.0);
    }
    near(pair.u, sqrt(sum), 1e-8, "thickness");
    near(pair.top.u, sqrt(sum_top), 1e-8, "top");
    near(pair.bottom.u, sqrt(sum_bottom), 1e-8, "bottom");
}

/* 600 wide, 5 joints, kerf 3, jointing 0.8 an edge, trim 1: 600 - 5 x 4.6 - 2 = 575. */
Test(removal, a_rip_costs_kerf_and_two_edges_a_joint)
{
    struct bt_rip_request r = {600.0, 5, 3.0, 0.8, 1.0, 0.1};
    struct bt_rip rip;
    struct bt_error err;
    static const char *const cuts =
        "kerf, jointing and trim must be finite numbers from 0 up";

    cr_assert_eq(bt_removal_rip(&r, &rip, NULL), BT_OK);
    near(rip.width, 575.0, 1e-12, "width");
    near(rip.lost, 25.0, 1e-12, "lost");
    near(rip.u, 0.1 * sqrt(17.0), 1e-12, "u");
    r.u_cut = NAN;
    cr_assert_eq(bt_removal_rip(&r, &rip, NULL), BT_OK);
    cr_expect(isnan(rip.u));
    r.u_cut = -1.0;
    cr_expect_eq(bt_removal_rip(&r, &rip, &err), BT_EINPUT);
    cr_expect_str_eq(err.message, "u of a cut is not a finite number from 0 up");
    r.u_cut = NAN;
    r.kerf = NAN;
    cr_expect_eq(bt_removal_rip(&r, &rip, &err), BT_EINPUT);
    cr_expect_str_eq(err.message, cuts);
    r.kerf = 3.0;
    r.jointing = -1.0;
    cr_expect_eq(bt_removal_rip(&r, &rip, &err), BT_EINPUT);
    cr_expect_str_eq(err.message, cuts);
    r.jointing = 0.8;
    r.trim = INFINITY;
    cr_expect_eq(bt_removal_rip(&r, &rip, &err), BT_EINPUT);
    cr_expect_str_eq(err.message, cuts);
    r.width = 0.0;
    cr_expect_eq(bt_removal_rip(&r, &rip, &err), BT_EINPUT);
    cr_expect_str_eq(err.message, "the width is not a finite number above 0");
    near(rip.width, 575.0, 1e-12, "untouched");
}

static void refused(const struct bt_removal_face *f, enum bt_status status, size_t row,
                    const char *message)
{
    struct bt_removal_cut cut = {.largest = 7.0};
    struct bt_removal_pair pair = {.thickness = 7.0};
    struct bt_error err = {0};
    char prefixed[128] = "bottom: ";
    const struct nine good = square(hollow);
    const struct bt_removal_face top = face(&good);

    cr_expect_eq(bt_removal_least_depth(f, &cut, &err), status);
    cr_expect_str_eq(err.message, message);
    cr_expect_eq(err.row, row);
    cr_expect_eq(bt_removal_least_volume(f, &cut, &err), status);
    cr_expect_str_eq(err.message, message);
    cr_expect_eq(bt_removal_nominal(f, 20.0, 0.1, &pair, &err), status);
    cr_expect_str_eq(err.message, message);
    cr_expect_eq(bt_removal_parallel(&top, f, &pair, &err), status);
    strcat(prefixed, message);
    cr_expect_str_eq(err.message, prefixed);
    cr_expect(cut.largest == 7.0 && pair.thickness == 7.0);
    cr_expect_eq(bt_removal_least_depth(f, &cut, NULL), status);
}

Test(removal, refuses_what_is_no_face)
{
    struct nine s = square(hollow);
    struct bt_removal_face f = face(&s);
    double share[NINE] = {0};

    f.n = 2;
    refused(&f, BT_EINPUT, 2, "2 places are too few for a face, 3 would do");
    f.n = 3;
    refused(&f, BT_ESINGULAR, 0,
            "all 3 points lie on one line, a plane needs one beside it");
    f.n = NINE;
    s.z[5] = NAN;
    refused(&f, BT_EINPUT, 5, "place 6 is not three finite numbers");
    s.z[5] = 0.5;
    s.p[0].x = INFINITY;
    refused(&f, BT_EINPUT, 0, "place 1 is not three finite numbers");
    s.p[0].x = 0.0;
    s.u[2] = NAN;
    refused(&f, BT_EINPUT, 2, "u of place 3 is not a finite number from 0 up");
    s.u[2] = 0.02;
    f.share = share;
    refused(&f, BT_EINPUT, 0, "the shares of the places sum to nothing");
    share[8] = -1.0;
    refused(&f, BT_EINPUT, 8, "share of place 9 is not a finite number from 0 up");
}

Test(removal, refuses_two_faces_that_do_not_overlap_and_a_thickness_of_nothing)
{
    const struct nine s = square(hollow);
    struct nine b = s;
    const struct bt_removal_face top = face(&s), bottom = face(&b);
    struct bt_removal_pair pair;
    struct bt_error err;

    for (size_t i = 0; i < NINE; i++)
        b.p[i].x += 500.0;
    cr_expect_eq(bt_removal_parallel(&top, &bottom, &pair, &err), BT_ESINGULAR);
    cr_expect_str_eq(err.message, "the places of the two faces do not overlap");
    for (double t = -1.0; t <= 0.0; t += 1.0) {
        cr_expect_eq(bt_removal_nominal(&top, t, 0.1, &pair, &err), BT_EINPUT);
        cr_expect_str_eq(err.message, "the thickness is not a finite number above 0");
    }
    cr_expect_eq(bt_removal_nominal(&top, NAN, 0.1, &pair, NULL), BT_EINPUT);
    cr_assert_eq(bt_removal_nominal(&top, 20.0, NAN, &pair, NULL), BT_OK);
    cr_expect(isnan(pair.u));
}

Test(removal, refuses_numbers_too_large_to_reckon_with)
{
    struct nine s = square(hollow);
    const struct bt_removal_face f = face(&s);
    struct bt_removal_cut cut;

    s.z[4] = 1e200;
    cr_expect_eq(bt_removal_least_depth(&f, &cut, NULL), BT_EINPUT);
}

/* Each call of the library, by number. */
static enum bt_status call(int which, const struct bt_removal_face *f,
                           struct bt_error *err)
{
    const struct bt_rectangle r = {0.0, 0.0, 200.0, 200.0};
    struct bt_removal_cut cut;
    struct bt_removal_pair pair;
    struct bt_removal_under under = {0};
    double share[NINE];
    enum bt_status status = BT_OK;

    switch (which) {
    case 0:
        return bt_removal_least_depth(f, &cut, err);
    case 1:
        return bt_removal_least_volume(f, &cut, err);
    case 2:
        return bt_removal_parallel(f, f, &pair, err);
    case 3:
        return bt_removal_nominal(f, 20.0, 0.1, &pair, err);
    case 4:
        return bt_removal_shares(NINE, f->p, &r, share, err);
    case 5:
        status = bt_removal_underside(f, 4, caliper, 3.0, &under, err);
        break;
    default:
        status = bt_removal_turned(f, f, 200.0, 4, caliper, 3.0, &under, err);
        break;
    }
    bt_removal_under_clear(&under);
    return status;
}

Test(removal, survives_each_failed_allocation_without_a_leak)
{
    static const char *const message[] = {
        "no memory for the removal of wood", "no memory for the removal of wood",
        "no memory for the removal of wood", "no memory for the removal of wood",
        "no memory for shares of the area",  "no memory for the lower face",
        "no memory for the lower face"};
    const struct nine s = square(hollow);
    const struct bt_removal_face f = face(&s);

    for (int which = 0; which < 7; which++) {
        size_t calls = 1;

        for (size_t k = 1; k <= calls; k++) {
            const size_t live = memory_live();
            struct bt_error err = {0};
            enum bt_status status;

            memory_fail_at(0);
            cr_assert_eq(call(which, &f, NULL), BT_OK, "call %d", which);
            calls = memory_calls();
            memory_fail_at(k);
            status = call(which, &f, &err);
            memory_fail_at(0);
            cr_expect_eq(status, BT_ENOMEM, "call %d, allocation %zu", which, k);
            cr_expect_str_eq(err.message, message[which]);
            cr_expect_eq(memory_live(), live, "call %d, allocation %zu", which, k);
        }
    }
}
