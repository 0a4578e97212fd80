/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/joint/edge_plan.h"

#include <criterion/criterion.h>
#include <gsl/gsl_errno.h>
#include <math.h>
#include <stdint.h>
#include <string.h>

static void quiet_gsl(void)
{
    gsl_set_error_handler_off();
}

TestSuite(edge_plan, .init = quiet_gsl);

enum { MOST = 64 };

static const double degree = 0.017453292519943295;

/* Fixed, reproducible: from 0 to 1. */
static double next(uint32_t *state)
{
    *state = *state * 1664525u + 1013904223u;
    return (double)(*state >> 8) / 16777216.0;
}

struct panel {
    size_t n;
    struct bt_strip strip[MOST];
    struct bt_board_rule rule[MOST];
    struct bt_edge_plan_request request;
};

static void make_panel(struct panel *p, size_t n, uint32_t seed, bool equal,
                       double taper)
{
    memset(p, 0, sizeof *p);
    p->n = n;
    for (size_t i = 0; i < n; i++) {
        p->strip[i] = (struct bt_strip){equal ? 100 : 60 + 90 * next(&seed), 25,
                                        taper * (2 * next(&seed) - 1)};
        p->rule[i].against_grain_allowed = true;
    }
    p->request = (struct bt_edge_plan_request){.nboard = n,
                                               .strip = p->strip,
                                               .rule = p->rule,
                                               .errors = {.e = 0.1 * degree},
                                               .pattern = BT_PATTERN_BEST,
                                               .cup_step = 0.01,
                                               .kink_step = 1e-5};
}

static struct bt_edge_plan find(const struct panel *p)
{
    struct bt_edge_plan plan = {0};
    struct bt_error err = {0};

    cr_assert_eq(bt_edge_plan_find(&p->request, &plan, &err), BT_OK, "%s", err.message);
    return plan;
}

/* ---- all patterns, one after the other ---- */

struct score {
    double cup_steps, kink_steps;
    size_t departures;
};

struct brute {
    const struct panel *p;
    double y[MOST], width;
    struct bt_board_run run[MOST], best_run[MOST];
    double best_cup;
    struct score best;
    bool found;
};

/* Rules speak of the board as it lies: an edge of wood and a face of wood. */
static bool wood_edge_allowed(const struct panel *p, size_t i, bool front, bool show)
{
    const struct bt_board_rule *r = &p->rule[i];
    bool left_to_right = p->request.feed == BT_FEED_LEFT_TO_RIGHT;

    if ((front ? r->front_fixed : r->back_fixed) &&
        show != ((front ? r->front : r->back) == BT_RUN_IN))
        return false;
    if (r->against_grain_allowed || r->grain == BT_GRAIN_UNKNOWN)
        return true;
    return show == ((r->grain == BT_GRAIN_RIGHT) != left_to_right);
}

static bool run_allowed(const struct panel *p, size_t i, const struct bt_board_run *run)
{
    /* As the board lay: which edge of wood is the back one now, which face shows. */
    bool back_is_front = run->turned;
    bool back_show = (run->back == BT_RUN_IN) != run->turned;
    bool front_show = (run->front == BT_RUN_IN) != run->turned;
    const struct bt_board_rule *r = &p->rule[i];
    bool back_fixed = run->turned ? r->front_fixed : r->back_fixed;
    bool front_fixed = run->turned ? r->back_fixed : r->front_fixed;

    if (run->turned && !r->may_turn)
        return false;
    if (i == 0 && !back_fixed && run->back != run->front)
        return false;
    if (i + 1 == p->n && !front_fixed && run->back != run->front)
        return false;
    return wood_edge_allowed(p, i, back_is_front, back_show) &&
           wood_edge_allowed(p, i, !back_is_front, front_show);
}

static double lean(const struct panel *p, const struct bt_board_run *run, size_t i,
                   bool front)
{
    struct bt_strip s = p->strip[i];

    if (run->turned)
        s.taper = -s.taper;
    return bt_edge_lean(&s, front, front ? run->front : run->back, p->request.errors.e);
}

static double whole(double size, double step)
{
    return floor(fabs(size) / step + ldexp(1, -20));
}

static bool is_better(const struct score *a, const struct score *b)
{
    if (a->cup_steps != b->cup_steps)
        return a->cup_steps < b->cup_steps;
    if (a->kink_steps != b->kink_steps)
        return a->kink_steps < b->kink_steps;
    return a->departures < b->departures;
}

/* Patterns come in the order of preference, so that a later one must be better. */
static void try_all(struct brute *b, size_t i, double cup, double kink,
                    size_t departures)
{
    const struct panel *p = b->p;

    if (i == p->n) {
        struct score s = {whole(cup, p->request.cup_step),
                          whole(kink, p->request.kink_step), departures};

        if (!b->found || is_better(&s, &b->best)) {
            b->found = true;
            b->best = s;
            b->best_cup = cup;
            memcpy(b->best_run, b->run, sizeof b->run);
        }
        return;
    }
    for (int k = 0; k < 8; k++) {
        struct bt_board_run *run = &b->run[i];
        double here = 0;
        size_t more;

        *run = (struct bt_board_run){k & 2 ? BT_RUN_OUT : BT_RUN_IN,
                                     k & 1 ? BT_RUN_OUT : BT_RUN_IN, (k & 4) != 0};
        if (!run_allowed(p, i, run))
            continue;
        more = run->back != run->front;
        if (i > 0) {
            here = lean(p, run - 1, i - 1, true) + lean(p, run, i, false);
            more += run[-1].front == run->back;
        }
        try_all(b, i + 1,
                i ? cup - fmin(b->y[i - 1], b->width - b->y[i - 1]) / 2 * here : cup,
                fmax(kink, fabs(here)), departures + more);
    }
}

static void search_all(struct brute *b, const struct panel *p)
{
    memset(b, 0, sizeof *b);
    b->p = p;
    for (size_t i = 0; i < p->n; i++)
        b->y[i] = b->width += p->strip[i].width;
    try_all(b, 0, 0, 0, 0);
}

static size_t count_runs(const struct panel *p, size_t i)
{
    size_t count = 0;

    for (int k = 0; k < 8; k++) {
        const struct bt_board_run run = {k & 2 ? BT_RUN_OUT : BT_RUN_IN,
                                         k & 1 ? BT_RUN_OUT : BT_RUN_IN, (k & 4) != 0};

        count += run_allowed(p, i, &run);
    }
    return count;
}

static enum bt_run either(uint32_t *seed)
{
    return next(seed) < 0.5 ? BT_RUN_IN : BT_RUN_OUT;
}

static void make_rule(struct panel *p, size_t i, double free, uint32_t *seed)
{
    struct bt_board_rule *r = &p->rule[i];

    r->back = either(seed);
    r->front = next(seed) < 0.7 ? r->back : either(seed);
    r->back_fixed = next(seed) > free;
    r->front_fixed = next(seed) > free;
    r->may_turn = next(seed) < free * 0.7;
    r->grain = (enum bt_grain)(3 * next(seed));
    r->against_grain_allowed = next(seed) < 0.8 || r->back_fixed || r->front_fixed;
}

/* Rules for all boards that leave at most 4096 patterns. */
static void make_rules(struct panel *p, uint32_t seed)
{
    double free = 0.3 + 0.7 * next(&seed), patterns = 1;

    p->request.feed = next(&seed) < 0.5 ? BT_FEED_RIGHT_TO_LEFT : BT_FEED_LEFT_TO_RIGHT;
    for (size_t i = 0; i < p->n; i++) {
        make_rule(p, i, free, &seed);
        if (patterns * (double)count_runs(p, i) > 4096)
            p->rule[i] = (struct bt_board_rule){.back_fixed = true,
                                                .front_fixed = true,
                                                .against_grain_allowed = true,
                                                .back = either(&seed),
                                                .front = either(&seed)};
        patterns *= (double)count_runs(p, i);
    }
}

static void compare(const struct panel *p, const char *name, uint32_t seed)
{
    static struct brute b;
    struct bt_edge_plan plan = find(p);

    search_all(&b, p);
    cr_assert(b.found && plan.proven, "%s %u", name, seed);
    cr_expect(whole(plan.cup, p->request.cup_step) == b.best.cup_steps,
              "%s %u: cup %g, not %g", name, seed, plan.cup, b.best_cup);
    cr_expect(whole(plan.kink, p->request.kink_step) == b.best.kink_steps, "%s %u",
              name, seed);
    cr_expect_eq(plan.departures, b.best.departures, "%s %u: %zu, not %zu", name, seed,
                 plan.departures, b.best.departures);
    for (size_t i = 0; i < p->n; i++)
        cr_expect(plan.run[i].back == b.best_run[i].back &&
                      plan.run[i].front == b.best_run[i].front &&
                      plan.run[i].turned == b.best_run[i].turned,
                  "%s %u: board %zu", name, seed, i);
    cr_expect(plan.cup_bound == plan.cup && plan.kink_bound == plan.kink);
    bt_edge_plan_clear(&plan);
}

Test(edge_plan, equals_the_trial_of_all_patterns_on_500_panels_with_rules)
{
    static const double cup_steps[] = {0.01, 0.001, 1e-5, 0.3};
    static const double kink_steps[] = {1e-5, 1e-4, 1e-9};

    for (uint32_t k = 0; k < 500; k++) {
        static struct panel p;

        make_panel(&p, 1 + k % 12, 4000 + k, k % 3 == 0, k % 5 < 2 ? 0 : 0.8);
        p.request.errors.e = (k % 7 == 0 ? -0.5 : 0.02 * (k % 29)) * degree;
        p.request.cup_step = cup_steps[k / 12 % 4];
        p.request.kink_step = kink_steps[k / 48 % 3];
        make_rules(&p, 90 + k);
        compare(&p, "panel", k);
    }
}

Test(edge_plan, equals_the_trial_of_all_patterns_of_12_boards_of_two_ways_each)
{
    for (uint32_t k = 0; k < 8; k++) {
        static struct panel p;

        make_panel(&p, 12, 70 + k, k % 2, k % 4 < 2 ? 0.7 : 0);
        p.request.errors.e = 0.3 * degree;
        for (size_t i = 0; i < p.n; i++) {
            /* back in, the front edge free, or the other way round */
            p.rule[i].back_fixed = (i + k) % 2;
            p.rule[i].front_fixed = !p.rule[i].back_fixed;
            p.rule[i].back = i % 3 ? BT_RUN_IN : BT_RUN_OUT;
            p.rule[i].front = i % 4 ? BT_RUN_OUT : BT_RUN_IN;
        }
        compare(&p, "two ways", k);
    }
}

/* ---- 24 boards and more ---- */

static void expect_rules_kept(const struct panel *p, const struct bt_edge_plan *plan)
{
    for (size_t i = 0; i < p->n; i++)
        cr_expect(run_allowed(p, i, &plan->run[i]), "board %zu", i);
    for (size_t k = 0; k < plan->nconflict; k++)
        cr_expect(!plan->conflict[k].forbidden &&
                  plan->conflict[k].kind == BT_CONFLICT_GRAIN);
}

Test(edge_plan, proves_24_boards_with_rules_within_the_default_limit)
{
    for (uint32_t k = 0; k < 6; k++) {
        static struct panel p;
        struct bt_edge_plan plan;
        struct bt_section s;

        make_panel(&p, 24, 300 + k, k % 3 == 0, k % 2 ? 0.8 : 0);
        p.request.errors.e = 0.5 * degree;
        for (size_t i = 0; i < p.n; i += 2) {
            p.rule[i].may_turn = k % 4 < 2;
            p.rule[i].back_fixed = i % 3 == 0;
            p.rule[i].back = i % 4 ? BT_RUN_IN : BT_RUN_OUT;
            p.rule[i].grain = i % 5 ? BT_GRAIN_LEFT : BT_GRAIN_RIGHT;
            p.rule[i].against_grain_allowed = p.rule[i].back_fixed;
        }
        plan = find(&p);
        cr_expect(plan.proven, "panel %u", k);
        expect_rules_kept(&p, &plan);
        cr_assert_eq(
            bt_section_evaluate(p.n, p.strip, plan.run, &p.request.errors, &s, NULL),
            BT_OK);
        cr_expect(fabs(fabs(s.cup.value) - plan.cup) <= 1e-9);
        cr_expect(fabs(s.largest_kink - plan.kink) <= 1e-15);
        bt_section_clear(&s);
        bt_edge_plan_clear(&plan);
    }
}

/* Whole-board alternation is a pattern like any other: no bound may lie above it. */
Test(edge_plan, bounds_of_40_and_64_boards_hold_whatever_the_limit)
{
    for (uint32_t k = 0; k < 8; k++) {
        static struct panel p;
        static const size_t limits[] = {1, 80, 300, 3000};
        struct bt_edge_plan plan, known;
        size_t n = k % 4 == 1 ? 64 : 40, limit = limits[k / 2];

        make_panel(&p, n, 500 + k, k % 3 == 0, k % 2 ? 0 : 0.8);
        p.request.errors.e = (k % 5 ? 0.2 : 0.5) * degree;
        for (size_t i = 0; i < n; i++)
            p.rule[i].may_turn = k == 5;
        p.request.pattern = BT_PATTERN_ALTERNATE_BOARDS;
        known = find(&p);
        p.request.pattern = BT_PATTERN_BEST;
        p.request.node_limit = limit;
        plan = find(&p);
        cr_expect(plan.cup_bound <= known.cup && plan.cup_bound <= plan.cup);
        if (whole(known.cup, 0.01) == whole(plan.cup, 0.01))
            cr_expect(plan.kink_bound <= known.kink, "%u", k);
        cr_expect(plan.kink_bound <= plan.kink);
        if (plan.proven)
            cr_expect(whole(plan.cup, 0.01) <= whole(known.cup, 0.01));
        cr_expect(plan.nodes <= (limit > n ? limit : n), "%u: %zu", k, plan.nodes);
        bt_edge_plan_clear(&plan);
        bt_edge_plan_clear(&known);
    }
}

Test(edge_plan, a_bound_that_is_reached_later_was_never_above_it)
{
    for (uint32_t k = 0; k < 12; k++) {
        static struct panel p;
        struct bt_edge_plan first, whole_way;

        make_panel(&p, 40, 800 + k, k % 3 == 0, 0.6);
        p.request.errors.e = 0.4 * degree;
        for (size_t i = 0; i < p.n; i++) {
            /* few boards free, so that 0 is often out of reach */
            p.rule[i].back_fixed = p.rule[i].front_fixed = (i * 7 + k) % 5 != 0;
            p.rule[i].back = p.rule[i].front = i % 3 ? BT_RUN_IN : BT_RUN_OUT;
        }
        whole_way = find(&p);
        cr_assert(whole_way.proven, "%u", k);
        p.request.node_limit = 41 + 20 * k;
        first = find(&p);
        cr_expect(first.cup_bound <= whole_way.cup, "%u: %g, %g", k, first.cup_bound,
                  whole_way.cup);
        cr_expect(first.cup >= whole_way.cup - p.request.cup_step, "%u", k);
        if (whole(first.cup, 0.01) == whole(whole_way.cup, 0.01))
            cr_expect(first.kink_bound <= whole_way.kink, "%u", k);
        bt_edge_plan_clear(&first);
        bt_edge_plan_clear(&whole_way);
    }
}

Test(edge_plan, more_boards_than_departures_are_counted_for_are_not_called_proven)
{
    static struct bt_strip strip[300];
    static struct bt_board_rule rule[300];
    struct panel p;
    struct bt_edge_plan plan;

    make_panel(&p, 1, 1, true, 0);
    for (size_t i = 0; i < 300; i++) {
        strip[i] = (struct bt_strip){80, 25, 0};
        rule[i].against_grain_allowed = true;
    }
    p.request.nboard = 300;
    p.request.strip = strip;
    p.request.rule = rule;
    plan = find(&p);
    cr_expect(!plan.proven && plan.cup <= 0.01 && plan.kink <= 1e-5, "%g %g", plan.cup,
              plan.kink);
    bt_edge_plan_clear(&plan);
}

/* ---- properties ---- */

Test(edge_plan, without_rules_and_taper_the_best_is_whole_board_alternation)
{
    for (uint32_t k = 1; k <= 24; k++) {
        static struct panel p;
        struct bt_edge_plan plan;

        make_panel(&p, k, k, false, 0);
        plan = find(&p);
        cr_expect(plan.proven && plan.cup == 0 && plan.kink == 0, "%u", k);
        cr_expect_eq(plan.departures, 0);
        for (size_t i = 0; i < k; i++)
            cr_expect(plan.run[i].back == (i % 2 ? BT_RUN_OUT : BT_RUN_IN) &&
                      plan.run[i].front == plan.run[i].back && !plan.run[i].turned);
        bt_edge_plan_clear(&plan);
    }
}

Test(edge_plan, a_cup_of_whole_steps_is_not_mistaken_for_one_step_less)
{
    static struct panel p;
    struct bt_edge_plan plan;

    /* Two boards, one joint: 0.3 mm whatever is done. */
    make_panel(&p, 2, 1, true, 0);
    p.request.errors.e = 0.3 / 100;
    p.request.cup_step = 0.1;
    p.rule[0].front_fixed = p.rule[1].back_fixed = true;
    plan = find(&p);
    cr_expect(plan.proven && fabs(plan.cup - 0.3) <= 1e-12);
    bt_edge_plan_clear(&plan);
    p.request.node_limit = 1;
    plan = find(&p);
    cr_expect(plan.cup_bound <= plan.cup && plan.cup_bound >= 0.299, "%g",
              plan.cup_bound);
    bt_edge_plan_clear(&plan);
}

Test(edge_plan, named_patterns_are_what_they_say)
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

Test(edge_plan, the_grain_rule_is_that_of_a_board_set_on_edge_in_space)
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

Test(edge_plan, unknown_grain_asks_for_nothing)
{
    enum bt_run run = BT_RUN_OUT;

    cr_expect_not(bt_grain_run(BT_GRAIN_UNKNOWN, BT_FEED_RIGHT_TO_LEFT, &run));
    cr_expect_eq(run, BT_RUN_OUT);
}

Test(edge_plan, what_rules_say_against_a_named_pattern_is_listed_forbidden_first)
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

Test(edge_plan, forgetting_a_board_is_worst_at_the_middle_and_listed_worst_first)
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

Test(edge_plan, a_forgotten_board_is_the_section_with_that_board_run_the_other_way)
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

Test(edge_plan, rules_that_leave_a_board_no_way_are_named)
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

Test(edge_plan, refuses_steps_and_patterns_that_cannot_be)
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

Test(edge_plan, refuses_more_boards_than_can_be_planned)
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

Test(edge_plan, forgotten_boards_are_refused_as_a_section_is)
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

Test(edge_plan, clearing_twice_and_nothing_is_safe)
{
    struct bt_edge_plan plan = {0};

    bt_edge_plan_clear(&plan);
    bt_edge_plan_clear(&plan);
    bt_edge_plan_clear(NULL);
    cr_expect_null(plan.run);
}
