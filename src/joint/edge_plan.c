/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "joint/edge_plan_private.h"

#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "joint/section_private.h"

const char *bt_pattern_name(enum bt_pattern pattern)
{
    switch (pattern) {
    case BT_PATTERN_SAME_FACE:
        return "same face";
    case BT_PATTERN_ALTERNATE_BOARDS:
        return "alternate boards";
    case BT_PATTERN_IN_AND_OUT:
        return "in and out";
    default:
        return "best";
    }
}

static enum bt_status no_memory(struct bt_error *err)
{
    return bt_error_set(err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
}

static enum bt_status check(const struct bt_edge_plan_request *r, struct bt_error *err)
{
    enum bt_status status = bt_section_check(r->nboard, r->strip, &r->errors, err);

    if (status != BT_OK)
        return status;
    if ((int)r->pattern < 0 || r->pattern >= BT_PATTERNS)
        return bt_error_set(err, BT_ECALL, r->nboard, 0, "no such pattern");
    if (r->nboard > BT_EDGE_PLAN_BOARDS)
        return bt_error_set(err, BT_EINPUT, r->nboard, 0,
                            "%zu boards are more than the %d that can be planned",
                            r->nboard, BT_EDGE_PLAN_BOARDS);
    if (!(r->cup_step > 0 && isfinite(r->cup_step)))
        return bt_error_set(err, BT_EINPUT, r->nboard, 0,
                            "the step of the cup is not a number above 0");
    if (!(r->kink_step > 0 && isfinite(r->kink_step)))
        return bt_error_set(err, BT_EINPUT, r->nboard, 0,
                            "the step of the kink is not a number above 0");
    return BT_OK;
}

/* ---- a plan's figures ---- */

static void name_runs(enum bt_pattern pattern, struct bt_edge_plan *plan)
{
    for (size_t i = 0; i < plan->nboard; i++) {
        bool out = pattern == BT_PATTERN_ALTERNATE_BOARDS && i % 2 == 1;
        bool front_out = out || pattern == BT_PATTERN_IN_AND_OUT;

        plan->run[i] = (struct bt_board_run){out ? BT_RUN_OUT : BT_RUN_IN,
                                             front_out ? BT_RUN_OUT : BT_RUN_IN, false};
    }
}

/* Cup and kink at one joint after the other, as bt_section_evaluate has them. */
static void measure(const struct bt_edge_plan_request *r, struct bt_edge_plan *plan)
{
    double width = 0, y = 0, cup = 0;

    for (size_t i = 0; i < plan->nboard; i++) {
        width += r->strip[i].width;
        plan->departures += plan->run[i].back != plan->run[i].front;
    }
    for (size_t j = 0; j + 1 < plan->nboard; j++) {
        double kink =
            bt_edge_see(&r->strip[j], &plan->run[j], true, r->errors.e).lean +
            bt_edge_see(&r->strip[j + 1], &plan->run[j + 1], false, r->errors.e).lean;

        y += r->strip[j].width;
        cup += bt_cup_share(y, width) * kink;
        plan->kink = fmax(plan->kink, fabs(kink));
        plan->departures += plan->run[j].front == plan->run[j + 1].back;
    }
    plan->cup = fabs(cup);
    plan->cup_bound = plan->cup;
    plan->kink_bound = plan->kink;
}

static void add_conflict(struct bt_edge_plan *plan, const struct bt_edge_conflict *c,
                         bool forbidden)
{
    if (c->forbidden == forbidden)
        plan->conflict[plan->nconflict++] = *c;
}

/* What the rules say of one edge, of one sort. */
static void find_conflicts(const struct bt_edge_plan_request *r, size_t i, bool front,
                           bool forbidden, struct bt_edge_plan *plan)
{
    const struct bt_board_rule *rule = &r->rule[i];
    const struct bt_board_run *how = &plan->run[i];
    enum bt_run run = front ? how->front : how->back, asked;
    struct bt_edge_conflict c = {i, front, BT_CONFLICT_FACE, true};

    if (plan_face_rule(rule, how->turned, front, &asked) && asked != run)
        add_conflict(plan, &c, forbidden);
    c.kind = BT_CONFLICT_GRAIN;
    c.forbidden = !rule->against_grain_allowed;
    if (plan_grain_rule(rule, r->feed, how->turned, &asked) && asked != run)
        add_conflict(plan, &c, forbidden);
}

static void list_conflicts(const struct bt_edge_plan_request *r,
                           struct bt_edge_plan *plan)
{
    for (int forbidden = 1; forbidden >= 0; forbidden--)
        for (size_t i = 0; i < plan->nboard; i++) {
            find_conflicts(r, i, false, forbidden, plan);
            find_conflicts(r, i, true, forbidden, plan);
        }
}

/* ---- the best one ---- */

/* The smallest size that counts as so many steps. */
static double least_of_step(int64_t steps, double step)
{
    return fmax(0, (double)steps - (double)PLAN_NEAR / (double)PLAN_STEP) * step;
}

static void take_best(const struct bt_edge_plan_request *r,
                      const struct plan_problem *problem, const struct plan_best *best,
                      struct bt_edge_plan *plan)
{
    for (size_t i = 0; i < plan->nboard; i++)
        plan->run[i] = problem->board[i].option[best->choice[i]].run;
    measure(r, plan);
    plan->proven = best->proven;
    plan->nodes = best->nodes;
    if (!best->proven) {
        plan->cup_bound = fmin(plan->cup, least_of_step(best->cup_bound, r->cup_step));
        plan->kink_bound =
            fmin(plan->kink, least_of_step(best->kink_bound, r->kink_step));
    }
}

static enum bt_status search(const struct bt_edge_plan_request *r,
                             struct bt_edge_plan *plan, struct bt_error *err)
{
    struct plan_problem problem;
    struct plan_best best = {.choice = NULL};
    enum bt_status status = plan_problem_make(r, &problem, err);

    if (status != BT_OK)
        return status;
    best.choice = bt_alloc(r->nboard, sizeof *best.choice);
    if (best.choice)
        status = plan_search(&problem,
                             r->node_limit ? r->node_limit : (size_t)BT_EDGE_PLAN_NODES,
                             &best, err);
    else
        status = no_memory(err);
    if (status == BT_OK)
        take_best(r, &problem, &best, plan);
    bt_free(best.choice);
    plan_problem_clear(&problem);
    return status;
}

enum bt_status bt_edge_plan_find(const struct bt_edge_plan_request *request,
                                 struct bt_edge_plan *plan, struct bt_error *err)
{
    /* An edge can be against its face and its grain. */
    enum { CONFLICTS = 4 };
    struct bt_edge_plan made = {.nboard = request->nboard};
    enum bt_status status = check(request, err);

    if (status != BT_OK)
        return status;
    made.run = bt_alloc(made.nboard, sizeof *made.run);
    made.conflict = bt_alloc(made.nboard, CONFLICTS * sizeof *made.conflict);
    if (!made.run || !made.conflict)
        status = no_memory(err);
    else if (request->pattern == BT_PATTERN_BEST)
        status = search(request, &made, err);
    else {
        name_runs(request->pattern, &made);
        measure(request, &made);
    }
    if (status != BT_OK) {
        bt_edge_plan_clear(&made);
        return status;
    }
    list_conflicts(request, &made);
    *plan = made;
    return BT_OK;
}

void bt_edge_plan_clear(struct bt_edge_plan *plan)
{
    if (!plan)
        return;
    bt_free(plan->run);
    bt_free(plan->conflict);
    memset(plan, 0, sizeof *plan);
}

/* ---- one board forgotten ---- */

static enum bt_run other_run(enum bt_run run)
{
    return run == BT_RUN_IN ? BT_RUN_OUT : BT_RUN_IN;
}

static void forget(struct bt_board_run *run)
{
    run->back = other_run(run->back);
    run->front = other_run(run->front);
}

static bool is_worse(const struct bt_forgotten *a, const struct bt_forgotten *b)
{
    if (fabs(a->cup) != fabs(b->cup))
        return fabs(a->cup) > fabs(b->cup);
    if (a->opening != b->opening)
        return a->opening > b->opening;
    return a->board < b->board;
}

static void insert(size_t count, const struct bt_forgotten *row,
                   struct bt_forgotten out[])
{
    size_t k = count;

    for (; k > 0 && is_worse(row, &out[k - 1]); k--)
        out[k] = out[k - 1];
    out[k] = *row;
}

enum bt_status bt_edge_plan_forgotten(size_t n, const struct bt_strip strip[],
                                      const struct bt_board_run run[],
                                      const struct bt_edge_errors *errors,
                                      struct bt_forgotten out[], struct bt_error *err)
{
    struct bt_board_run *changed = bt_alloc(n, sizeof *changed);
    struct bt_section section;
    enum bt_status status = BT_OK;

    if (!changed)
        return no_memory(err);
    if (n == 0)
        status = bt_section_evaluate(n, strip, run, errors, &section, err);
    else
        memcpy(changed, run, n * sizeof *changed);
    for (size_t i = 0; i < n && status == BT_OK; i++) {
        forget(&changed[i]);
        status = bt_section_evaluate(n, strip, changed, errors, &section, err);
        forget(&changed[i]);
        if (status != BT_OK)
            break;
        insert(i,
               &(struct bt_forgotten){i, section.cup.value, section.largest_kink,
                                      section.largest_opening},
               out);
        bt_section_clear(&section);
    }
    bt_free(changed);
    return status;
}
