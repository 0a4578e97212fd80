/* SPDX-License-Identifier: GPL-3.0-or-later */
/* More boards than can be proven: of the sets of each size only some are followed. */
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "fit/layout_private.h"

enum { KEPT = 1500, SPANS_KEPT = 4 };

/* Inner boards in the order laid. */
struct node {
    uint64_t set;
    whole sum, area;
    size_t up;     /* node of the layer before */
    uint8_t board; /* the last one */
    uint8_t turned;
    uint8_t nspan;
    struct span span[SPANS_KEPT];
};

struct beam {
    struct layout_task *task;
    struct layout_best *best;
    int start;
    size_t layer[BT_LAYOUT_BOARDS + 2]; /* where each begins in node[] */
    size_t nnode, room;
    struct node *node;
    size_t nnext, next_room;
    struct node *next; /* what may become the next layer */
};

/* A number that looks drawn by lot, the same for the same set: which sets are kept must
 * not depend on anything else.  Steps of the splitmix64 generator (Steele, Lea and
 * Flood, 2014); constants from memory. */
static uint64_t lot(uint64_t set)
{
    set += 0x9e3779b97f4a7c15u;
    set = (set ^ set >> 30) * 0xbf58476d1ce4e5b9u;
    set = (set ^ set >> 27) * 0x94d049bb133111ebu;
    return set ^ set >> 31;
}

/* By lot, then the set with the most freedom. */
static bool before(const struct node *a, const struct node *b)
{
    const uint64_t la = lot(a->set), lb = lot(b->set);

    if (la != lb)
        return la < lb;
    if (a->turned != b->turned)
        return a->turned < b->turned;
    return a->nspan > b->nspan;
}

static void sift(struct node *item, size_t i, size_t n)
{
    const struct node moved = item[i];

    while (2 * i + 1 < n) {
        size_t child = 2 * i + 1;

        if (child + 1 < n && before(&item[child], &item[child + 1]))
            child++;
        if (!before(&moved, &item[child]))
            break;
        item[i] = item[child];
        i = child;
    }
    item[i] = moved;
}

static void sort(struct node *item, size_t n)
{
    for (size_t i = n / 2; i-- > 0;)
        sift(item, i, n);
    for (size_t k = n; k-- > 1;) {
        const struct node top = item[0];

        item[0] = item[k];
        item[k] = top;
        sift(item, 0, k);
    }
}

/* Take over what is left of the first strips; false where nothing is. */
static bool set_spans(struct node *node, const struct spans *s)
{
    node->nspan = (uint8_t)(s->n < SPANS_KEPT ? s->n : SPANS_KEPT);
    memcpy(node->span, s->item, node->nspan * sizeof *node->span);
    return s->n > 0;
}

static enum bt_status add_next(struct beam *m, size_t up, size_t i, size_t place)
{
    const struct node *from = &m->node[up];
    const struct layout_board *b = &m->task->board[i];
    const int turn = layout_turn(m->task, i, place, m->start);
    struct node child = {.set = from->set | 1ull << i,
                         .sum = from->sum + b->width,
                         .area = from->area + b->area,
                         .up = up,
                         .board = (uint8_t)i};
    struct node *grown;
    struct spans s = {.n = from->nspan};

    if (!b->inner || turn < 0 ||
        child.sum > m->task->width - m->task->least_first - m->task->least_last ||
        (m->best->found &&
         child.area + m->task->least_area[0] + m->task->least_area[1] > m->best->area))
        return BT_OK;
    child.turned = (uint8_t)(from->turned + turn);
    memcpy(s.item, from->span, from->nspan * sizeof *s.item);
    layout_centre(m->task, &s, from->sum, b->width);
    layout_joint(m->task, &s, child.sum);
    if (!set_spans(&child, &s))
        return BT_OK;
    grown = bt_grow(m->next, &m->next_room, m->nnext + 1, sizeof *grown);
    if (!grown)
        return BT_ENOMEM;
    m->next = grown;
    grown[m->nnext++] = child;
    return BT_OK;
}

/* ---- closing ---- */

static void write_order(struct beam *m, size_t at, size_t inner, size_t a, size_t b)
{
    struct layout_best *best = m->best;

    best->n = inner + 2;
    best->board[0] = a;
    best->board[best->n - 1] = b;
    for (size_t k = inner; k > 0; k--) {
        best->board[k] = m->node[at].board;
        at = m->node[at].up;
    }
    for (size_t k = 0; k < best->n; k++)
        best->turn[k] = layout_turn(m->task, best->board[k], k, m->start) == 1;
}

static void close_node(struct beam *m, size_t at, size_t inner, size_t a, size_t b)
{
    const struct node *node = &m->node[at];
    const int turn_a = layout_turn(m->task, a, 0, m->start);
    const int turn_b = layout_turn(m->task, b, inner + 1, m->start);
    const whole area = node->area + m->task->board[a].area + m->task->board[b].area;
    const size_t turned = node->turned + (size_t)(turn_a + turn_b);
    whole first, off;

    if (turn_a < 0 || turn_b < 0 || (m->best->found && area > m->best->area) ||
        !layout_close(m->task, a, b, inner, node->sum, node->nspan, node->span, &first,
                      &off) ||
        !layout_better(m->best, area, off, turned) ||
        layout_avoided(m->task, node->set | 1ull << a | 1ull << b))
        return;
    *m->best = (struct layout_best){
        .found = true, .area = area, .off = off, .turned = turned, .first = first};
    write_order(m, at, inner, a, b);
}

static void close_layer(struct beam *m, size_t inner)
{
    for (size_t at = m->layer[inner]; at < m->nnode; at++) {
        const uint64_t set = m->node[at].set;

        m->task->steps++;
        for (size_t a = 0; a < m->task->n; a++)
            for (size_t b = 0; b < m->task->n && !(set >> a & 1); b++)
                if (a != b && !(set >> b & 1))
                    close_node(m, at, inner, a, b);
    }
}

/* ---- layers ---- */

static enum bt_status keep_node(struct beam *m, const struct node *node)
{
    struct node *grown = bt_grow(m->node, &m->room, m->nnode + 1, sizeof *grown);

    if (!grown)
        return BT_ENOMEM;
    m->node = grown;
    grown[m->nnode++] = *node;
    return BT_OK;
}

static enum bt_status next_layer(struct beam *m, size_t inner)
{
    const size_t from = m->layer[inner], to = m->nnode;

    m->nnext = 0;
    for (size_t up = from; up < to; up++)
        for (size_t i = 0; i < m->task->n; i++)
            if (!(m->node[up].set >> i & 1) && add_next(m, up, i, inner + 1) != BT_OK)
                return BT_ENOMEM;
    if (m->nnext)
        sort(m->next, m->nnext);
    m->layer[inner + 1] = to;
    for (size_t k = 0; k < m->nnext && m->nnode - to < KEPT; k++)
        if ((k == 0 || m->next[k].set != m->next[k - 1].set) &&
            keep_node(m, &m->next[k]) != BT_OK)
            return BT_ENOMEM;
    return BT_OK;
}

static enum bt_status search(struct beam *m)
{
    struct node root = {0};
    struct spans s;

    layout_first(m->task, &s);
    m->nnode = 0;
    m->layer[0] = 0;
    if (!set_spans(&root, &s))
        return BT_OK;
    if (keep_node(m, &root) != BT_OK)
        return BT_ENOMEM;
    for (size_t inner = 0; inner + 2 <= m->task->n; inner++) {
        close_layer(m, inner);
        if (next_layer(m, inner) != BT_OK)
            return BT_ENOMEM;
        if (m->layer[inner + 1] == m->nnode)
            break;
    }
    return BT_OK;
}

enum bt_status layout_beam(struct layout_task *task, struct layout_best *best)
{
    struct beam m = {.task = task, .best = best};
    enum bt_status status = BT_OK;

    task->cut = true;
    layout_single(task, best);
    for (m.start = 0; m.start < layout_starts(task) && status == BT_OK; m.start++)
        status = search(&m);
    bt_free(m.node);
    bt_free(m.next);
    best->turns_cut = true;
    return status;
}
