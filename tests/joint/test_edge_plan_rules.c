/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Named patterns, grain, what the rules say, forgotten boards, refusals. */
#include "joint/edge_panel.h"

#include <criterion/criterion.h>
#include <gsl/gsl_errno.h>
#include <math.h>
#include <stdint.h>
#include <string.h>

static void quiet_gsl(void)
{
    gsl_set_error_handler_off();
}

TestSuite(edge_plan_rules, .init = quiet_gsl);

static const double degree = 0.017453292519943295;

Test(edge_plan_rules, named_patterns_are_what_they_say)
{
    static const struct {
        enum bt_pattern pattern;
        const char *name;
        enum bt_run run[6]; /* back and front edge of three boards */
        size_t departures;
    } rows[] = {
        {BT_PATTERN_SAME_FACE, "same face", {0, 0, 0, 0, 0, 0}, 2},
        {BT_PATTERN_ALTERNATE_BOARDS, "alternate boards", {0, 0, 1, 1, 0, 0}, 0},
        {BT_PATTERN_IN_AND_OUT, "in and out", {0, 1, 0, 1, 0, 1}, 3},
    };

    for (size_t k = 0; k < sizeof rows / sizeof *rows; k++) {
        static struct panel p;
        struct bt_edge_plan plan;

        make_panel(&p, 3, 9, false, 0.4);
        p.request.pattern = rows[k].pattern;
        plan = find(&p);
        cr_expect_str_eq(bt_pattern_name(rows[k].pattern), rows[k].name);
        for (size_t i = 0; i < 3; i++)
            cr_expect(plan.run[i].back == rows[k].run[2 * i] &&
                          plan.run[i].front == rows[k].run[2 * i + 1] &&
                          !plan.run[i].turned,
                      "%s, board %zu", rows[k].name, i);
        cr_expect_eq(plan.departures, rows[k].departures, "%s: %zu", rows[k].name,
                     plan.departures);
        cr_expect(!plan.proven && plan.nodes == 0 && plan.nconflict == 0);
        cr_expect(plan.cup_bound == plan.cup && plan.kink_bound == plan.kink);
        bt_edge_plan_clear(&plan);
    }
    cr_expect_str_eq(bt_pattern_name(BT_PATTERN_BEST), "best");
}

/* ---- grain ---- */

struct vec3 {
    double x, y, z;
};

static struct vec3 turn_x(struct vec3 v, int quarters)
{
    for (; quarters > 0; quarters--)
        v = (struct vec3){v.x, -v.z, v.y};
    return v;
}

static struct vec3 half_turn_z(struct vec3 v)
{
    return (struct vec3){-v.x, -v.y, v.z};
}

/*
 * The board set on its edge by turning it in space: x to the right, y away from whoever
 * stands there (towards the fence), z up; the show face up and the back edge away to
 * begin with.  Whether the fibre of `left` grain then goes down towards the trailing
 * end.
 */
static bool runs_down(bool left, bool front_edge_down, bool show_at_fence,
                      bool right_to_left)
{
    /* Out to the back edge at the named end. */
    struct vec3 fibre = {left ? -1 : 1, 0.1, 0}, show = {0, 0, 1}, edge = {0, 1, 0};
    double trailing = right_to_left ? 1 : -1;

    if (front_edge_down)
        edge.y = -1;
    /* On edge: a quarter or three about x, then about z, until edge and face are right.
     */
    for (int quarters = 1; quarters <= 3; quarters += 2)
        for (int half = 0; half < 2; half++) {
            struct vec3 f = turn_x(fibre, quarters), s = turn_x(show, quarters);
            struct vec3 e = turn_x(edge, quarters);

            if (half) {
                f = half_turn_z(f);
                s = half_turn_z(s);
            }
            if (e.z < -0.5 && (s.y > 0.5) == show_at_fence)
                return f.z * f.x * trailing < 0;
        }
    cr_assert_fail("the board cannot be set so");
    return false;
}

Test(edge_plan_rules, the_grain_rule_is_that_of_a_board_set_on_edge_in_space)
{
    for (int k = 0; k < 8; k++) {
        bool left = k & 1, front = k & 2, right_to_left = k & 4;
        enum bt_run run = BT_RUN_IN;

        cr_assert(bt_grain_run(
            left ? BT_GRAIN_LEFT : BT_GRAIN_RIGHT,
            right_to_left ? BT_FEED_RIGHT_TO_LEFT : BT_FEED_LEFT_TO_RIGHT, &run));
        cr_expect(runs_down(left, front, run == BT_RUN_IN, right_to_left), "%d", k);
        cr_expect_not(runs_down(left, front, run != BT_RUN_IN, right_to_left), "%d", k);
    }
}

Test(edge_plan_rules, unknown_grain_asks_for_nothing)
{
    enum bt_run run = BT_RUN_OUT;

    cr_expect_not(bt_grain_run(BT_GRAIN_UNKNOWN, BT_FEED_RIGHT_TO_LEFT, &run));
    cr_expect_eq(run, BT_RUN_OUT);
}

Test(edge_plan_rules, what_rules_say_against_a_named_pattern_is_listed_forbidden_first)
{
    static struct panel p;
    struct bt_edge_plan plan;
    static const struct bt_edge_conflict want[] = {
        {1, false, BT_CONFLICT_FACE, true},   {2, false, BT_CONFLICT_GRAIN, true},
        {2, true, BT_CONFLICT_FACE, true},    {2, true, BT_CONFLICT_GRAIN, true},
        {0, false, BT_CONFLICT_GRAIN, false}, {0, true, BT_CONFLICT_GRAIN, false},
    };

    make_panel(&p, 3, 5, false, 0);
    p.request.pattern = BT_PATTERN_SAME_FACE;
    p.rule[0].grain = BT_GRAIN_LEFT; /* asks for out, but is only advice */
    p.rule[1].back_fixed = true;
    p.rule[1].back = BT_RUN_OUT;
    p.rule[1].front_fixed = true; /* in: kept */
    p.rule[2].grain = BT_GRAIN_LEFT;
    p.rule[2].against_grain_allowed = false;
    p.rule[2].front_fixed = true;
    p.rule[2].front = BT_RUN_OUT;
    plan = find(&p);
    cr_assert_eq(plan.nconflict, sizeof want / sizeof *want, "%zu", plan.nconflict);
    for (size_t k = 0; k < plan.nconflict; k++)
        cr_expect(plan.conflict[k].board == want[k].board &&
                      plan.conflict[k].front == want[k].front &&
                      plan.conflict[k].kind == want[k].kind &&
                      plan.conflict[k].forbidden == want[k].forbidden,
                  "%zu", k);
    bt_edge_plan_clear(&plan);
}

/* ---- forgetting a board ---- */

Test(edge_plan_rules, forgetting_a_board_is_worst_at_the_middle_and_listed_worst_first)
{
    static struct panel p;
    struct bt_edge_plan plan;
    struct bt_forgotten out[7];

    make_panel(&p, 7, 2, true, 0);
    plan = find(&p);
    cr_assert_eq(
        bt_edge_plan_forgotten(p.n, p.strip, plan.run, &p.request.errors, out, NULL),
        BT_OK);
    cr_expect_eq(out[0].board, 3);
    /* By hand: its joints lie at 300 and 400 of 700 mm, each of a share of 150 and,
     * with both its edges and their neighbours run alike, of a kink of 2 e. */
    cr_expect(fabs(fabs(out[0].cup) - 2 * 150 * 2 * 0.1 * degree) <= 1e-12, "%g",
              out[0].cup);
    cr_expect(fabs(out[0].kink - 0.2 * degree) <= 1e-15);
    cr_expect(fabs(out[0].opening - 25 * 2 * tan(0.1 * degree)) <= 1e-12);
    for (size_t k = 1; k < 7; k++)
        cr_expect(fabs(out[k - 1].cup) >= fabs(out[k].cup));
    bt_edge_plan_clear(&plan);
}

Test(edge_plan_rules,
     a_forgotten_board_is_the_section_with_that_board_run_the_other_way)
{
    static struct panel p;
    struct bt_edge_plan plan;
    struct bt_forgotten out[9];

    make_panel(&p, 9, 12, false, 0.8);
    for (size_t i = 0; i < p.n; i++)
        p.rule[i].may_turn = i % 2;
    plan = find(&p);
    cr_assert_eq(
        bt_edge_plan_forgotten(p.n, p.strip, plan.run, &p.request.errors, out, NULL),
        BT_OK);
    for (size_t k = 0; k < 9; k++) {
        struct bt_board_run run[9];
        struct bt_board_run *at = &run[out[k].board];
        struct bt_section s;

        memcpy(run, plan.run, sizeof run);
        at->back = at->back == BT_RUN_IN ? BT_RUN_OUT : BT_RUN_IN;
        at->front = at->front == BT_RUN_IN ? BT_RUN_OUT : BT_RUN_IN;
        cr_assert_eq(
            bt_section_evaluate(p.n, p.strip, run, &p.request.errors, &s, NULL), BT_OK);
        cr_expect(fabs(s.cup.value - out[k].cup) <= 1e-15);
        cr_expect(fabs(s.largest_kink - out[k].kink) <= 1e-15);
        cr_expect(fabs(s.largest_opening - out[k].opening) <= 1e-15);
        bt_section_clear(&s);
    }
    bt_edge_plan_clear(&plan);
}

/* ---- refusals ---- */

static void expect_refused(const struct panel *p, enum bt_status status, size_t row,
                           const char *message)
{
    struct bt_edge_plan plan, untouched;
    struct bt_error err = {0};

    memset(&plan, 0x5a, sizeof plan);
    untouched = plan;
    cr_expect_eq(bt_edge_plan_find(&p->request, &plan, &err), status, "%s", message);
    cr_expect_str_eq(err.message, message, "%s", err.message);
    cr_expect_eq(err.row, row, "%s: row %zu", message, err.row);
    cr_expect_eq(memcmp(&plan, &untouched, sizeof plan), 0, "%s", message);
    cr_expect_eq(bt_edge_plan_find(&p->request, &plan, NULL), status);
}

Test(edge_plan_rules, rules_that_leave_a_board_no_way_are_named)
{
    static struct panel p;

    make_panel(&p, 4, 8, false, 0);
    p.rule[2].grain = BT_GRAIN_LEFT;
    p.rule[2].against_grain_allowed = false;
    p.rule[2].front_fixed = true;
    p.rule[2].front = BT_RUN_IN;
    p.rule[2].may_turn = true; /* does not help: face and grain turn together */
    expect_refused(&p, BT_ESINGULAR, 2,
                   "two rules exclude each other: its front edge must be run in, and "
                   "no edge may be fed against the grain, which asks for out");
    p.request.feed = BT_FEED_LEFT_TO_RIGHT;
    p.rule[2].front = BT_RUN_OUT;
    p.rule[2].back_fixed = true;
    p.rule[2].back = BT_RUN_OUT;
    expect_refused(&p, BT_ESINGULAR, 2,
                   "two rules exclude each other: its back edge must be run out, and "
                   "no edge may be fed against the grain, which asks for in");
    p.request.pattern = BT_PATTERN_SAME_FACE; /* is taken as it is */
    struct bt_edge_plan plan = find(&p);

    cr_expect_eq(plan.nconflict, 2);
    bt_edge_plan_clear(&plan);
}

Test(edge_plan_rules, refuses_steps_and_patterns_that_cannot_be)
{
    static struct panel p;

    make_panel(&p, 4, 8, false, 0.5);
    p.request.cup_step = NAN;
    expect_refused(&p, BT_EINPUT, 4, "the step of the cup is not a number above 0");
    p.request.cup_step = 0;
    expect_refused(&p, BT_EINPUT, 4, "the step of the cup is not a number above 0");
    p.request.cup_step = INFINITY;
    expect_refused(&p, BT_EINPUT, 4, "the step of the cup is not a number above 0");
    p.request.cup_step = 1e-12;
    expect_refused(&p, BT_EINPUT, 4,
                   "the step of the cup is too small for these boards");
    p.request.cup_step = 0.01;
    p.request.kink_step = -1;
    expect_refused(&p, BT_EINPUT, 4, "the step of the kink is not a number above 0");
    p.request.kink_step = NAN;
    expect_refused(&p, BT_EINPUT, 4, "the step of the kink is not a number above 0");
    p.request.kink_step = 1e-300;
    expect_refused(&p, BT_EINPUT, 4, "the step of the kink is too small");
    p.request.kink_step = 1e-5;
    p.request.pattern = BT_PATTERNS;
    expect_refused(&p, BT_ECALL, 4, "no such pattern");
    p.request.pattern = BT_PATTERN_BEST;
    p.strip[1].width = NAN;
    expect_refused(&p, BT_EINPUT, 1, "its width is not a number above 0");
    p.request.nboard = 0;
    expect_refused(&p, BT_EINPUT, 0, "there are no boards");
}

Test(edge_plan_rules, refuses_more_boards_than_can_be_planned)
{
    static struct bt_strip strip[1001];
    static struct bt_board_rule rule[1001];
    static struct panel p;

    make_panel(&p, 1, 8, false, 0);
    for (size_t i = 0; i < 1001; i++)
        strip[i] = (struct bt_strip){50, 20, 0};
    p.request.strip = strip;
    p.request.rule = rule;
    p.request.nboard = 1001;
    expect_refused(&p, BT_EINPUT, 1001,
                   "1001 boards are more than the 1000 that can be planned");
}

Test(edge_plan_rules, forgotten_boards_are_refused_as_a_section_is)
{
    const struct bt_strip strip = {0, 25, 0};
    const struct bt_board_run run = {BT_RUN_IN, BT_RUN_IN, false};
    const struct bt_edge_errors errors = {.e = 0};
    struct bt_forgotten out;
    struct bt_error err = {0};

    cr_expect_eq(bt_edge_plan_forgotten(1, &strip, &run, &errors, &out, &err),
                 BT_EINPUT);
    cr_expect_str_eq(err.message, "its width is not a number above 0");
    cr_expect_eq(bt_edge_plan_forgotten(0, &strip, &run, &errors, &out, &err),
                 BT_EINPUT);
    cr_expect_str_eq(err.message, "there are no boards");
}

Test(edge_plan_rules, clearing_twice_and_nothing_is_safe)
{
    struct bt_edge_plan plan = {0};

    bt_edge_plan_clear(&plan);
    bt_edge_plan_clear(&plan);
    bt_edge_plan_clear(NULL);
    cr_expect_null(plan.run);
}
