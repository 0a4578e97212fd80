/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "joint/edge_plan_private.h"

#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"

/* ---- bins ---- */

static int64_t least_cup(const struct plan_board *board)
{
    int64_t least = board->option[0].cup;

    for (size_t k = 1; k < board->count; k++)
        least = board->option[k].cup < least ? board->option[k].cup : least;
    return least;
}

static int64_t most_cup(const struct plan_board *board)
{
    int64_t most = board->option[0].cup;

    for (size_t k = 1; k < board->count; k++)
        most = board->option[k].cup > most ? board->option[k].cup : most;
    return most;
}

static int64_t largest_cup(const struct plan_board *board)
{
    int64_t low = least_cup(board), high = most_cup(board);

    return -low > high ? -low : high;
}

double plan_range(const struct plan_problem *problem)
{
    double range = 0;

    for (size_t i = 0; i < problem->n; i++)
        range += (double)(most_cup(&problem->board[i]) - least_cup(&problem->board[i]));
    return range;
}

/*
 * The common measure of a and b within slack, by Euclid's way with nearest remainders;
 * 0 where both are.
 */
static double measure(double a, double b, double slack)
{
    while (b > slack) {
        double rest = fabs(a - b * nearbyint(a / b));

        a = b;
        b = rest;
    }
    return a;
}

/*
 * Width of a bin.  Boards of equal widths have sums that are all multiples of one
 * measure, and very many ways to each: bins of that width do not mix them up.  It is
 * taken where it does not ask for more bins than there may be; then it is set right
 * from the largest difference, since Euclid's way gathers rounding.
 */
static double choose_unit(const struct plan_problem *p, size_t bins)
{
    double range = plan_range(p), largest = 0, common = 0, slack, coarse;

    for (size_t i = 0; i < p->n; i++)
        largest =
            fmax(largest, (double)(most_cup(&p->board[i]) - least_cup(&p->board[i])));
    slack = 64 * (double)p->n + ldexp(range, -40);
    coarse = fmax(1, range / (double)bins);
    for (size_t i = 0; i < p->n && !(common > 0 && common < coarse); i++)
        for (size_t k = 0; k < p->board[i].count; k++) {
            double d = (double)(p->board[i].option[k].cup - least_cup(&p->board[i]));

            if (d > slack)
                common =
                    common > 0 ? measure(fmax(common, d), fmin(common, d), slack) : d;
        }
    if (!(common >= coarse))
        return coarse;
    return largest / nearbyint(largest / common);
}

static void place_boards(struct plan_table *t)
{
    const struct plan_problem *p = t->problem;
    double slack = 2, most = 0;

    for (size_t j = 0; j < p->n; j++)
        most += (double)largest_cup(&p->board[j]);
    /* Many times the rounding of sums as doubles. */
    slack += ldexp(most, -50);
    t->bins[p->n] = 1;
    for (size_t j = p->n; j-- > 0;) {
        const struct plan_board *board = &p->board[j];
        int64_t least = least_cup(board);
        double low = INFINITY, high = -INFINITY;
        uint32_t farthest = 0;

        for (size_t k = 0; k < board->count; k++) {
            double d = (double)(board->option[k].cup - least);
            double shift = nearbyint(d / t->unit);
            double rest = d - shift * t->unit;

            t->shift[j * PLAN_OPTIONS + k] = (uint32_t)shift;
            farthest = (uint32_t)shift > farthest ? (uint32_t)shift : farthest;
            low = fmin(low, rest);
            high = fmax(high, rest);
        }
        t->bins[j] = t->bins[j + 1] + farthest;
        t->base[j] = t->base[j + 1] + least;
        t->low[j] = t->low[j + 1] + low - slack;
        t->high[j] = t->high[j + 1] + high + slack;
    }
}

static bool take_arrays(struct plan_table *t)
{
    size_t n = t->problem->n;

    t->bins = bt_alloc(n + 1, sizeof *t->bins);
    t->base = bt_alloc(n + 1, sizeof *t->base);
    t->low = bt_alloc(n + 1, sizeof *t->low);
    t->high = bt_alloc(n + 1, sizeof *t->high);
    t->shift = bt_alloc(n, PLAN_OPTIONS * sizeof *t->shift);
    t->least_at = bt_alloc(n + 1, PLAN_STATES * sizeof *t->least_at);
    t->block_at = bt_alloc(n + 1, PLAN_STATES * sizeof *t->block_at);
    return t->bins && t->base && t->low && t->high && t->shift && t->least_at &&
           t->block_at;
}

static size_t blocks(size_t bins)
{
    return (bins + PLAN_BLOCK - 1) / PLAN_BLOCK;
}

static bool take_sums(struct plan_table *t)
{
    size_t least = 0, block = 0;

    for (size_t j = 0; j <= t->problem->n; j++)
        for (size_t s = 0; s < PLAN_STATES; s++) {
            t->least_at[j * PLAN_STATES + s] = least;
            t->block_at[j * PLAN_STATES + s] = block;
            least += blocks(t->bins[j]) * PLAN_BLOCK;
            block += blocks(t->bins[j]);
        }
    t->least = bt_alloc(least, sizeof *t->least);
    t->block = bt_alloc(block, sizeof *t->block);
    return t->least && t->block;
}

enum bt_status plan_table_make(const struct plan_problem *problem, size_t bins,
                               struct plan_table *table, struct bt_error *err)
{
    memset(table, 0, sizeof *table);
    table->problem = problem;
    /* A panel departs 2 n - 1 times at most, with all of its 2 n edges against. */
    table->counts =
        (2 * problem->n - 1) * problem->departure + 2 * problem->n < (size_t)PLAN_NEVER;
    if (take_arrays(table)) {
        table->unit = choose_unit(problem, bins);
        place_boards(table);
        if (take_sums(table))
            return BT_OK;
    }
    plan_table_clear(table);
    return bt_error_set(err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
}

void plan_table_clear(struct plan_table *table)
{
    bt_free(table->bins);
    bt_free(table->base);
    bt_free(table->low);
    bt_free(table->high);
    bt_free(table->shift);
    bt_free(table->least_at);
    bt_free(table->block_at);
    bt_free(table->least);
    bt_free(table->block);
    memset(table, 0, sizeof *table);
}

/* ---- sums ---- */

static uint16_t *sums(const struct plan_table *t, size_t j, unsigned state)
{
    return t->least + t->least_at[j * PLAN_STATES + state];
}

/* to[k] becomes the least of it and from[k] + more; never stays never. */
static void merge(size_t bins, const uint16_t *restrict from, unsigned more,
                  uint16_t *restrict to)
{
    const uint16_t add = (uint16_t)more;

    for (size_t k = 0; k < bins; k++) {
        uint16_t v = (uint16_t)(from[k] + add);

        v = v < from[k] ? PLAN_NEVER : v;
        to[k] = v < to[k] ? v : to[k];
    }
}

static void fill_blocks(struct plan_table *t, size_t j, unsigned state)
{
    const uint16_t *from = sums(t, j, state);
    uint16_t *to = t->block + t->block_at[j * PLAN_STATES + state];

    for (size_t b = 0; b < blocks(t->bins[j]); b++) {
        uint16_t least = PLAN_NEVER;

        for (size_t k = 0; k < PLAN_BLOCK; k++)
            least = from[b * PLAN_BLOCK + k] < least ? from[b * PLAN_BLOCK + k] : least;
        to[b] = least;
    }
}

static void fill_state(struct plan_table *t, size_t j, unsigned state)
{
    const struct plan_problem *p = t->problem;
    uint16_t *to = sums(t, j, state);

    memset(to, 0xff, blocks(t->bins[j]) * PLAN_BLOCK * sizeof *to);
    for (size_t k = 0; k < p->board[j].count; k++) {
        const struct plan_option *o = &p->board[j].option[k];
        unsigned more = o->cost;

        if (j > 0) {
            int64_t kink = p->joint[j].kink[state][o->back];

            if (kink < 0 || kink > t->most_kink)
                continue;
            more += plan_same_run(state, o->back) * p->departure;
        }
        merge(t->bins[j + 1], sums(t, j + 1, o->front), t->counts ? more : 0,
              to + t->shift[j * PLAN_OPTIONS + k]);
    }
    fill_blocks(t, j, state);
}

void plan_table_fill(struct plan_table *table, int64_t most_kink)
{
    size_t n = table->problem->n;

    table->most_kink = most_kink;
    for (unsigned s = 0; s < PLAN_STATES; s++) {
        memset(sums(table, n, s), 0xff, PLAN_BLOCK * sizeof(uint16_t));
        sums(table, n, s)[0] = 0;
        fill_blocks(table, n, s);
    }
    for (size_t j = n; j-- > 1;)
        for (unsigned s = 0; s < PLAN_STATES; s++)
            fill_state(table, j, s);
    fill_state(table, 0, 0);
}

/* ---- questions ---- */

static unsigned least_of(const uint16_t v[], size_t from, size_t to, unsigned least)
{
    for (size_t k = from; k < to; k++)
        least = v[k] < least ? v[k] : least;
    return least;
}

/* Least of bins from to last; looks no further once it is at most wanted. */
static unsigned least_between(const struct plan_table *t, size_t at, size_t from,
                              size_t last, unsigned wanted)
{
    const uint16_t *v = t->least + t->least_at[at];
    const uint16_t *block = t->block + t->block_at[at];
    size_t first = from / PLAN_BLOCK + 1, end = last / PLAN_BLOCK;
    unsigned least;

    if (first >= end)
        return least_of(v, from, last + 1, PLAN_NEVER);
    least = least_of(v, from, first * PLAN_BLOCK, PLAN_NEVER);
    for (size_t b = first; b < end && least > wanted; b++)
        least = block[b] < least ? block[b] : least;
    if (least > wanted)
        least = least_of(v, end * PLAN_BLOCK, last + 1, least);
    return least;
}

/* The same for sums from low to high behind `sum`. */
static unsigned least_in(const struct plan_table *t, size_t j, unsigned state,
                         int64_t sum, int64_t low, int64_t high, unsigned wanted)
{
    double from = ceil(((double)(low - sum - t->base[j]) - t->high[j]) / t->unit);
    double to = floor(((double)(high - sum - t->base[j]) - t->low[j]) / t->unit);

    from = fmax(from, 0);
    to = fmin(to, (double)(t->bins[j] - 1));
    if (!(from <= to))
        return PLAN_NEVER;
    return least_between(t, j * PLAN_STATES + state, (size_t)from, (size_t)to, wanted);
}

unsigned plan_table_least(const struct plan_table *table, size_t j, unsigned state,
                          int64_t sum, const struct plan_band *band, unsigned wanted)
{
    int64_t far = (band->to + 1) * PLAN_STEP - PLAN_NEAR - 1;
    int64_t near = band->from * PLAN_STEP - PLAN_NEAR;
    unsigned least;

    if (band->from == 0)
        return least_in(table, j, state, sum, -far, far, wanted);
    least = least_in(table, j, state, sum, near, far, wanted);
    if (least > wanted) {
        unsigned below = least_in(table, j, state, sum, -far, -near, wanted);

        least = below < least ? below : least;
    }
    return least;
}
