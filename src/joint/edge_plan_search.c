/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "joint/edge_plan_private.h"

#include <gsl/gsl_heapsort.h>
#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"

/*
 * Three questions after each other, each answered by looking for a pattern that passes:
 * the least step of the cup, with that the least step of the largest kink, with those
 * the fewest departures.  The look goes board by board in the order of preference and
 * enters only where the table says that the boards behind can still make it, so that it
 * hardly ever turns back, and the first pattern found at the least cost is the
 * preferred one.
 *
 * Where sums agree in very many ways (boards of equal widths) it could turn back often
 * from the same place: what has failed is kept.
 */

/* A place that does not lead on: board, state and sum before it, cost left. */
struct failed {
    int64_t sum;
    uint32_t run;   /* of the search, from 1 */
    uint16_t place; /* board and state */
    uint16_t left;
};

enum { FAILED = 1 << 15, PARTS = 16 };

struct search {
    const struct plan_problem *problem;
    struct plan_table table;
    struct failed *failed; /* [FAILED] */
    uint32_t run;
    struct plan_band band;
    unsigned budget;       /* cost */
    unsigned next;         /* least budget that would have led on where this did not */
    bool all;              /* no budget */
    unsigned char *choice; /* [n] of the look */
    size_t nodes, stop, limit, part;
    bool stopped;
    struct plan_best *best;
    size_t cost; /* of best */
    int64_t steps, kink;
};

/* ---- one look ---- */

struct place {
    size_t board;
    unsigned state; /* front state of the board before */
    int64_t sum;
    unsigned left; /* cost */
};

static uint16_t key_of(const struct place *at)
{
    return (uint16_t)(at->board * PLAN_STATES + at->state);
}

static struct failed *failed_at(const struct search *s, const struct place *at)
{
    /* Fibonacci hashing of each part in turn. */
    uint64_t hash = (uint64_t)at->sum * 0x9E3779B97F4A7C15u;

    hash ^= hash >> 32;
    hash += (uint64_t)key_of(at) << 16 | at->left;
    hash *= 0x9E3779B97F4A7C15u;
    return &s->failed[hash >> 49];
}

static bool has_failed(const struct search *s, const struct place *at)
{
    const struct failed *f = failed_at(s, at);

    return f->run == s->run && f->sum == at->sum && f->place == key_of(at) &&
           f->left == at->left;
}

static void keep_failed(struct search *s, const struct place *at)
{
    *failed_at(s, at) =
        (struct failed){at->sum, s->run, key_of(at), (uint16_t)at->left};
}

/* Whether a cost is within what is left; else the budget with which it would be. */
static bool affords(struct search *s, const struct place *at, unsigned cost)
{
    if (cost <= at->left)
        return true;
    if (s->budget + (cost - at->left) < s->next)
        s->next = s->budget + (cost - at->left);
    return false;
}

static bool may_lead_on(struct search *s, const struct place *at)
{
    unsigned wanted = s->all ? PLAN_NEVER - 1 : at->left;
    unsigned least =
        plan_table_least(&s->table, at->board, at->state, at->sum, &s->band, wanted);

    if (least == PLAN_NEVER)
        return false;
    return s->all || affords(s, at, least);
}

/* The place behind an option; false where that is excluded. */
static bool step_over(struct search *s, const struct place *at,
                      const struct plan_option *o, struct place *next)
{
    unsigned more = o->cost;

    if (at->board > 0) {
        int64_t kink = s->problem->joint[at->board].kink[at->state][o->back];

        if (kink > s->table.most_kink)
            return false;
        more += plan_same_run(at->state, o->back) * s->problem->departure;
    }
    if (s->all)
        more = 0;
    if (!affords(s, at, more))
        return false;
    *next = (struct place){at->board + 1, o->front, at->sum + o->cup, at->left - more};
    return may_lead_on(s, next);
}

static bool in_band(const struct plan_band *band, int64_t sum)
{
    int64_t steps = plan_steps(sum);

    return steps >= band->from && steps <= band->to;
}

static bool look_from(struct search *s, const struct place *at)
{
    const struct plan_board *board = &s->problem->board[at->board];

    if (at->board == s->problem->n)
        return in_band(&s->band, at->sum);
    if (s->nodes >= s->stop) {
        s->stopped = true;
        return false;
    }
    s->nodes++;
    if (has_failed(s, at))
        return false;
    for (size_t k = 0; k < board->count; k++) {
        struct place next;

        s->choice[at->board] = (unsigned char)k;
        if (step_over(s, at, &board->option[k], &next) && look_from(s, &next))
            return true;
        if (s->stopped)
            return false;
    }
    keep_failed(s, at);
    return false;
}

static void measure_best(struct search *s)
{
    const struct plan_problem *p = s->problem;
    const struct plan_option *before = NULL;
    int64_t sum = 0;

    s->kink = 0;
    s->cost = 0;
    for (size_t j = 0; j < p->n; j++) {
        const struct plan_option *o = &p->board[j].option[s->best->choice[j]];

        sum += o->cup;
        s->cost += o->cost;
        if (before) {
            int64_t kink = p->joint[j].kink[before->front][o->back];

            s->kink = kink > s->kink ? kink : s->kink;
            s->cost += plan_same_run(before->front, o->back) * p->departure;
        }
        before = o;
    }
    s->steps = plan_steps(sum);
}

enum answer { NONE, FOUND, STOPPED };

/* Whether some pattern lies in the band, within the table's limit of kinks and the
 * budget; the first one becomes the best. */
static enum answer look(struct search *s, struct plan_band band)
{
    const struct place start = {.left = s->all ? 0 : s->budget};
    bool found;

    s->band = band;
    s->run++;
    s->next = PLAN_NEVER;
    s->stopped = false;
    s->stop = s->nodes + s->part < s->limit ? s->nodes + s->part : s->limit;
    found = may_lead_on(s, &start) && look_from(s, &start);
    if (found) {
        memcpy(s->best->choice, s->choice, s->problem->n);
        measure_best(s);
        return FOUND;
    }
    return s->stopped ? STOPPED : NONE;
}

/* ---- the cup ---- */

static bool seems_possible(const struct search *s, int64_t from, int64_t to)
{
    const struct plan_band band = {from, to};

    return plan_table_least(&s->table, 0, 0, 0, &band, PLAN_NEVER - 1) < PLAN_NEVER;
}

/* The least number of steps from `from` on that the table does not exclude; at most
 * `most`. */
static int64_t least_possible(const struct search *s, int64_t from, int64_t most)
{
    int64_t low = from, high = from, width = 1;

    while (high < most && !seems_possible(s, low, high)) {
        low = high + 1;
        high = high + width > most ? most : high + width;
        width *= 2;
    }
    while (low < high) {
        int64_t middle = low + (high - low) / 2;

        if (seems_possible(s, low, middle))
            high = middle;
        else
            low = middle + 1;
    }
    return low < most ? low : most;
}

static void find_cup(struct search *s)
{
    int64_t low, width = 0;
    bool proven = true; /* nothing below low */

    s->all = true;
    plan_table_fill(&s->table, INT64_MAX);
    s->best->cup_bound = low = least_possible(s, 0, PLAN_MOST / PLAN_STEP);
    /* There is one, and the first look for it need not turn back: every option of every
     * board passes. */
    look(s, (struct plan_band){0, PLAN_MOST / PLAN_STEP});
    while (low < s->steps) {
        int64_t high = low + width < s->steps ? low + width : s->steps - 1;
        enum answer answer = look(s, (struct plan_band){low, high});

        if (answer == FOUND) {
            width = (s->steps - low) / 2;
            continue;
        }
        proven = proven && answer == NONE;
        low = least_possible(s, high + 1, s->steps);
        if (proven)
            s->best->cup_bound = low;
        width = 2 * width + 1;
    }
    s->best->proven = proven;
}

/* ---- the largest kink ---- */

static int compare_kinks(const void *a, const void *b)
{
    int64_t x = *(const int64_t *)a, y = *(const int64_t *)b;

    return (x > y) - (x < y);
}

/* Every size that a kink can have, ascending, each once; and 0. */
static size_t list_kinks(const struct plan_problem *p, int64_t kink[])
{
    size_t count = 1, kept = 1;

    kink[0] = 0;
    for (size_t j = 1; j < p->n; j++)
        for (size_t k = 0; k < PLAN_STATES * PLAN_STATES; k++) {
            int64_t v = p->joint[j].kink[k / PLAN_STATES][k % PLAN_STATES];

            if (v >= 0)
                kink[count++] = v;
        }
    gsl_heapsort(kink, count, sizeof *kink, compare_kinks);
    for (size_t k = 1; k < count; k++)
        if (kink[k] != kink[kept - 1])
            kink[kept++] = kink[k];
    return kept;
}

static size_t place_of(const int64_t kink[], int64_t value)
{
    size_t k = 0;

    while (kink[k] < value)
        k++;
    return k;
}

static void find_kink(struct search *s, const int64_t kink[])
{
    const struct plan_band band = {s->steps, s->steps};
    size_t low = 0, high = place_of(kink, s->kink), bound = 0;

    while (low < high) {
        size_t middle = low + (high - low) / 2;
        enum answer answer;

        plan_table_fill(&s->table, kink[middle]);
        answer = look(s, band);
        if (answer == FOUND)
            high = place_of(kink, s->kink);
        else
            low = middle + 1;
        /* What no pattern keeps, none keeps that is stricter. */
        if (answer == NONE)
            bound = low;
    }
    s->best->kink_bound = kink[bound];
    s->best->proven = s->best->proven && bound == high;
}

/* ---- cost ---- */

static void find_cost(struct search *s)
{
    const struct plan_band band = {s->steps, s->steps};
    size_t most = s->cost;
    enum answer answer = NONE;
    bool proven = true;

    s->all = !s->table.counts;
    plan_table_fill(&s->table, s->kink);
    s->budget = s->all ? 0 : plan_table_least(&s->table, 0, 0, 0, &band, 0);
    while (s->budget <= most && answer != FOUND) {
        proven = answer == NONE;
        answer = look(s, band);
        /* Where it was stopped there may be one that it did not come to see. */
        s->budget = answer == STOPPED ? s->budget + 1 : s->next;
    }
    /* With too many boards to count the cost for it is the first pattern, whatever
     * they are. */
    s->best->proven = s->best->proven && proven && answer == FOUND && !s->all;
}

/* ---- all ---- */

/* Bins of half a step of the cup, within measure: small panels need no more than they
 * have patterns, long ones must make do with the memory there is, 64 MiB. */
static size_t choose_bins(const struct plan_problem *p)
{
    double patterns = 4, steps = plan_range(p) / (double)PLAN_STEP, most;

    most = fmin(fmin(fmax(2 * steps, 32768), 131072), 33554432 / (4 * (double)p->n));
    for (size_t i = 0; i < p->n && patterns < most; i++)
        patterns *= (double)p->board[i].count;
    return (size_t)fmin(patterns, most);
}

enum bt_status plan_search(const struct plan_problem *problem, size_t node_limit,
                           struct plan_best *best, struct bt_error *err)
{
    struct search s = {.problem = problem,
                       /* The first look takes n. */
                       .limit = node_limit > problem->n ? node_limit : problem->n,
                       .part = node_limit / PARTS + problem->n,
                       .best = best};
    int64_t *kink = bt_alloc(problem->n, PLAN_STATES * PLAN_STATES * sizeof *kink);
    enum bt_status status = BT_ENOMEM;

    s.failed = bt_alloc(FAILED, sizeof *s.failed);
    s.choice = bt_alloc(problem->n, sizeof *s.choice);
    if (!kink || !s.failed || !s.choice)
        bt_error_set(err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
    else
        status = plan_table_make(problem, choose_bins(problem), &s.table, err);
    if (status == BT_OK) {
        list_kinks(problem, kink);
        find_cup(&s);
        find_kink(&s, kink);
        find_cost(&s);
        best->nodes = s.nodes;
        plan_table_clear(&s.table);
    }
    bt_free(kink);
    bt_free(s.failed);
    bt_free(s.choice);
    return status;
}
