/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fit/layout_trial.h"

#include <math.h>
#include <string.h>

#define EPS 1e-6

/* ---- the rules, looked at in a layout as it lies ---- */

static double inside(const struct bt_layout_request *r, size_t board)
{
    return r->board[board].width - 2 * r->jointing;
}

static bool rings_keep(const struct bt_layout_request *r, size_t n,
                       const size_t board[], const bool turned[])
{
    int before = -1;

    for (size_t k = 0; k < n; k++) {
        const struct bt_layout_board *b = &r->board[board[k]];
        int up;

        if (turned[k] && !b->may_turn)
            return false;
        if (b->rings == BT_RINGS_UNKNOWN) {
            before = before < 0                       ? -1
                     : r->rings == BT_RINGS_ALTERNATE ? 1 - before
                                                      : before;
            continue;
        }
        up = (b->rings == BT_RINGS_BARK_UP) != turned[k];
        if (before >= 0 && r->rings == BT_RINGS_ALTERNATE && up == before)
            return false;
        if (before >= 0 && r->rings == BT_RINGS_MATCH && up != before)
            return false;
        before = up;
    }
    return true;
}

static bool strip_keeps(const struct bt_layout_request *r, double from, double to)
{
    const double c = isnan(r->centre_at) ? r->width / 2 : r->centre_at;
    const double wide = to - from;

    if (r->centre == BT_CENTRE_BOARD && from <= c + EPS && to >= c - EPS)
        return c - from >= wide / 4 - EPS && to - c >= wide / 4 - EPS;
    if (r->centre == BT_CENTRE_JOINT && from < c && to > c)
        return (from > 0 && c - from <= BT_CENTRE_JOINT_MM + EPS) ||
               (to < r->width && to - c <= BT_CENTRE_JOINT_MM + EPS);
    return true;
}

bool layout_keeps(const struct bt_layout_request *r, size_t n, const size_t board[],
                  const bool turned[], double first)
{
    double blank = 2 * r->jointing, from = 0, to = n == 1 ? r->width : first, back;
    const double sure = 1.6448536269514722 * r->width_u * sqrt((double)n);

    for (size_t k = 0; k < n; k++) {
        if (r->board[board[k]].length < r->length)
            return false;
        blank += inside(r, board[k]);
    }
    back = inside(r, board[0]) + r->jointing - first;
    if (n == 1)
        back = (blank - r->width) / 2;
    if (blank - r->width < fmax(r->spare, sure) - EPS || back < -EPS ||
        blank - r->width - back < -EPS)
        return false;
    if (n > 1 && r->trim == BT_TRIM_BACK && blank - r->width - back > EPS)
        return false;
    if (n > 1 && r->trim == BT_TRIM_FRONT && back > EPS)
        return false;
    for (size_t k = 0; k < n; k++) {
        double narrow = to - from;

        if (k == 0 && r->narrowest > 0)
            narrow -= r->back_taper;
        if (k == n - 1 && r->narrowest > 0)
            narrow -= r->front_taper;
        if (!(narrow > 0) || narrow < r->narrowest - EPS || !strip_keeps(r, from, to))
            return false;
        for (size_t i = 0; i < r->nclear && k + 1 < n; i++)
            if (fabs(to - r->clear[i].y) < r->clear[i].within - EPS)
                return false;
        from = to;
        to = k + 2 < n ? from + inside(r, board[k + 1]) : r->width;
    }
    return rings_keep(r, n, board, turned);
}

/* ---- all first strips that can be the one nearest to equal ---- */

struct trying {
    const struct bt_layout_request *r;
    struct trial best;
    size_t n, board[8];
    bool turned[8];
};

static void look(struct trying *t, double first)
{
    const struct bt_layout_request *r = t->r;
    double last = r->width - first, wood = 0, off;
    size_t turned = 0;

    if (!layout_keeps(r, t->n, t->board, t->turned, first))
        return;
    for (size_t k = 0; k < t->n; k++) {
        const struct bt_layout_board *b = &r->board[t->board[k]];

        wood += b->width * (isnan(b->length) ? r->length : b->length);
        turned += t->turned[k];
        if (k > 0 && k + 1 < t->n)
            last -= inside(r, t->board[k]);
    }
    off = t->n == 1 ? 0 : fabs(first - r->back_mean - (last - r->front_mean));
    if (r->trim == BT_TRIM_EQUAL && off > EPS)
        return;
    if (t->best.found && (wood > t->best.wood + EPS ||
                          (wood > t->best.wood - EPS &&
                           (off > t->best.off + EPS ||
                            (off > t->best.off - EPS && turned >= t->best.turned)))))
        return;
    t->best.found = true;
    t->best.wood = wood;
    t->best.off = off;
    t->best.turned = turned;
}

static void look_at_order(struct trying *t)
{
    const struct bt_layout_request *r = t->r;
    const double c = isnan(r->centre_at) ? r->width / 2 : r->centre_at;
    double sum = 0, rest = r->width;

    t->best.tried++;
    if (t->n == 1) {
        look(t, r->width);
        return;
    }
    for (size_t k = 1; k + 1 < t->n; k++)
        rest -= inside(r, t->board[k]);
    look(t, (rest + r->back_mean - r->front_mean) / 2);
    look(t, inside(r, t->board[0]) + r->jointing);
    look(t, rest - inside(r, t->board[t->n - 1]) - r->jointing);
    look(t, r->narrowest + r->back_taper);
    look(t, rest - r->narrowest - r->front_taper);
    for (size_t k = 0; k + 1 < t->n; k++) {
        const double e = inside(r, t->board[k + 1]);

        for (size_t i = 0; i < r->nclear; i++)
            for (int side = -1; side <= 1; side += 2)
                look(t, r->clear[i].y + side * r->clear[i].within - sum);
        look(t, c - e / 4 - sum);
        look(t, c - 3 * e / 4 - sum);
        for (int side = -1; side <= 1; side++)
            look(t, c + side * BT_CENTRE_JOINT_MM - sum);
        sum += e;
    }
    look(t, 4 * c / 3);
    look(t, rest - 4 * (r->width - c) / 3);
}

static void each_turn(struct trying *t, size_t k)
{
    if (k == t->n || k >= 8) {
        look_at_order(t);
        return;
    }
    t->turned[k] = false;
    each_turn(t, k + 1);
    if (!t->r->board[t->board[k]].may_turn || t->r->rings == BT_RINGS_ANY)
        return;
    t->turned[k] = true;
    each_turn(t, k + 1);
    t->turned[k] = false;
}

static bool is_used(const struct trying *t, size_t board)
{
    for (size_t k = 0; k < t->n; k++)
        if (t->board[k] == board)
            return true;
    return false;
}

static void each_order(struct trying *t)
{
    if (t->n)
        each_turn(t, 0);
    for (size_t i = 0; i < t->r->nboard; i++) {
        if (t->n >= 8 || is_used(t, i) ||
            (t->r->order == BT_ORDER_LISTED && t->n && i != t->board[t->n - 1] + 1))
            continue;
        t->board[t->n++] = i;
        each_order(t);
        t->n--;
    }
}

struct trial layout_trial(const struct bt_layout_request *request)
{
    struct trying t;

    memset(&t, 0, sizeof t);
    t.r = request;
    each_order(&t);
    return t.best;
}

/* ---- by lot ---- */

static unsigned draw(unsigned *state, unsigned below)
{
    *state = *state * 1664525u + 1013904223u;
    return (*state >> 8) % below;
}

struct bt_layout_request layout_draw(unsigned number, size_t nboard,
                                     struct bt_layout_board board[],
                                     struct bt_layout_clear clear[])
{
    unsigned s = number * 2654435761u + 17;
    struct bt_layout_request r = {.nboard = nboard, .board = board, .length = 900};
    double sum = 0;

    for (size_t i = 0; i < nboard; i++) {
        board[i].width = 60 + draw(&s, 90) + (draw(&s, 4) == 0 ? 0.5 : 0);
        board[i].length = draw(&s, 3) ? 1000 : draw(&s, 6) ? (double)NAN : 800;
        board[i].rings = (enum bt_rings)draw(&s, draw(&s, 4) ? 2 : 3);
        board[i].may_turn = draw(&s, 3) == 0;
        sum += board[i].width;
    }
    r.width = floor(sum * (0.3 + 0.65 * draw(&s, 1000) / 1000));
    r.order = draw(&s, 5) ? BT_ORDER_FREE : BT_ORDER_LISTED;
    r.trim = draw(&s, 2) ? BT_TRIM_ANY : (enum bt_layout_trim)draw(&s, 4);
    r.narrowest = draw(&s, 2) ? 0 : 20 + draw(&s, 60);
    r.centre = (enum bt_layout_centre)draw(&s, 3);
    r.centre_at = draw(&s, 4) ? (double)NAN : r.width * 0.4;
    r.rings = (enum bt_layout_ring_rule)draw(&s, 3);
    r.jointing = draw(&s, 2) ? 0 : 1.5;
    r.spare = draw(&s, 2) ? 0 : 5;
    r.width_u = draw(&s, 3) ? 0 : 0.6;
    if (draw(&s, 3) == 0) {
        r.back_taper = 6;
        r.back_mean = 3;
        r.front_taper = 14;
        r.front_mean = 7;
    }
    r.nclear = draw(&s, 4);
    r.clear = clear;
    for (size_t i = 0; i < r.nclear; i++)
        clear[i] =
            (struct bt_layout_clear){r.width * draw(&s, 100) / 100, 5 + draw(&s, 40)};
    return r;
}
