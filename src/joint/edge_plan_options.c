/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "joint/edge_plan_private.h"

#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "joint/section_private.h"

unsigned plan_same_run(unsigned front, unsigned back)
{
    return (front & 1u) == (back & 1u) ? 1 : 0;
}

int64_t plan_steps(int64_t sum)
{
    return ((sum < 0 ? -sum : sum) + PLAN_NEAR) / PLAN_STEP;
}

/* ---- rules ---- */

static enum bt_run other_run(enum bt_run run)
{
    return run == BT_RUN_IN ? BT_RUN_OUT : BT_RUN_IN;
}

bool bt_grain_run(enum bt_grain grain, enum bt_feed feed, enum bt_run *run)
{
    if (grain != BT_GRAIN_LEFT && grain != BT_GRAIN_RIGHT)
        return false;
    *run = (grain == BT_GRAIN_LEFT) == (feed == BT_FEED_RIGHT_TO_LEFT) ? BT_RUN_OUT
                                                                       : BT_RUN_IN;
    return true;
}

bool plan_face_rule(const struct bt_board_rule *rule, bool turned, bool front,
                    enum bt_run *run)
{
    bool front_before = front != turned;
    enum bt_run asked = front_before ? rule->front : rule->back;

    if (!(front_before ? rule->front_fixed : rule->back_fixed))
        return false;
    *run = turned ? other_run(asked) : asked;
    return true;
}

bool plan_grain_rule(const struct bt_board_rule *rule, enum bt_feed feed, bool turned,
                     enum bt_run *run)
{
    enum bt_grain grain = rule->grain;

    if (turned && grain != BT_GRAIN_UNKNOWN)
        grain = grain == BT_GRAIN_LEFT ? BT_GRAIN_RIGHT : BT_GRAIN_LEFT;
    return bt_grain_run(grain, feed, run);
}

static bool edge_allowed(const struct bt_edge_plan_request *request, size_t i,
                         const struct bt_board_run *how, bool front)
{
    const struct bt_board_rule *rule = &request->rule[i];
    enum bt_run run = front ? how->front : how->back, asked;

    if (plan_face_rule(rule, how->turned, front, &asked) && run != asked)
        return false;
    return rule->against_grain_allowed ||
           !plan_grain_rule(rule, request->feed, how->turned, &asked) || run == asked;
}

/* An outer edge that no rule fixes follows the other one. */
static bool outer_follows(const struct bt_edge_plan_request *request, size_t i,
                          const struct bt_board_run *how)
{
    const struct bt_board_rule *rule = &request->rule[i];
    bool back_outer = i == 0, front_outer = i + 1 == request->nboard;
    bool back_fixed = plan_face_rule(rule, how->turned, false, &(enum bt_run){0});
    bool front_fixed = plan_face_rule(rule, how->turned, true, &(enum bt_run){0});

    if ((back_outer && !back_fixed) || (front_outer && !front_fixed))
        return how->back == how->front;
    return true;
}

/* Which edge of board i two rules pull either way, as the board lies. */
static enum bt_status no_way(const struct bt_edge_plan_request *request, size_t i,
                             struct bt_error *err)
{
    const struct bt_board_rule *rule = &request->rule[i];
    enum bt_run fixed = BT_RUN_IN, grain = BT_RUN_IN;
    bool front = false;

    plan_grain_rule(rule, request->feed, false, &grain);
    if (!plan_face_rule(rule, false, false, &fixed) || fixed == grain)
        front = true;
    return bt_error_set(err, BT_ESINGULAR, i, 0,
                        "two rules exclude each other: its %s edge must be run %s, and "
                        "no edge may be fed against the grain, which asks for %s",
                        front ? "front" : "back", bt_run_name(other_run(grain)),
                        bt_run_name(grain));
}

/* ---- what each option does ---- */

struct widths {
    double before, all; /* mm: up to the board's back edge; of the panel */
};

static unsigned state_of(const struct bt_board_run *run, bool front)
{
    enum bt_run how = front ? run->front : run->back;

    return (run->turned ? 2u : 0u) + (how == BT_RUN_OUT ? 1u : 0u);
}

static double cup_of(const struct bt_edge_plan_request *r, size_t i,
                     const struct bt_board_run *run, const struct widths *w)
{
    double cup = 0;

    if (i > 0)
        cup += bt_cup_share(w->before, w->all) *
               bt_edge_see(&r->strip[i], run, false, r->errors.e).lean;
    if (i + 1 < r->nboard)
        cup += bt_cup_share(w->before + r->strip[i].width, w->all) *
               bt_edge_see(&r->strip[i], run, true, r->errors.e).lean;
    return cup;
}

/* How many edges of board i are fed against the grain, 0 where that is not known. */
static unsigned count_against(const struct bt_edge_plan_request *r, size_t i,
                              const struct bt_board_run *run)
{
    enum bt_run asked;

    if (!plan_grain_rule(&r->rule[i], r->feed, run->turned, &asked))
        return 0;
    return (unsigned)(run->back != asked) + (unsigned)(run->front != asked);
}

static void add_option(struct plan_board *board, const struct bt_board_run *run,
                       int64_t cup, unsigned cost)
{
    board->option[board->count++] = (struct plan_option){.run = *run,
                                                         .cup = cup,
                                                         .back = state_of(run, false),
                                                         .front = state_of(run, true),
                                                         .cost = cost};
}

/* *most: grows by the largest cup of the board, in units; departure: what one costs. */
static enum bt_status list_options(const struct bt_edge_plan_request *r, size_t i,
                                   const struct widths *w, unsigned departure,
                                   struct plan_board *board, double *most,
                                   struct bt_error *err)
{
    double largest = 0;

    for (unsigned k = 0; k < PLAN_OPTIONS; k++) {
        struct bt_board_run run = {.back = k & 2u ? BT_RUN_OUT : BT_RUN_IN,
                                   .front = k & 1u ? BT_RUN_OUT : BT_RUN_IN,
                                   .turned = k & 4u};
        double cup = cup_of(r, i, &run, w) / r->cup_step * (double)PLAN_STEP;

        if ((run.turned && !r->rule[i].may_turn) || !edge_allowed(r, i, &run, false) ||
            !edge_allowed(r, i, &run, true) || !outer_follows(r, i, &run))
            continue;
        largest = fmax(largest, fabs(cup));
        if (!(*most + largest < (double)PLAN_MOST))
            return bt_error_set(err, BT_EINPUT, r->nboard, 0,
                                "the step of the cup is too small for these boards");
        add_option(board, &run, llrint(cup),
                   (unsigned)(run.back != run.front) * departure +
                       count_against(r, i, &run));
    }
    *most += largest;
    return board->count ? BT_OK : no_way(r, i, err);
}

/* Lean of the edge of board i in a state. */
static double lean_in(const struct bt_edge_plan_request *r, size_t i, bool front,
                      unsigned state)
{
    enum bt_run how = state & 1u ? BT_RUN_OUT : BT_RUN_IN;
    const struct bt_board_run run = {how, how, state & 2u};

    return bt_edge_see(&r->strip[i], &run, front, r->errors.e).lean;
}

static bool has_state(const struct plan_board *board, bool front, unsigned state)
{
    for (size_t k = 0; k < board->count; k++)
        if ((front ? board->option[k].front : board->option[k].back) == state)
            return true;
    return false;
}

static enum bt_status list_kinks(const struct bt_edge_plan_request *r, size_t j,
                                 struct plan_problem *problem, struct bt_error *err)
{
    for (unsigned a = 0; a < PLAN_STATES; a++)
        for (unsigned b = 0; b < PLAN_STATES; b++) {
            double kink = fabs(lean_in(r, j - 1, true, a) + lean_in(r, j, false, b));
            double steps =
                floor(kink / r->kink_step + (double)PLAN_NEAR / (double)PLAN_STEP);

            problem->joint[j].kink[a][b] = -1;
            if (!has_state(&problem->board[j - 1], true, a) ||
                !has_state(&problem->board[j], false, b))
                continue;
            if (!(steps < (double)PLAN_MOST))
                return bt_error_set(err, BT_EINPUT, r->nboard, 0,
                                    "the step of the kink is too small");
            problem->joint[j].kink[a][b] = (int64_t)steps;
        }
    return BT_OK;
}

static enum bt_status fill_problem(const struct bt_edge_plan_request *r,
                                   struct plan_problem *problem, struct bt_error *err)
{
    struct widths w = {0, 0};
    double most = 0;
    enum bt_status status = BT_OK;

    for (size_t i = 0; i < r->nboard; i++)
        w.all += r->strip[i].width;
    for (size_t i = 0; i < r->nboard && status == BT_OK; i++) {
        status =
            list_options(r, i, &w, problem->departure, &problem->board[i], &most, err);
        w.before += r->strip[i].width;
    }
    for (size_t j = 1; j < r->nboard && status == BT_OK; j++)
        status = list_kinks(r, j, problem, err);
    return status;
}

enum bt_status plan_problem_make(const struct bt_edge_plan_request *request,
                                 struct plan_problem *problem, struct bt_error *err)
{
    enum bt_status status;

    memset(problem, 0, sizeof *problem);
    problem->n = request->nboard;
    problem->departure = 2 * (unsigned)problem->n + 1;
    problem->board = bt_alloc(problem->n, sizeof *problem->board);
    problem->joint = bt_alloc(problem->n, sizeof *problem->joint);
    if (!problem->board || !problem->joint)
        status = bt_error_set(err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
    else
        status = fill_problem(request, problem, err);
    if (status != BT_OK)
        plan_problem_clear(problem);
    return status;
}

void plan_problem_clear(struct plan_problem *problem)
{
    bt_free(problem->board);
    bt_free(problem->joint);
    memset(problem, 0, sizeof *problem);
}
