/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>
#include <gsl/gsl_errno.h>
#include <math.h>
#include <string.h>

#include "benchtrue/judge/high_spots.h"
#include "benchtrue/surface/zone.h"
#include "support/memory.h"

static void quiet(void)
{
    gsl_set_error_handler_off();
}

TestSuite(high_spots, .init = quiet);

enum { COLUMNS = 9, ROWS = 5, N = COLUMNS * ROWS };

static const struct bt_rectangle panel = {0.0, 0.0, 1200.0, 600.0};

struct top {
    struct bt_point p[N];
    double z[N], u[N];
};

/* Crowned across by `cup` and bent along by `bow`, twisted, tilted. */
static struct top formed(double cup, double bow, double twist)
{
    struct top t;

    for (size_t i = 0; i < N; i++) {
        const double x = 150.0 * (double)(i % COLUMNS),
                     y = 150.0 * (double)(i / COLUMNS);
        const double u = x / 600.0 - 1.0, v = y / 300.0 - 1.0;

        t.p[i] = (struct bt_point){x, y};
        t.z[i] = -bow * u * u - cup * v * v + twist / 4.0 * u * v;
        t.u[i] = 0.03;
    }
    return t;
}

static struct bt_high_spots_request request(const struct top *t)
{
    struct bt_high_spots_request r = {.face = {N, t->p, t->z, t->u, NULL},
                                      .rectangle = panel,
                                      .local_span = NAN,
                                      .band = 6.0,
                                      .step = 1e-4};

    for (int k = 0; k < BT_FIGURE_COUNT; k++)
        r.aim[k] = NAN;
    return r;
}

static struct bt_high_spots found(const struct bt_high_spots_request *r)
{
    struct bt_high_spots s = {0};
    struct bt_error err = {0};

    cr_assert_eq(bt_high_spots_find(r, &s, &err), BT_OK, "%s", err.message);
    return s;
}

static void near(double got, double want, double tol, const char *what)
{
    cr_expect(fabs(got - want) <= tol, "%s: got %.12g, want %.12g", what, got, want);
}

/* A crown of 1.2 mm to a zone of 0.5: the plane stands 0.5 over the edges, so 0.7 comes
 * off the middle row and, at v = 1/2, 0.9 - 0.5 = 0.4 off the two beside it. */
Test(high_spots, a_crown_is_planed_down_to_the_zone)
{
    const struct top t = formed(1.2, 0.0, 0.0);
    struct bt_high_spots_request r = request(&t);
    struct bt_high_spots s;

    r.aim[BT_FIGURE_ZONE] = 0.5;
    s = found(&r);
    cr_expect(s.needed);
    near(s.largest, 0.7, 1.1e-4, "largest");
    near(s.depth[2 * COLUMNS + 4], 0.7, 1.1e-4, "middle");
    near(s.depth[COLUMNS + 4], 0.4, 1.1e-4, "beside");
    near(s.depth[4], 0.0, 0.0, "edge");
    near(s.touched, 0.6, 1e-12, "rows touched");
    near(s.mean, (0.7 + 0.4 + 0.4) / 5.0, 1.1e-4, "mean");
    near(s.before[BT_FIGURE_ZONE], 1.2, 1e-6, "before");
    cr_expect(s.after[BT_FIGURE_ZONE] <= 0.5 && s.after[BT_FIGURE_ZONE] > 0.4995);
    cr_expect(isnan(s.after[BT_FIGURE_CUP]));
    near(s.u, 0.03, 0.0, "u");
    cr_expect_eq(s.highest / COLUMNS, 2);
    bt_high_spots_clear(&s);
    cr_expect(s.depth == NULL);
    bt_high_spots_clear(NULL);
}

Test(high_spots, leaves_a_face_alone_that_is_good)
{
    const struct top t = formed(0.3, 0.1, 0.2);
    struct bt_high_spots_request r = request(&t);
    struct bt_high_spots s;

    r.aim[BT_FIGURE_CUP] = 0.31;
    r.aim[BT_FIGURE_TWIST] = 0.21;
    s = found(&r);
    cr_expect(!s.needed);
    near(s.largest, 0.0, 0.0, "largest");
    near(s.mean, 0.0, 0.0, "mean");
    near(s.touched, 0.0, 0.0, "touched");
    near(s.before[BT_FIGURE_CUP], 0.3, 1e-12, "cup");
    near(s.before[BT_FIGURE_TWIST], 0.2, 1e-12, "twist");
    near(s.after[BT_FIGURE_CUP], 0.3, 1e-12, "cup after");
    bt_high_spots_clear(&s);
}

/* What is promised holds when the depths are taken off and everything is found anew. */
Test(high_spots, every_figure_asked_for_holds_when_the_depths_are_off)
{
    const struct top t = formed(0.9, -0.6, 1.4);
    struct bt_high_spots_request r = request(&t), again;
    struct top cut = t;
    struct bt_high_spots s, rest;

    r.aim[BT_FIGURE_CUP] = 0.4;
    r.aim[BT_FIGURE_BOW] = 0.35;
    r.aim[BT_FIGURE_TWIST] = 0.5;
    r.aim[BT_FIGURE_RANGE] = 0.7;
    r.aim[BT_FIGURE_ZONE] = 0.6;
    r.aim[BT_FIGURE_LOCAL] = 0.3;
    r.local_span = 600.0;
    s = found(&r);
    for (size_t i = 0; i < N; i++)
        cut.z[i] = t.z[i] - s.depth[i];
    again = r;
    again.face.z = cut.z;
    for (int k = 0; k < BT_FIGURE_COUNT; k++)
        again.aim[k] = r.aim[k] + 1e-12;
    rest = found(&again);
    cr_expect(!rest.needed);
    for (int k = 0; k < BT_FIGURE_COUNT; k++) {
        cr_expect(fabs(s.after[k]) <= r.aim[k], "figure %d", k);
        cr_expect(fabs(rest.before[k] - s.after[k]) <= 1e-9, "figure %d: %g, %g", k,
                  rest.before[k], s.after[k]);
    }
    bt_high_spots_clear(&s);
    bt_high_spots_clear(&rest);
}

Test(high_spots, a_wider_limit_takes_off_less)
{
    const struct top t = formed(0.9, 0.5, 1.4);
    struct bt_high_spots_request r = request(&t);
    double before = HUGE_VAL;

    for (double aim = 0.1; aim < 3.0; aim += 0.2) {
        struct bt_high_spots s;

        r.aim[BT_FIGURE_ZONE] = aim;
        s = found(&r);
        cr_expect(s.mean <= before + 1e-12, "aim %g: %g after %g", aim, s.mean, before);
        before = s.mean;
        bt_high_spots_clear(&s);
    }
    near(before, 0.0, 0.0, "the widest");
}

Test(high_spots, do_not_change_when_the_face_is_lifted_or_tilted)
{
    struct top t = formed(0.9, 0.5, 1.4);
    struct bt_high_spots_request r = request(&t);
    struct bt_high_spots a, b;

    r.aim[BT_FIGURE_RANGE] = 0.8;
    a = found(&r);
    for (size_t i = 0; i < N; i++)
        t.z[i] += 312.0 + 0.01 * t.p[i].x - 0.02 * t.p[i].y;
    b = found(&r);
    for (size_t i = 0; i < N; i++)
        cr_expect(fabs(a.depth[i] - b.depth[i]) <= 1e-9, "place %zu: %g, %g", i,
                  a.depth[i], b.depth[i]);
    cr_expect_eq(a.reference, b.reference);
    near(b.plane.b, a.plane.b + 0.01, 1e-12, "slope");
    bt_high_spots_clear(&a);
    bt_high_spots_clear(&b);
}

/* The level goes as far down as the whole face, if need be: nothing is left of it. */
Test(high_spots, to_almost_nothing_is_the_whole_face)
{
    const struct top t = formed(0.9, 0.5, 1.4);
    struct bt_high_spots_request r = request(&t);
    struct bt_removal_cut cut;
    struct bt_high_spots s;

    r.step = 1e-9;
    r.aim[BT_FIGURE_ZONE] = 1e-6;
    s = found(&r);
    cr_assert_eq(bt_removal_least_volume(&r.face, &cut, NULL), BT_OK);
    near(s.mean, cut.mean, 2e-6, "mean");
    bt_high_spots_clear(&s);
}

/* The default step: a 512th of the whole depth. */
Test(high_spots, without_a_step_is_found_to_a_512th)
{
    const struct top t = formed(1.2, 0.0, 0.0);
    struct bt_high_spots_request r = request(&t);
    struct bt_high_spots s;

    r.step = NAN;
    r.aim[BT_FIGURE_ZONE] = 0.5;
    s = found(&r);
    cr_expect(s.largest >= 0.7 - 1e-12 && s.largest <= 0.7 + 1.2 / 512.0, "%g",
              s.largest);
    bt_high_spots_clear(&s);
}

static void refused(const struct bt_high_spots_request *r, enum bt_status status,
                    const char *message)
{
    struct bt_high_spots s = {.mean = 7.0};
    struct bt_error err = {0};

    cr_expect_eq(bt_high_spots_find(r, &s, &err), status, "%s", message);
    cr_expect_str_eq(err.message, message);
    cr_expect(s.mean == 7.0);
    cr_expect_eq(bt_high_spots_find(r, &s, NULL), status);
}

Test(high_spots, refuse_what_cannot_be_found)
{
    struct top t = formed(1.2, 0.0, 0.0);
    struct bt_high_spots_request r = request(&t);

    refused(&r, BT_EINPUT, "no figure is to come down");
    r.aim[BT_FIGURE_CUP] = 0.0;
    refused(&r, BT_EINPUT, "the aim of cup is not a finite number above 0");
    r.aim[BT_FIGURE_CUP] = INFINITY;
    refused(&r, BT_EINPUT, "the aim of cup is not a finite number above 0");
    r.aim[BT_FIGURE_CUP] = 0.5;
    r.aim[BT_FIGURE_LOCAL] = 0.5;
    refused(&r, BT_EINPUT,
            "the span of the straightedge is not a finite number above 0");
    r.local_span = 600.0;
    r.rectangle.y1 = 0.0;
    refused(&r, BT_EINPUT, "the rectangle has no area");
    r.rectangle.y1 = NAN;
    refused(&r, BT_EINPUT, "the rectangle has no area");
    r.rectangle = panel;
    t.z[3] = NAN;
    refused(&r, BT_EINPUT, "place 4 is not three finite numbers");
    t.z[3] = 0.0;
    r.face.n = 2;
    refused(&r, BT_EINPUT, "2 places are too few for a face, 3 would do");
    r.face.n = 3;
    refused(&r, BT_ESINGULAR,
            "all 3 points lie on one line, a plane needs one beside it");
}

/* Four corners show a twist and no cup. */
Test(high_spots, refuse_a_figure_that_the_places_do_not_show)
{
    const struct bt_point corner[] = {{0, 0}, {1200, 0}, {1200, 600}, {0, 600}};
    const double z[] = {0.5, 0.0, 0.5, 0.0};
    const struct top t = formed(0.0, 0.0, 0.0);
    struct bt_high_spots_request r = request(&t);

    r.face = (struct bt_removal_face){4, corner, z, NULL, NULL};
    r.aim[BT_FIGURE_CUP] = 0.3;
    refused(&r, BT_EINPUT, "the places do not show cup");
    r.aim[BT_FIGURE_CUP] = NAN;
    r.aim[BT_FIGURE_LOCAL] = 0.3;
    r.local_span = 2000.0;
    refused(&r, BT_EINPUT, "the places do not show local");
}

Test(high_spots, survive_each_failed_allocation_without_a_leak)
{
    const struct top t = formed(0.9, 0.5, 1.4);
    struct bt_high_spots_request r = request(&t);
    size_t calls = 1;

    r.aim[BT_FIGURE_ZONE] = 0.9;
    r.aim[BT_FIGURE_LOCAL] = 0.4;
    r.local_span = 600.0;
    r.step = 0.2;
    for (size_t k = 1; k <= calls; k++) {
        const size_t live = memory_live();
        struct bt_high_spots s = {0};
        struct bt_error err = {0};
        enum bt_status status;

        memory_fail_at(0);
        s = found(&r);
        calls = memory_calls();
        bt_high_spots_clear(&s);
        memory_fail_at(k);
        status = bt_high_spots_find(&r, &s, &err);
        memory_fail_at(0);
        cr_expect_eq(status, BT_ENOMEM, "allocation %zu: %s", k, err.message);
        cr_expect_eq(memory_live(), live, "allocation %zu leaks", k);
        bt_high_spots_clear(&s);
    }
    cr_expect(calls > 20, "%zu", calls);
}
