/* SPDX-License-Identifier: GPL-3.0-or-later */

/* Cut-outs against edges, joints, each other and fixings. */
#include <criterion/criterion.h>

#include <math.h>

#include "benchtrue/fit/cutouts.h"

static char name[] = "port";

static void near(double got, double want, const char *what)
{
    cr_expect(fabs(got - want) <= 1e-9, "%s: got %.10g, want %.10g", what, got, want);
}

static struct bt_cutout circle(double x, double y, double across)
{
    return (struct bt_cutout){.name = name,
                              .shape = BT_CUT_CIRCLE,
                              .x = x,
                              .y = y,
                              .length = across,
                              .width = across,
                              .radius = NAN};
}

static struct bt_cutout box(enum bt_cutout_shape shape, double x, double y,
                            double length, double width)
{
    return (struct bt_cutout){.name = name,
                              .shape = shape,
                              .x = x,
                              .y = y,
                              .length = length,
                              .width = width,
                              .radius = 10};
}

/* 1000 x 500 with joints at 120 and 260. */
static struct bt_outline plain;
static const double joints[] = {120, 260};

static struct bt_cutouts_request request(size_t n, const struct bt_cutout cut[])
{
    static struct bt_point p[] = {{0, 0}, {1000, 0}, {1000, 500}, {0, 500}};

    plain = (struct bt_outline){4, p, {0, 1, 2, 3}};
    return (struct bt_cutouts_request){.outline = &plain,
                                       .n = n,
                                       .cutout = cut,
                                       .njoint = 2,
                                       .joint_left = joints,
                                       .joint_right = joints,
                                       .length = 1000,
                                       .beside = 50,
                                       .clearance = 10};
}

static struct bt_cutout_check check(const struct bt_cutouts_request *r, size_t i)
{
    struct bt_cutout_check out[4];

    bt_cutouts_check(r, out);
    return out[i];
}

Test(cutouts, place_counts_from_the_edge_and_end_named)
{
    struct bt_cutout cut = circle(100, 60, 40);
    struct bt_cutouts_request r = request(1, &cut);
    struct bt_cutout_check c;

    cut.from_front = cut.from_right = true;
    c = check(&r, 0);
    near(c.low.x, 880, "x");
    near(c.low.y, 420, "y");
    near(c.edge, 40, "edge");
    cr_expect_eq(c.edge_side, 2);
    cr_expect_eq(c.faults, BT_CUT_NEAR_EDGE);
}

Test(cutouts, place_from_an_askew_front_counts_where_it_is)
{
    struct bt_point p[] = {{0, 0}, {1000, 0}, {1000, 600}, {0, 500}};
    const struct bt_outline o = {4, p, {0, 1, 2, 3}};
    struct bt_cutout cut = circle(300, 60, 40);
    struct bt_point low, high;

    cut.from_front = true;
    bt_cutout_place(&o, &cut, &low, &high);
    near(high.y, 500 + 30 - 60 + 20, "front of it");
    cut.x = 1200;
    bt_cutout_place(&o, &cut, &low, &high);
    cr_expect(isnan(low.y));
}

Test(cutouts, joint_through_a_circle_is_a_fault_and_through_a_wide_opening_none)
{
    struct bt_cutout cut[] = {circle(200, 125, 40),
                              box(BT_CUT_RECTANGLE, 600, 190, 300, 200)};
    const struct bt_cutouts_request r = request(2, cut);
    struct bt_cutout_check c = check(&r, 0);

    cr_expect(c.faults & BT_CUT_ON_JOINT);
    cr_expect_eq(c.crossed, 1);
    c = check(&r, 1);
    cr_expect_not(c.faults & BT_CUT_ON_JOINT);
    cr_expect_eq(c.crossed, 2);
    near(c.joint, 30, "joint");
}

Test(cutouts, sliver_between_joint_and_edge_is_a_fault_on_either_side)
{
    for (int side = -1; side <= 1; side += 2) {
        struct bt_cutout cut =
            box(BT_CUT_RECTANGLE, 500, 260 + 60 + side * 9.5, 200, 120);
        struct bt_cutouts_request r = request(1, &cut);
        struct bt_cutout_check c = check(&r, 0);

        near(c.joint, 9.5, "joint");
        cr_expect_eq(c.joint_index, 1);
        cr_expect_eq(c.faults, BT_CUT_ON_JOINT);
        r.clearance = 9.4;
        cr_expect_eq(check(&r, 0).faults, 0);
    }
}

Test(cutouts, joint_that_runs_askew_counts_where_the_cut_out_is)
{
    static const double left[] = {100}, right[] = {140};
    struct bt_cutout cut = box(BT_CUT_RECTANGLE, 750, 200, 100, 100);
    struct bt_cutouts_request r = request(1, &cut);

    r.njoint = 1;
    r.joint_left = left;
    r.joint_right = right;
    near(check(&r, 0).joint, 20, "joint");
}

Test(cutouts, notch_cuts_its_edge_and_keeps_from_the_others)
{
    struct bt_cutout cut = box(BT_CUT_NOTCH, 40, 480, 60, 40);
    struct bt_cutouts_request r = request(1, &cut);
    struct bt_cutout_check c = check(&r, 0);

    near(c.edge, 10, "edge");
    cr_expect_eq(c.edge_side, 3);
    cr_expect_eq(c.faults, BT_CUT_NEAR_EDGE);
    /* inside it is no notch */
    cut.y = 400;
    cr_expect(check(&r, 0).faults & BT_CUT_OUTSIDE);
    cut = box(BT_CUT_NOTCH, 500, 480, 60, 40);
    cr_expect_eq(check(&r, 0).faults, 0);
    cr_expect_not(check(&r, 0).sharp);
    cut.radius = NAN;
    cr_expect(check(&r, 0).sharp);
}

Test(cutouts, what_reaches_over_the_edge_is_outside)
{
    struct bt_cutout cut[] = {circle(10, 200, 40), circle(1200, 200, 40),
                              circle(500, 200, 40)};
    const struct bt_cutouts_request r = request(3, cut);

    cr_expect_eq(check(&r, 0).faults, BT_CUT_OUTSIDE);
    cr_expect(check(&r, 1).faults & BT_CUT_OUTSIDE);
    cr_expect_eq(check(&r, 2).faults, 0);
}

Test(cutouts, distances_to_the_next_one_and_to_fixings)
{
    struct bt_cutout cut[] = {circle(400, 400, 60), circle(500, 400, 60),
                              box(BT_CUT_RECTANGLE, 430, 320, 60, 20)};
    static const struct bt_fixing fixing[] = {{.x = 100, .y = 100, .screw = 4},
                                              {.x = 400, .y = 440, .screw = 5}};
    struct bt_cutouts_request r = request(2, cut);
    struct bt_cutout_check c;

    r.nfixing = 2;
    r.fixing = fixing;
    c = check(&r, 0);
    near(c.other, 40, "other");
    cr_expect_eq(c.other_index, 1);
    near(c.fixing, 7.5, "fixing");
    cr_expect_eq(c.fixing_index, 1);
    cr_expect_eq(c.faults, BT_CUT_NEAR_OTHER | BT_CUT_NEAR_FIXING);
    r.n = 3;
    /* from the middle of the circle straight down to the box */
    near(check(&r, 0).other, 70 - 30, "other");
    near(check(&r, 2).other, 40, "other, from the box");
    r.n = 1;
    cr_expect(isnan(check(&r, 0).other));
}
