/* SPDX-License-Identifier: GPL-3.0-or-later */
/* All sets of inner boards, each with the first strips with which it can be laid. */
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "fit/layout_private.h"

/* Boards that no set holds twice: two are outer ones. */
enum { INNER_MOST = BT_LAYOUT_EXACT - 2 };

/* States of orders that are looked at among layouts as good; some tenths of a second.
 */
enum { ORDER_STEPS = 1 << 23 };

struct exact {
    struct layout_task *task;
    struct layout_best *best;
    int start;
    struct spans any; /* first strips of the empty set */
    /* Boards that may stand at an even and at an odd place; those that may be inner
     * ones. */
    uint64_t fits[2], inner;
    whole two_widest;   /* the outer strips, whole, at most */
    bool turns;         /* look for fewest boards turned among the best */
    size_t order_steps; /* left for that */
    whole *sum, *area;  /* [2^n] */
    uint32_t *from;     /* [2^n] where its first strips stand in span[] */
    uint8_t *count;     /* [2^n] how many there are; 0: it cannot be laid */
    size_t nspan, room;
    struct span *span;
    /* of the order of one set */
    whole *part; /* [2^INNER_MOST] */
    uint8_t *cost, *last;
};

/* ---- the order of one set ---- */

enum { NO_WAY = 255 };

struct inner {
    size_t n;
    size_t board[INNER_MOST];
};

static void reach(struct exact *e, const struct inner *in, size_t set, size_t place,
                  whole first)
{
    const struct layout_task *task = e->task;

    e->cost[set] = NO_WAY;
    for (size_t i = 0; i < in->n; i++) {
        const size_t before = set & ~((size_t)1 << i), board = in->board[i];
        int turn;

        if (before == set || e->cost[before] == NO_WAY)
            continue;
        turn = layout_turn(task, board, place, e->start);
        if (turn < 0 || e->cost[before] + turn >= e->cost[set] ||
            !layout_centre_clear(task, first + e->part[before],
                                 task->board[board].width))
            continue;
        e->cost[set] = (uint8_t)(e->cost[before] + turn);
        e->last[set] = (uint8_t)i;
    }
}

/* Pairs, fours and eights of bits are summed side by side. */
static size_t bits(uint64_t set)
{
    uint32_t n = (uint32_t)set;

    n -= n >> 1 & 0x55555555u;
    n = (n & 0x33333333u) + (n >> 2 & 0x33333333u);
    n = (n + (n >> 4)) & 0x0f0f0f0fu;
    return n * 0x01010101u >> 24;
}

/* Of a set of at most 32 boards that is not empty: a de Bruijn sequence shifted by that
 * many places has five leading bits that no other shift has. */
static size_t lowest(uint64_t set)
{
    static const uint8_t place[32] = {0,  1,  28, 2,  29, 14, 24, 3,  30, 22, 20,
                                      15, 25, 17, 4,  8,  31, 27, 13, 23, 21, 19,
                                      16, 7,  26, 12, 18, 6,  11, 5,  10, 9};
    const uint32_t bit = (uint32_t)(set & (~set + 1));

    return place[bit * 0x077cb531u >> 27];
}

/* Fewest turned, NO_WAY where the set cannot follow that first strip. */
static size_t order_set(struct exact *e, const struct inner *in, whole first)
{
    const size_t all = (size_t)1 << in->n;

    e->part[0] = 0;
    e->cost[0] = 0;
    for (size_t set = 1; set < all; set++) {
        const size_t rest = set & (set - 1);

        e->part[set] =
            e->part[rest] + e->task->board[in->board[lowest(set & ~rest)]].width;
        e->cost[set] = NO_WAY;
        if (layout_joint_clear(e->task, first + e->part[set]))
            reach(e, in, set, bits(set), first);
    }
    e->task->steps += all;
    e->order_steps = e->order_steps > all ? e->order_steps - all : 0;
    return e->cost[all - 1];
}

static void write_order(struct exact *e, const struct inner *in, size_t a, size_t b)
{
    struct layout_best *best = e->best;
    size_t set = ((size_t)1 << in->n) - 1;

    best->n = in->n + 2;
    best->board[0] = a;
    best->board[best->n - 1] = b;
    for (size_t k = in->n; k > 0; k--) {
        best->board[k] = in->board[e->last[set]];
        set &= ~((size_t)1 << e->last[set]);
    }
    for (size_t k = 0; k < best->n; k++)
        best->turn[k] = layout_turn(e->task, best->board[k], k, e->start) == 1;
}

/* Lay the order of a layout that is the best but perhaps for the boards turned. */
static void take_order(struct exact *e, uint64_t set, size_t a, size_t b, whole first)
{
    struct inner in = {0};
    size_t cost;

    for (size_t i = 0; i < e->task->n; i++)
        if (set >> i & 1)
            in.board[in.n++] = i;
    cost = order_set(e, &in, first);
    if (cost == NO_WAY)
        return;
    cost += (size_t)(layout_turn(e->task, a, 0, e->start) +
                     layout_turn(e->task, b, in.n + 1, e->start));
    if (e->best->n && cost >= e->best->turned)
        return;
    e->best->turned = cost;
    e->best->first = first;
    write_order(e, &in, a, b);
}

/* ---- closing a set ---- */

static void take(struct exact *e, uint64_t set, size_t a, size_t b, whole area,
                 whole first, whole off)
{
    struct layout_best *best = e->best;

    if (layout_avoided(e->task, set | 1ull << a | 1ull << b))
        return;
    if (e->turns) {
        if (area == best->area && off == best->off && e->order_steps)
            take_order(e, set, a, b, first);
        return;
    }
    if (!layout_better(best, area, off, SIZE_MAX))
        return;
    *best = (struct layout_best){
        .found = true, .area = area, .off = off, .turned = SIZE_MAX};
}

static void close_set(struct exact *e, uint64_t set, size_t inner)
{
    const struct layout_task *task = e->task;
    const struct span *s = e->span + e->from[set];
    const whole rest = task->width - e->sum[set];

    if (e->two_widest < rest)
        return;
    for (uint64_t as = e->fits[0] & ~set; as; as &= as - 1) {
        const size_t a = lowest(as);

        for (uint64_t bs = e->fits[(inner + 1) & 1] & ~set; bs; bs &= bs - 1) {
            const size_t b = lowest(bs);
            const whole area = e->area[set] + task->board[a].area + task->board[b].area;
            whole first, off;

            if (a == b || (e->best->found && area > e->best->area) ||
                task->board[a].width + task->board[b].width + 2 * task->jointing < rest)
                continue;
            if (layout_close(e->task, a, b, inner, e->sum[set], e->count[set], s,
                             &first, &off))
                take(e, set, a, b, area, first, off);
        }
    }
}

/* ---- all sets ---- */

static bool same(const struct spans *a, const struct spans *b)
{
    if (a->n != b->n)
        return false;
    for (size_t i = 0; i < a->n; i++)
        if (a->item[i].lo != b->item[i].lo || a->item[i].hi != b->item[i].hi)
            return false;
    return true;
}

/* What board i, put behind the others of the set, adds to the first strips. */
static void add_last(struct exact *e, uint64_t before, size_t i,
                     const struct spans *room, struct spans *out)
{
    struct spans s;

    s.n = 0;
    for (size_t k = 0; k < e->count[before]; k++) {
        const struct span at = e->span[e->from[before] + k];

        for (size_t r = 0; r < room->n && s.n < SPANS_MAX; r++) {
            const whole lo = at.lo > room->item[r].lo ? at.lo : room->item[r].lo;
            const whole hi = at.hi < room->item[r].hi ? at.hi : room->item[r].hi;

            if (lo <= hi)
                s.item[s.n++] = (struct span){lo, hi};
        }
    }
    if (s.n == SPANS_MAX)
        e->task->cut = true;
    if (s.n)
        layout_centre(e->task, &s, e->sum[before], e->task->board[i].width);
    spans_join(out, s.n, s.item, &e->task->cut);
}

/* Not the whole list, which is long. */
static void copy(const struct spans *from, struct spans *to)
{
    to->n = from->n;
    memcpy(to->item, from->item, from->n * sizeof *to->item);
}

static void find_firsts(struct exact *e, uint64_t set, size_t inner, struct spans *out)
{
    struct spans room;

    copy(&e->any, set ? &room : out);
    if (set == 0)
        return;
    out->n = 0;
    spans_keep(&room, e->task->least_first,
               e->task->width - e->sum[set] - e->task->least_last);
    layout_joint(e->task, &room, e->sum[set]);
    if (!room.n)
        return;
    for (uint64_t left = set & e->inner & e->fits[inner & 1]; left; left &= left - 1) {
        const size_t i = lowest(left);
        const uint64_t before = set & ~(1ull << i);

        if (!e->count[before])
            continue;
        add_last(e, before, i, &room, out);
        if (same(out, &room))
            return;
    }
}

static enum bt_status keep_firsts(struct exact *e, uint64_t set, const struct spans *s)
{
    struct span *grown = bt_grow(e->span, &e->room, e->nspan + s->n + 1, sizeof *grown);

    if (!grown)
        return BT_ENOMEM;
    e->span = grown;
    memcpy(grown + e->nspan, s->item, s->n * sizeof *grown);
    e->from[set] = (uint32_t)e->nspan;
    e->count[set] = (uint8_t)s->n;
    e->nspan += s->n;
    return BT_OK;
}

/* Whether a set can be part of a layout as good as the best. */
static bool worth_it(const struct exact *e, uint64_t set)
{
    const struct layout_task *task = e->task;
    const struct layout_best *best = e->best;

    if (e->sum[set] > task->width - task->least_first - task->least_last)
        return false;
    return !best->found ||
           e->area[set] + task->least_area[0] + task->least_area[1] <= best->area;
}

static enum bt_status look_at(struct exact *e, uint64_t set)
{
    const uint64_t rest = set & (set - 1);
    const size_t inner = bits(set);
    struct spans s;

    e->count[set] = 0;
    if (set) {
        const struct layout_board *b = &e->task->board[lowest(set)];

        e->sum[set] = e->sum[rest] + b->width;
        e->area[set] = e->area[rest] + b->area;
    }
    if (inner + 2 > e->task->n || !worth_it(e, set))
        return BT_OK;
    e->task->steps++;
    find_firsts(e, set, inner, &s);
    if (!s.n)
        return BT_OK;
    if (keep_firsts(e, set, &s) != BT_OK)
        return BT_ENOMEM;
    close_set(e, set, inner);
    return BT_OK;
}

static void find_masks(struct exact *e)
{
    whole widest = 0, second = 0;

    e->fits[0] = e->fits[1] = e->inner = 0;
    for (size_t i = 0; i < e->task->n; i++) {
        const struct layout_board *b = &e->task->board[i];

        for (size_t place = 0; place < 2; place++)
            if (layout_turn(e->task, i, place, e->start) >= 0)
                e->fits[place] |= 1ull << i;
        e->inner |= (uint64_t)b->inner << i;
        second = b->width > widest ? widest : b->width > second ? b->width : second;
        widest = b->width > widest ? b->width : widest;
    }
    e->two_widest = widest + second + 2 * e->task->jointing;
    layout_first(e->task, &e->any);
}

static enum bt_status search(struct exact *e)
{
    const uint64_t all = 1ull << e->task->n;

    for (e->start = 0; e->start < layout_starts(e->task); e->start++) {
        e->nspan = 0;
        find_masks(e);
        for (uint64_t set = 0; set < all; set++) {
            if (e->task->steps > e->task->limit) {
                e->task->cut = true;
                break;
            }
            if (look_at(e, set) != BT_OK)
                return BT_ENOMEM;
            if (e->turns && e->best->n && e->best->turned == 0)
                return BT_OK;
        }
    }
    return BT_OK;
}

static bool take_memory(struct exact *e)
{
    const size_t sets = (size_t)1 << e->task->n;
    const size_t inner = (size_t)1
                         << (e->task->n < INNER_MOST ? e->task->n : INNER_MOST);

    e->sum = bt_alloc(sets, sizeof *e->sum);
    e->area = bt_alloc(sets, sizeof *e->area);
    e->from = bt_alloc(sets, sizeof *e->from);
    e->count = bt_alloc(sets, sizeof *e->count);
    e->part = bt_alloc(inner, sizeof *e->part);
    e->cost = bt_alloc(inner, sizeof *e->cost);
    e->last = bt_alloc(inner, sizeof *e->last);
    return e->sum && e->area && e->from && e->count && e->part && e->cost && e->last;
}

/* The first search knows the best by wood and strips alone, whose boards and order are
 * then not known (n is 0) unless one board alone will do; a second finds those with
 * fewest boards turned. */
static enum bt_status search_twice(struct exact *e)
{
    enum bt_status status = search(e);

    if (status != BT_OK || !e->best->found || (e->best->n && !e->best->turned))
        return status;
    e->turns = true;
    e->order_steps = ORDER_STEPS;
    e->task->limit = SIZE_MAX;
    status = search(e);
    e->best->turns_cut = e->order_steps == 0 && e->best->turned > 0;
    return status;
}

enum bt_status layout_exact(struct layout_task *task, struct layout_best *best)
{
    struct exact e = {.task = task, .best = best};
    enum bt_status status = BT_ENOMEM;

    layout_single(task, best);
    if (take_memory(&e))
        status = search_twice(&e);
    bt_free(e.sum);
    bt_free(e.area);
    bt_free(e.from);
    bt_free(e.count);
    bt_free(e.span);
    bt_free(e.part);
    bt_free(e.cost);
    bt_free(e.last);
    return status;
}
