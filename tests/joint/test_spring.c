/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/joint/spring.h"

#include <criterion/criterion.h>
#include <gsl/gsl_errno.h>
#include <math.h>
#include <string.h>

#include "benchtrue/joint/rules.h"
#include "joint/pressing.h"
#include "joint/two_beams.h"
#include "support/memory.h"
#include "support/reference.h"

static void quiet_gsl(void)
{
    gsl_set_error_handler_off();
}

TestSuite(spring, .init = quiet_gsl);

/* Bench top of beech, boards of two widths. */
static const struct bt_spring_board narrow = {98, 27.5, 13100, 870},
                                    wide = {142, 27.5, 12200, 810};
/* Shear without any give. */
static const double stiff_G = 1e13;

static const double length = 1280;

static struct bt_spring_request ask(size_t nclamp, const double clamp[])
{
    return (struct bt_spring_request){.length = length,
                                      .a = narrow,
                                      .b = wide,
                                      .nclamp = nclamp,
                                      .clamp = clamp,
                                      .clamp_force = 1900,
                                      .gap_most = 0.15,
                                      .hollow = 0.7};
}

static struct bt_spring_joint find(const struct bt_spring_request *request)
{
    struct bt_spring_joint joint = {0};
    struct bt_error err = {0};

    cr_assert_eq(bt_spring_joint_find(request, &joint, &err), BT_OK, "%s", err.message);
    return joint;
}

static void expect_near(double got, double want, double share, const char *what)
{
    cr_expect(fabs(got - want) <= share * fabs(want), "%s: %.12g, not %.12g", what, got,
              want);
}

/* ---- published formulas ---- */

Test(spring, without_shear_a_board_is_the_published_beam_under_a_load_at_the_middle)
{
    struct reference *t = reference_load("beams.csv");
    size_t row = reference_find(t, "case", "simply supported, centre point load P", 0);
    double coefficient = reference_number(t, row, "coefficient_or_check");
    struct bt_spring_request request = ask(0, NULL);
    double EI = 13100 * 27.5 * 98 * 98 * 98 / 12, one;

    request.a.G = request.b.G = stiff_G;
    request.b = request.a;
    one = 1 / (2 * find(&request).stiffness); /* mm/N of one of two equal boards */
    expect_near(one, length * length * length / 48 / EI, 1e-8, "1/48");
    /* printed with six digits */
    cr_expect(fabs(one * EI / length / length / length - coefficient) <= 0.5e-7);
    reference_free(t);
}

/* d at the load = P a^2 b^2/(3 E I L), beams.csv; here at the middle it is 1. */
Test(spring, flexibility_at_a_load_off_the_middle_is_the_published_one)
{
    struct reference *t = reference_load("beams.csv");
    size_t row =
        reference_find(t, "case", "simply supported, point load at a from one end", 0);

    cr_expect_str_eq(reference_text(t, row, "formula"),
                     "d at load = P a^2 b^2/(3 E I L)");
    for (double a = 0.07; a < 1; a += 0.11) {
        double b = 1 - a;

        expect_near(bt_pressing_flexibility(0, a, a), 48 * a * a * b * b / 3, 1e-12,
                    "bending");
        /* straight lines from the load to the supports, a b/L in the middle 1/4 */
        expect_near(bt_pressing_flexibility(1, a, a), 4 * a * b, 1e-12, "shear");
    }
    reference_free(t);
}

/* Maxwell and Betti. */
Test(spring, flexibility_is_the_same_from_here_to_there_and_back)
{
    for (double s = 0; s <= 1; s += 0.25)
        for (double a = 0.03; a < 1; a += 0.13)
            for (double x = 0.05; x < 1; x += 0.17) {
                double there = bt_pressing_flexibility(s, x, a);

                expect_near(bt_pressing_flexibility(s, a, x), there, 1e-12, "back");
                expect_near(bt_pressing_flexibility(s, 1 - x, 1 - a), there, 1e-12,
                            "mirrored");
            }
}

Test(spring, shear_adds_what_the_formula_says_and_both_boards_are_in_series)
{
    struct bt_spring_request request = ask(0, NULL);
    double k[2];

    for (int i = 0; i < 2; i++) {
        const struct bt_spring_board *b = i ? &wide : &narrow;
        double area = b->width * b->thickness;

        k[i] =
            length * length * length / (48 * b->E * area * b->width * b->width / 12) +
            length / (4 * (5.0 / 6) * b->G * area);
    }
    expect_near(find(&request).stiffness, 1 / (k[0] + k[1]), 1e-12, "stiffness");
    request.a = wide;
    request.b = narrow;
    expect_near(find(&request).stiffness, 1 / (k[0] + k[1]), 1e-12, "swapped");
}

/* Worked by hand: t(1 - 2 t)^2 of the hollow is left at t, most at t = 1/6: 2/27. */
Test(spring, one_clamp_at_the_middle_leaves_two_twenty_sevenths_without_shear)
{
    struct bt_spring_request request = ask(0, NULL);
    struct bt_spring_joint joint;

    request.a.G = request.b.G = stiff_G;
    joint = find(&request);
    expect_near(joint.force_middle, 0.7 * joint.stiffness, 1e-12, "force");
    expect_near(joint.gap_middle, 0.7 * 2 / 27, 5e-6, "gap");
    cr_expect(fabs(joint.gap_middle_at - length / 6) <= length / 1024);
}

/* ---- properties ---- */

static const double clamps[] = {60, 240, 420, 640, 860, 1100};
enum { CLAMPS = sizeof clamps / sizeof *clamps };

Test(spring, forces_and_gaps_grow_with_the_hollow)
{
    struct bt_spring_request request = ask(CLAMPS, clamps);
    struct bt_spring_joint one = find(&request), three;

    request.hollow = 2.1;
    three = find(&request);
    expect_near(three.force_middle, 3 * one.force_middle, 1e-12, "middle");
    expect_near(three.force_planned, 3 * one.force_planned, 1e-12, "largest");
    expect_near(three.force_sum, 3 * one.force_sum, 1e-12, "sum");
    expect_near(three.gap_planned, 3 * one.gap_planned, 1e-12, "gap");
    expect_near(three.gap_planned_at, one.gap_planned_at, 1e-12, "place");
    expect_near(three.closes_most, one.closes_most, 1e-12, "closes");
}

Test(spring, twice_the_thickness_takes_twice_the_force_and_leaves_the_same_gap)
{
    struct bt_spring_request request = ask(CLAMPS, clamps);
    struct bt_spring_joint thin = find(&request), thick;

    request.a.thickness = request.b.thickness = 55;
    request.clamp_force *= 2;
    thick = find(&request);
    expect_near(thick.stiffness, 2 * thin.stiffness, 1e-12, "stiffness");
    expect_near(thick.force_planned, 2 * thin.force_planned, 1e-9, "force");
    expect_near(thick.gap_planned, thin.gap_planned, 1e-9, "gap");
    expect_near(thick.closes_most, thin.closes_most, 1e-6, "closes");
}

Test(spring, clamps_seen_from_the_other_end_need_the_same)
{
    double mirrored[CLAMPS];
    struct bt_spring_request request = ask(CLAMPS, clamps);
    struct bt_spring_joint there = find(&request), back;

    for (size_t i = 0; i < CLAMPS; i++)
        mirrored[i] = length - clamps[CLAMPS - 1 - i];
    request.clamp = mirrored;
    back = find(&request);
    expect_near(back.force_planned, there.force_planned, 1e-6, "largest");
    expect_near(back.force_sum, there.force_sum, 1e-6, "sum");
    expect_near(back.gap_planned, there.gap_planned, 1e-6, "gap");
    expect_near(back.gap_planned_at, length - there.gap_planned_at, 1e-6, "place");
    expect_near(back.closes_most, there.closes_most, 1e-4, "closes");
}

Test(spring, a_clamp_at_the_middle_is_the_middle_clamp)
{
    const double middle = length / 2;
    struct bt_spring_request request = ask(1, &middle);
    struct bt_spring_joint joint = find(&request);

    expect_near(joint.force_planned, joint.force_middle, 1e-12, "largest");
    expect_near(joint.force_sum, joint.force_middle, 1e-12, "sum");
    expect_near(joint.gap_planned, joint.gap_middle, 1e-12, "gap");
    expect_near(joint.gap_planned_at, joint.gap_middle_at, 1e-12, "place");
}

Test(spring, two_clamps_at_one_place_are_one)
{
    const double twice[] = {640, 640.0000000001};
    struct bt_spring_request one = ask(1, twice), two = ask(2, twice);

    expect_near(find(&two).force_sum, find(&one).force_sum, 1e-6, "sum");
    expect_near(find(&two).gap_planned, find(&one).gap_planned, 1e-6, "gap");
}

/* ---- a second opinion ---- */

/* Clamps by node of the 64 steps; 0 ends the list. */
static const struct {
    const char *name;
    size_t node[14];
} plans[] = {
    {"the middle", {32}},
    {"off the middle", {21}},
    {"two", {16, 48}},
    {"near one end", {3}},
    {"three, uneven", {7, 30, 59}},
    {"many", {3, 9, 15, 21, 27, 33, 39, 45, 51, 57, 62}},
    {"crowded on one side", {40, 44, 48, 52, 56, 60}},
    {"both ends", {1, 63}},
};

/* Boards that are so many times as wide: slender ones bend without much shear. */
static size_t take_plan(size_t i, double times, double clamp[], struct two_beams *beams)
{
    size_t n = 0;

    *beams = (struct two_beams){.length = length, .board = {narrow, wide}};
    beams->board[0].width *= times;
    beams->board[1].width *= times;
    for (; n < 14 && plans[i].node[n]; n++) {
        clamp[n] = length * (double)plans[i].node[n] / BEAM_STEPS;
        beams->closed[plans[i].node[n]] = true;
    }
    return n;
}

Test(spring, finite_elements_find_the_same_forces_and_gaps)
{
    for (size_t k = 0; k < 3 * sizeof plans / sizeof *plans; k++) {
        const size_t i = k / 3;
        const double times = k % 3 == 0 ? 0.3 : k % 3 == 1 ? 1 : 3;
        double clamp[14], largest = 0, sum = 0, gap;
        struct two_beams beams;
        size_t n = take_plan(i, times, clamp, &beams);
        struct bt_spring_request request = ask(n, clamp);
        struct bt_spring_joint joint;

        request.a = beams.board[0];
        request.b = beams.board[1];
        joint = find(&request);
        beams.hollow = request.hollow;
        two_beams_solve(&beams);
        for (size_t node = 0; node <= BEAM_STEPS; node++)
            if (beams.closed[node] && beams.force[node] > 0) {
                largest = fmax(largest, beams.force[node]);
                sum += beams.force[node];
            }
        gap = two_beams_largest_gap(&beams);
        expect_near(joint.force_planned, largest, 2e-6, plans[i].name);
        expect_near(joint.force_sum, sum, 2e-6, plans[i].name);
        /* the elements see their nodes only: the top of an arch between two may be
         * higher by hollow (1/64)^2 */
        cr_expect(joint.gap_planned >= gap - 1e-9 &&
                      joint.gap_planned <= gap + 0.7 / 64 / 64,
                  "%s: %.9g, not %.9g", plans[i].name, joint.gap_planned, gap);
    }
}

/* Otherwise the beams lie in each other and the outer clamps would need less. */
Test(spring, boards_that_touch_between_the_clamps_hold_each_other_apart)
{
    double clamp[14], sum = 0;
    struct two_beams beams;
    struct bt_spring_request request = ask(take_plan(6, 1, clamp, &beams), clamp);

    beams.hollow = 0.7;
    two_beams_solve(&beams);
    for (size_t node = 1; node < BEAM_STEPS; node++)
        sum += beams.force[node] < 0 ? beams.force[node] : 0;
    /* seen once: 258 N at the clamp, 55 N of it taken by the boards */
    cr_expect(sum < -40, "%g", sum);
    expect_near(find(&request).force_planned, beams.force[40], 2e-6, "clamp");
}

Test(spring, finite_elements_find_the_glue_just_bridging_the_largest_hollow)
{
    for (size_t k = 0; k < 3 * sizeof plans / sizeof *plans; k++) {
        const size_t i = k / 3;
        const double times = k % 3 == 0 ? 0.3 : k % 3 == 1 ? 1 : 3;
        double clamp[14], gap;
        struct two_beams beams;
        size_t n = take_plan(i, times, clamp, &beams);
        struct bt_spring_request request = ask(n, clamp);
        struct bt_spring_joint joint;

        request.a = beams.board[0];
        request.b = beams.board[1];
        joint = find(&request);
        for (size_t node = 0; node <= BEAM_STEPS; node++)
            if (beams.closed[node]) {
                beams.load[node] = request.clamp_force;
                beams.closed[node] = false;
            }
        beams.hollow = joint.closes_most;
        two_beams_solve(&beams);
        gap = two_beams_largest_gap(&beams);
        /* between nodes as above */
        cr_expect(gap <= 0.15 * (1 + 1e-5) &&
                      gap >= 0.15 - joint.closes_most / 64 / 64 - 1e-5,
                  "%s: %.9g", plans[i].name, gap);
    }
}

/* ---- aim ---- */

Test(spring, the_aim_is_the_usual_hollow_where_the_clamps_close_more)
{
    struct bt_spring_request request = ask(CLAMPS, clamps);
    struct bt_spring_joint joint;

    request.hollow = NAN;
    joint = find(&request);
    cr_expect(fabs(joint.aim - 25.4 / 32) <= 1e-12, "%g", joint.aim);
    cr_expect(fabs(joint.hollow - joint.aim) <= 0);
    cr_expect(joint.aim_most > joint.aim && joint.closes_most > joint.aim_most);
    cr_expect(fabs(joint.aim_least - 0.05) <= 1e-12);
    expect_near(joint.force_middle, joint.aim * joint.stiffness, 1e-12, "force");
}

Test(spring, of_stiff_boards_it_is_what_a_quarter_of_the_force_closes)
{
    struct bt_spring_request request = ask(CLAMPS, clamps);
    struct bt_spring_joint joint, quarter;

    request.hollow = NAN;
    request.a.width = request.b.width = 400;
    joint = find(&request);
    cr_expect(joint.aim < 25.4 / 32 && joint.aim > 0.05, "%g", joint.aim);
    cr_expect(fabs(joint.aim - joint.aim_most) <= 0);
    request.clamp_force /= 4;
    quarter = find(&request);
    expect_near(joint.aim_most, quarter.closes_most, 1e-5, "a quarter");
}

Test(spring, boards_that_the_clamps_cannot_bend_are_jointed_straight)
{
    struct bt_spring_request request = ask(CLAMPS, clamps);
    struct bt_spring_joint joint;

    request.hollow = NAN;
    request.gap_most = 0.02;
    request.clamp_force = 1;
    joint = find(&request);
    cr_expect(joint.aim_most < joint.aim_least);
    cr_expect(fabs(joint.aim) <= 0 && fabs(joint.hollow) <= 0);
    cr_expect(fabs(joint.force_planned) <= 0 && fabs(joint.gap_planned) <= 0);
}

Test(spring, without_a_clamp_nothing_is_sprung_and_nothing_closes)
{
    struct bt_spring_request request = ask(0, NULL);
    struct bt_spring_joint joint = find(&request);

    cr_expect(fabs(joint.aim) <= 0);
    cr_expect(fabs(joint.force_planned) <= 0 && fabs(joint.force_sum) <= 0);
    expect_near(joint.gap_planned, 0.7, 1e-12, "gap");
    expect_near(joint.gap_planned_at, length / 2, 1e-12, "place");
    expect_near(joint.closes_most, 0.15, 1e-12, "closes");
}

Test(spring, with_a_force_that_is_not_known_the_gap_alone_sets_the_aim)
{
    const double middle = length / 2;
    struct bt_spring_request request = ask(1, &middle);
    struct bt_spring_joint joint;

    request.clamp_force = NAN;
    request.hollow = NAN;
    request.gap_most = 0.03;
    joint = find(&request);
    cr_expect(isnan(joint.closes_most) && isnan(joint.aim_most));
    expect_near(joint.gap_planned, 0.03, 1e-9, "gap");
    cr_expect(joint.aim < 25.4 / 32);
    request.gap_most = 0.5;
    cr_expect(fabs(find(&request).aim - 25.4 / 32) <= 1e-12);
}

Test(spring, a_crown_is_a_fault_that_clamps_do_not_close)
{
    struct bt_spring_request request = ask(CLAMPS, clamps);
    struct bt_spring_joint hollow = find(&request), crown;

    cr_expect_not(hollow.crown);
    request.hollow = -0.2;
    crown = find(&request);
    cr_expect(crown.crown);
    cr_expect(fabs(crown.hollow + 0.2) <= 0);
    cr_expect(isnan(crown.force_middle) && isnan(crown.gap_middle) &&
              isnan(crown.gap_middle_at) && isnan(crown.force_planned) &&
              isnan(crown.force_sum) && isnan(crown.gap_planned) &&
              isnan(crown.gap_planned_at));
    expect_near(crown.aim, hollow.aim, 1e-12, "aim");
    expect_near(crown.closes_most, hollow.closes_most, 1e-12, "closes");
}

Test(spring, more_clamps_close_no_less)
{
    double before = 0, clamp[14];

    for (size_t n = 1; n <= 13; n += 2) {
        struct bt_spring_request request = ask(n, clamp);
        double closes;

        for (size_t i = 0; i < n; i++)
            clamp[i] = length * ((double)i + 0.5) / (double)n;
        closes = find(&request).closes_most;
        cr_expect(closes > before, "%zu: %g after %g", n, closes, before);
        before = closes;
    }
}

/* ---- faults ---- */

static void expect_refused(const struct bt_spring_request *request, size_t row,
                           const char *message)
{
    struct bt_spring_joint joint, before;
    struct bt_error err = {.row = 99};

    memset(&joint, 0x5a, sizeof joint);
    before = joint;
    cr_expect_eq(bt_spring_joint_find(request, &joint, &err), BT_EINPUT, "%s", message);
    cr_expect_eq(err.code, BT_EINPUT);
    cr_expect_eq(err.row, row, "%s: row %zu", message, err.row);
    cr_expect_str_eq(err.message, message);
    cr_expect_eq(memcmp(&joint, &before, sizeof joint), 0, "%s: touched", message);
    cr_expect_eq(bt_spring_joint_find(request, &joint, NULL), BT_EINPUT);
}

Test(spring, refuses_numbers_out_of_range)
{
    static const double bad[] = {0, -1, NAN, INFINITY};
    static const double some[] = {640};

    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        struct bt_spring_request r = ask(1, some);

        r.length = bad[i];
        expect_refused(&r, 0, "the length of the joint must be a number above 0");
        r = ask(1, some);
        r.a.width = bad[i];
        expect_refused(&r, 0, "the width of a board must be a number above 0");
        r = ask(1, some);
        r.b.thickness = bad[i];
        expect_refused(&r, 0, "the thickness of a board must be a number above 0");
        r = ask(1, some);
        r.b.E = bad[i];
        expect_refused(&r, 0, "the stiffness of a board must be a number above 0");
        r = ask(1, some);
        r.a.G = bad[i];
        expect_refused(&r, 0, "the stiffness of a board must be a number above 0");
        r = ask(1, some);
        r.gap_most = bad[i];
        expect_refused(&r, 0, "the gap that the glue bridges must be a number above 0");
        if (isnan(bad[i]))
            continue;
        r = ask(1, some);
        r.clamp_force = bad[i];
        expect_refused(&r, 0, "the force of a clamp must be a number above 0");
    }
}

Test(spring, refuses_a_hollow_without_end)
{
    struct bt_spring_request r = ask(0, NULL);

    r.hollow = -INFINITY;
    expect_refused(&r, 0, "the hollow must be a number");
}

Test(spring, refuses_clamps_beside_the_joint_or_out_of_order)
{
    static const double first[] = {0, 500}, last[] = {500, 1280},
                        order[] = {500, 640, 600}, twice[] = {500, 500},
                        none[] = {500, NAN};
    static double many[BT_SPRING_MOST_CLAMPS + 1];
    struct bt_spring_request r = ask(2, first);

    expect_refused(&r, 0, "clamp 1 does not stand inside the joint");
    r = ask(2, last);
    expect_refused(&r, 1, "clamp 2 does not stand inside the joint");
    r = ask(2, none);
    expect_refused(&r, 1, "clamp 2 does not stand inside the joint");
    r = ask(3, order);
    expect_refused(&r, 2, "clamp 3 does not stand after the one before it");
    r = ask(2, twice);
    expect_refused(&r, 1, "clamp 2 does not stand after the one before it");
    for (size_t i = 0; i <= BT_SPRING_MOST_CLAMPS; i++)
        many[i] = 1 + (double)i;
    r = ask(BT_SPRING_MOST_CLAMPS + 1, many);
    expect_refused(&r, 0, "more than 200 clamps on one joint");
    r = ask(BT_SPRING_MOST_CLAMPS, many);
    cr_expect(find(&r).force_planned > 0);
}

Test(spring, refuses_numbers_with_which_nothing_can_be_computed)
{
    struct bt_spring_request r = ask(0, NULL);

    r.length = 1e200;
    expect_refused(&r, 0, "the numbers are too large or too small to compute with");
    r = ask(0, NULL);
    r.a.E = r.a.G = r.b.E = r.b.G = 1e307;
    r.a.width = r.b.width = 1e10;
    expect_refused(&r, 0, "the numbers are too large or too small to compute with");
    r = ask(CLAMPS, clamps);
    r.hollow = 1e307;
    expect_refused(&r, 0, "the numbers are too large or too small to compute with");
}

/* ---- memory ---- */

Test(spring, says_so_when_any_allocation_fails_and_keeps_none)
{
    struct bt_spring_request r = ask(CLAMPS, clamps);
    struct bt_spring_joint joint, before;
    size_t count;

    memory_fail_at(0);
    find(&r);
    count = memory_calls();
    cr_assert_geq(count, 14);
    cr_expect_eq(memory_live(), 0);
    memset(&joint, 0x5a, sizeof joint);
    before = joint;
    for (size_t k = 1; k <= count; k++) {
        struct bt_error err = {0};

        memory_fail_at(k);
        cr_expect_eq(bt_spring_joint_find(&r, &joint, &err), BT_ENOMEM, "call %zu", k);
        cr_expect_str_eq(err.message, "out of memory");
        memory_fail_from(k);
        cr_expect_eq(bt_spring_joint_find(&r, &joint, NULL), BT_ENOMEM, "from %zu", k);
        cr_expect_eq(memory_live(), 0, "call %zu: %zu kept", k, memory_live());
        cr_expect_eq(memcmp(&joint, &before, sizeof joint), 0, "call %zu", k);
    }
    memory_fail_at(0);
    cr_expect(find(&r).force_planned > 0);
}
