/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A panel bent board by board against one smooth arc. */
#include <criterion/criterion.h>
#include <gsl/gsl_errno.h>
#include <math.h>
#include <string.h>

#include "benchtrue/surface/ripple.h"
#include "support/builder.h"
#include "support/memory.h"

static void quiet_gsl(void)
{
    gsl_set_error_handler_off();
}

TestSuite(ripple, .init = quiet_gsl);

enum { JOINTS = 3 };

static const double joint[JOINTS] = {100, 220, 310};
static const int sign[JOINTS + 1] = {1, -1, -1, 1};
static const struct bt_rectangle rectangle = {0, 0, 900, 400};

#define CURVATURE 2e-5

/* Parabolas worked by hand: each board starts where and as steep as the last ended. */
static double rippled(double x, double y)
{
    const double k = CURVATURE;
    double z = 0, slope = 0, from = 0;

    for (int b = 0; b <= JOINTS; b++) {
        const double to = b < JOINTS ? joint[b] : 400, run = fmin(y, to) - from;

        z += slope * run - sign[b] * k * run * run / 2;
        slope -= sign[b] * k * run;
        from = to;
        if (y <= to)
            break;
    }
    return z + 0.3 - 0.001 * y + 0.0002 * x;
}

static double arc(double x, double y)
{
    const double v = y / 200 - 1;

    return 0.8 * v * v + 0.0003 * x;
}

static struct bt_network *read_surface(struct builder *b, double (*of)(double, double))
{
    struct bt_network *net = NULL;
    struct bt_error err = {0};

    builder_init(b, 0.02, of);
    for (int x = 0; x <= 3; x++)
        builder_run(b, (struct bt_point){300.0 * x, 0},
                    (struct bt_point){300.0 * x, 400}, 17);
    for (int y = 0; y <= 4; y++)
        builder_run(b, (struct bt_point){0, 100.0 * y},
                    (struct bt_point){900, 100.0 * y}, 4);
    cr_assert_eq(bt_network_adjust(&b->r, &net, &err), BT_OK, "%s", err.message);
    return net;
}

static struct bt_ripple fitted(double (*of)(double, double), const int signs[])
{
    struct builder b;
    struct bt_network *net = read_surface(&b, of);
    struct bt_ripple ripple;
    struct bt_error err = {0};

    cr_assert_eq(bt_ripple_fit(net, JOINTS, joint, signs, &rectangle, &ripple, &err),
                 BT_OK, "%s", err.message);
    bt_network_free(net);
    builder_clear(&b);
    return ripple;
}

Test(ripple, finds_the_curvature_of_the_boards_and_prefers_it_to_an_arc)
{
    const struct bt_ripple r = fitted(rippled, sign);

    cr_assert(r.curvature.seen);
    cr_expect(fabs(r.curvature.value - CURVATURE) <= 1e-12, "%g", r.curvature.value);
    cr_expect(r.curvature.u > 0 && r.curvature.u < 0.2 * CURVATURE, "%g",
              r.curvature.u);
    cr_expect(r.ahead > 5, "%g", r.ahead);
}

Test(ripple, turned_boards_turn_the_curvature)
{
    static const int turned[JOINTS + 1] = {-1, 1, 1, -1};
    const struct bt_ripple a = fitted(rippled, sign), b = fitted(rippled, turned);

    cr_expect(fabs(a.curvature.value + b.curvature.value) <= 1e-14);
    cr_expect(fabs(a.ahead - b.ahead) <= 1e-6 * fabs(a.ahead));
}

Test(ripple, an_arc_is_not_taken_for_a_ripple)
{
    cr_expect(fitted(arc, sign).ahead < -5);
}

Test(ripple, boards_all_one_way_are_the_arc_itself)
{
    static const int alike[JOINTS + 1] = {1, 1, 1, 1};
    const struct bt_ripple r = fitted(arc, alike);

    cr_expect(fabs(r.ahead) <= 1e-6, "%g", r.ahead);
    /* 0.8 mm over 200 mm: -z'' is -2 * 0.8/200^2 */
    cr_expect(fabs(r.curvature.value + 2 * 0.8 / 40000) <= 1e-12);
}

Test(ripple, is_not_seen_where_the_width_was_not_read)
{
    struct bt_network *net = NULL;
    struct bt_ripple r;
    struct builder b;

    builder_init(&b, 0.02, arc);
    builder_run(&b, (struct bt_point){0, 0}, (struct bt_point){900, 0}, 5);
    builder_run(&b, (struct bt_point){0, 400}, (struct bt_point){900, 400}, 5);
    cr_assert_eq(bt_network_adjust(&b.r, &net, NULL), BT_OK);
    cr_assert_eq(bt_ripple_fit(net, JOINTS, joint, sign, &rectangle, &r, NULL), BT_OK);
    cr_expect_not(r.curvature.seen);
    cr_expect(isnan(r.ahead));
    bt_network_free(net);
    builder_clear(&b);
}

Test(ripple, refuses_joints_signs_and_rectangles_that_are_none)
{
    static const double outside[JOINTS] = {100, 220, 400},
                        back[JOINTS] = {100, 90, 310};
    static const int zero[JOINTS + 1] = {1, 0, 1, 1};
    const struct bt_rectangle none = {0, 0, 900, 0};
    static const char place[] =
        "does not lie within the panel, in front of the one before";
    struct builder b;
    struct bt_network *net = read_surface(&b, arc);
    struct bt_ripple r = {.ahead = 7};
    struct bt_error err = {0};

    cr_expect_eq(bt_ripple_fit(net, JOINTS, outside, sign, &rectangle, &r, &err),
                 BT_EINPUT);
    cr_expect_eq(err.row, 2);
    cr_expect_str_eq(strstr(err.message, "does"), place);
    cr_expect_eq(bt_ripple_fit(net, JOINTS, back, sign, &rectangle, &r, &err),
                 BT_EINPUT);
    cr_expect_eq(err.row, 1);
    cr_expect_eq(bt_ripple_fit(net, JOINTS, joint, zero, &rectangle, &r, &err),
                 BT_EINPUT);
    cr_expect_str_eq(err.message, "a board's sign is +1 or -1");
    cr_expect_eq(bt_ripple_fit(net, JOINTS, joint, sign, &none, &r, &err), BT_EINPUT);
    cr_expect_str_eq(err.message, "the panel's rectangle has no area");
    cr_expect(fabs(r.ahead - 7) <= 0, "untouched");
    bt_network_free(net);
    builder_clear(&b);
}

Test(ripple, every_allocation_may_fail)
{
    struct builder b;
    struct bt_network *net = read_surface(&b, arc);
    struct bt_ripple r;
    size_t calls, live = memory_live();

    memory_fail_at(0);
    cr_assert_eq(bt_ripple_fit(net, JOINTS, joint, sign, &rectangle, &r, NULL), BT_OK);
    calls = memory_calls();
    cr_assert_gt(calls, 0);
    for (size_t k = 1; k <= calls; k++) {
        memory_fail_at(k);
        cr_expect_eq(bt_ripple_fit(net, JOINTS, joint, sign, &rectangle, &r, NULL),
                     BT_ENOMEM, "call %zu", k);
        cr_expect_eq(memory_live(), live);
    }
    memory_fail_at(0);
    bt_network_free(net);
    builder_clear(&b);
}
