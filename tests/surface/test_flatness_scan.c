/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A scan is evaluated without an adjustment, to what an adjustment would give. */
#include "benchtrue/surface/flatness.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "support/builder.h"
#include "support/memory.h"

enum { NX = 13, NY = 9, N = NX * NY };

struct panel {
    struct bt_point p[N];
    double z[N];
    struct bt_obs obs[N];
    struct bt_readings scan, readings; /* one and the same, kept in two ways */
};

static void panel_make(struct panel *panel, double u, unsigned long long seed)
{
    memset(panel, 0, sizeof *panel);
    panel->scan = (struct bt_readings){
        .npoint = N, .point = panel->p, .scan = panel->z, .scan_u = u};
    panel->readings = (struct bt_readings){.npoint = N, .point = panel->p, .nobs = N};
    panel->readings.obs = panel->obs;
    for (size_t i = 0; i < N; i++) {
        const double x = 1200.0 * (double)(i % NX) / (NX - 1) + builder_normal(&seed);
        const double y = 600.0 * (double)(i / NX) / (NY - 1) + builder_normal(&seed);
        panel->p[i] = (struct bt_point){x, y};
        panel->z[i] = 7 + 2e-3 * x - 1e-3 * y + 1.3 * (x - 600) * (x - 600) / 360000 +
                      1e-6 * x * y + 0.1 * builder_normal(&seed);
        cr_assert_eq(bt_obs_height(&panel->obs[i], BT_READ_SCAN, panel->p, i,
                                   BT_NO_GROUP, 0, panel->z[i], NULL),
                     BT_OK);
        panel->obs[i].u = u;
    }
}

static void expect_measured(const struct bt_measured *got,
                            const struct bt_measured *want, const char *what)
{
    cr_expect(got->seen && want->seen, "%s", what);
    /* mm; two ways of least squares in doubles */
    cr_expect(fabs(got->value - want->value) <= 1e-11, "%s: %.17g, not %.17g", what,
              got->value, want->value);
    cr_expect(fabs(got->u - want->u) <= 1e-9 * want->u, "%s: u %.17g, not %.17g", what,
              got->u, want->u);
}

Test(flatness_scan, figures_are_those_of_an_adjustment_of_the_same_heights)
{
    static struct panel panel;
    struct bt_flatness a, b;
    static const double sizes[2][2] = {{NAN, NAN}, {1210, 605}};

    for (int k = 0; k < 2; k++) {
        panel_make(&panel, 0.03, 11 + (unsigned)k);
        cr_assert_eq(
            bt_flatness_evaluate(&panel.scan,
                                 &(struct bt_flatness_options){.length = sizes[k][0],
                                                               .width = sizes[k][1],
                                                               .one_reference = true},
                                 &a, NULL),
            BT_OK);
        cr_assert_eq(
            bt_flatness_evaluate(&panel.readings,
                                 &(struct bt_flatness_options){.length = sizes[k][0],
                                                               .width = sizes[k][1],
                                                               .one_reference = true},
                                 &b, NULL),
            BT_OK);
        expect_measured(&a.residual.peak, &b.residual.peak, "peak");
        expect_measured(&a.residual.valley, &b.residual.valley, "valley");
        expect_measured(&a.residual.range, &b.residual.range, "range");
        expect_measured(&a.residual.rms, &b.residual.rms, "rms");
        expect_measured(&a.form.bow, &b.form.bow, "bow");
        expect_measured(&a.form.cup, &b.form.cup, "cup");
        expect_measured(&a.form.twist, &b.form.twist, "twist");
        cr_expect_eq(a.residual.highest, b.residual.highest);
        cr_expect_eq(a.residual.lowest, b.residual.lowest);
        cr_expect(a.plane_known && b.plane_known);
        cr_expect(fabs(a.plane.a - b.plane.a) <= 1e-10);
        cr_expect(fabs(a.plane.b - b.plane.b) <= 1e-13);
        cr_expect(fabs(a.plane.c - b.plane.c) <= 1e-13);
        cr_expect_eq(
            memcmp(&a.form.rectangle, &b.form.rectangle, sizeof a.form.rectangle), 0);
        for (size_t i = 0; i < N; i++)
            cr_expect(fabs(a.z[i] - b.z[i]) <= 1e-11 &&
                          fabs(a.u[i] - b.u[i]) <= 1e-9 * b.u[i],
                      "point %zu", i);
        bt_flatness_clear(&a);
        bt_flatness_clear(&b);
    }
}

Test(flatness_scan, has_counts_and_no_arrays_in_place_of_an_adjustment)
{
    static struct panel panel;
    struct bt_flatness f;

    panel_make(&panel, 0.03, 5);
    cr_assert_eq(bt_flatness_evaluate(
                     &panel.scan, &(struct bt_flatness_options){.one_reference = true},
                     &f, NULL),
                 BT_OK);
    cr_expect(f.used == &panel.scan && !f.own && !f.from && !f.nloose);
    cr_expect(f.net->npoint == N && f.net->nobs == N && f.net->unknowns == N &&
              f.net->rank == N && f.net->dof == 0);
    cr_expect(isnan(f.net->sigma0) && isnan(f.net->least_eigenvalue) && !f.net->weak);
    cr_expect(!f.net->height && !f.net->residual && !f.net->redundancy &&
              !f.net->score && !f.net->shape && !f.net->inverse);
    cr_expect(f.nunseen == 0 && f.nsuspect == 0 && isnan(f.agreement));
    cr_expect_eq(f.far_off.n, 0);
    bt_flatness_clear(&f);
}

Test(flatness_scan, names_heights_far_off)
{
    static struct panel panel;
    struct bt_flatness f;

    panel_make(&panel, 0.03, 5);
    panel.z[40] += 60;
    cr_assert_eq(bt_flatness_evaluate(
                     &panel.scan, &(struct bt_flatness_options){.one_reference = true},
                     &f, NULL),
                 BT_OK);
    cr_assert_eq(f.far_off.n, 1);
    cr_expect_eq(f.far_off.point[0], 40);
    bt_flatness_clear(&f);
}

Test(flatness_scan, refuses_too_few_points_and_points_on_one_line)
{
    static struct panel panel;
    struct bt_flatness f;
    struct bt_error err;

    panel_make(&panel, 0.03, 5);
    panel.scan.npoint = 2;
    cr_expect_eq(bt_flatness_evaluate(
                     &panel.scan, &(struct bt_flatness_options){.one_reference = true},
                     &f, &err),
                 BT_EINPUT);
    cr_expect_str_eq(err.message,
                     "2 places read: a plane needs three that are not on one line");
    bt_flatness_clear(&f);
    panel.scan.npoint = N;
    for (size_t i = 0; i < N; i++)
        panel.p[i] = (struct bt_point){3.0 * (double)i, 1.5 * (double)i};
    cr_expect_eq(bt_flatness_evaluate(
                     &panel.scan, &(struct bt_flatness_options){.one_reference = true},
                     &f, &err),
                 BT_EINPUT);
    cr_expect_str_eq(err.message, "all readings lie on one line, which shows no plane: "
                                  "read a second line beside it");
    bt_flatness_clear(&f);
}

Test(flatness_scan, each_failing_allocation_is_told_and_leaks_nothing)
{
    static struct panel panel;
    const size_t before = memory_live();
    size_t calls;

    panel_make(&panel, 0.03, 5);
    for (size_t k = 1;; k++) {
        struct bt_flatness f;
        struct bt_error err;
        enum bt_status status;
        memory_fail_at(k);
        status = bt_flatness_evaluate(
            &panel.scan, &(struct bt_flatness_options){.one_reference = true}, &f,
            &err);
        calls = memory_calls();
        memory_fail_at(0);
        cr_expect_eq(status, calls >= k ? BT_ENOMEM : BT_OK, "allocation %zu", k);
        if (calls >= k)
            cr_expect_str_eq(err.message, "out of memory");
        bt_flatness_clear(&f);
        cr_assert_eq(memory_live(), before, "allocation %zu", k);
        if (calls < k)
            break;
    }
}
