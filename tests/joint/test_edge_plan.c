/* SPDX-License-Identifier: GPL-3.0-or-later */
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

TestSuite(edge_plan, .init = quiet_gsl);

static const double degree = 0.017453292519943295;

/* ---- all patterns, one after the other ---- */

struct score {
    double cup_steps, kink_steps;
    size_t departures, against;
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

static bool is_better(const struct score *a, const struct score *b)
{
    if (a->cup_steps != b->cup_steps)
        return a->cup_steps < b->cup_steps;
    if (a->kink_steps != b->kink_steps)
        return a->kink_steps < b->kink_steps;
    if (a->departures != b->departures)
        return a->departures < b->departures;
    return a->against < b->against;
}

/* By the sentence of the header: fed right to left, grain left goes out. */
static size_t edges_against(const struct panel *p, size_t i,
                            const struct bt_board_run *run)
{
    bool left = p->rule[i].grain == BT_GRAIN_LEFT;
    enum bt_run with;

    if (p->rule[i].grain == BT_GRAIN_UNKNOWN)
        return 0;
    with = (left != run->turned) == (p->request.feed == BT_FEED_RIGHT_TO_LEFT)
               ? BT_RUN_OUT
               : BT_RUN_IN;
    return (size_t)(run->back != with) + (size_t)(run->front != with);
}

/* Patterns come in the order of preference, so that a later one must be better. */
static void try_all(struct brute *b, size_t i, double cup, double kink,
                    size_t departures, size_t against)
{
    const struct panel *p = b->p;

    if (i == p->n) {
        struct score s = {whole(cup, p->request.cup_step),
                          whole(kink, p->request.kink_step), departures, against};

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
                fmax(kink, fabs(here)), departures + more,
                against + edges_against(p, i, run));
    }
}

static void search_all(struct brute *b, const struct panel *p)
{
    memset(b, 0, sizeof *b);
    b->p = p;
    for (size_t i = 0; i < p->n; i++)
        b->y[i] = b->width += p->strip[i].width;
    try_all(b, 0, 0, 0, 0, 0);
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
