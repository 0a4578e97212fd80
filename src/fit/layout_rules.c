/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the rules of a layout allow. */
#include "fit/layout_private.h"

#define WHOLE_MOST (INT64_MAX / 4)

static whole most(whole a, whole b)
{
    return a > b ? a : b;
}

static whole least(whole a, whole b)
{
    return a < b ? a : b;
}

int layout_starts(const struct layout_task *task)
{
    return task->request->rings == BT_RINGS_ANY ? 1 : 2;
}

int layout_turn(const struct layout_task *task, size_t board, size_t place, int start)
{
    const struct layout_board *b = &task->board[board];
    int want = start;

    if (task->request->rings == BT_RINGS_ANY || b->rings == BT_RINGS_UNKNOWN)
        return 0;
    if (task->request->rings == BT_RINGS_ALTERNATE)
        want ^= (int)(place & 1);
    if (b->rings == want)
        return 0;
    return b->may_turn ? 1 : -1;
}

/* The middle half of a strip from p begins at p + quarter and ends at p + rest. */
static whole quarter_up(whole width)
{
    return (width + 3) / 4;
}

static whole rest_down(whole width)
{
    return 3 * width / 4;
}

/* The least width of an outer strip that reaches beyond the middle, `reach` away from
 * its edge, with the middle in its middle half. */
static whole outer_board(whole reach)
{
    return (4 * reach + 2) / 3;
}

/* First strips, from `from` on, that lie on the middle as they may not: *lo .. *hi. */
static void outer_centre(const struct layout_task *task, whole reach, whole *lo,
                         whole *hi)
{
    *lo = 1;
    *hi = 0;
    if (task->request->centre == BT_CENTRE_BOARD) {
        *lo = reach;
        *hi = outer_board(reach) - 1;
    } else if (task->request->centre == BT_CENTRE_JOINT) {
        *lo = reach + task->centre_tol + 1;
        *hi = WHOLE_MOST;
    }
}

void layout_joint(struct layout_task *task, struct spans *s, whole sum)
{
    for (size_t i = 0; i < task->nclear && s->n; i++)
        if (task->clear[i].hi - sum > s->item[0].lo &&
            task->clear[i].lo - sum < s->item[s->n - 1].hi)
            spans_remove(s, task->clear[i].lo + 1 - sum, task->clear[i].hi - 1 - sum,
                         &task->cut);
}

void layout_first(struct layout_task *task, struct spans *out)
{
    whole widest = 0, lo, hi;

    for (size_t i = 0; i < task->n; i++)
        widest = most(widest, task->board[i].width + task->jointing);
    out->n = 1;
    out->item[0] = (struct span){task->least_first, widest};
    if (widest < task->least_first)
        out->n = 0;
    layout_joint(task, out, 0);
    outer_centre(task, task->centre, &lo, &hi);
    spans_remove(out, lo, hi, &task->cut);
}

/* Where a board of that width may not begin, up to two intervals. */
static size_t centre_bans(const struct layout_task *task, whole width,
                          struct span ban[2])
{
    const whole c = task->centre;

    if (task->request->centre == BT_CENTRE_BOARD) {
        ban[0] = (struct span){c - width, c - rest_down(width) - 1};
        ban[1] = (struct span){c - quarter_up(width) + 1, c};
        return 2;
    }
    if (task->request->centre == BT_CENTRE_JOINT) {
        ban[0] =
            (struct span){c - width + task->centre_tol + 1, c - task->centre_tol - 1};
        return 1;
    }
    return 0;
}

void layout_centre(struct layout_task *task, struct spans *s, whole sum, whole width)
{
    struct span ban[2];
    const size_t n = centre_bans(task, width, ban);

    for (size_t i = 0; i < n; i++)
        spans_remove(s, ban[i].lo - sum, ban[i].hi - sum, &task->cut);
}

bool layout_joint_clear(const struct layout_task *task, whole y)
{
    for (size_t i = 0; i < task->nclear; i++)
        if (y > task->clear[i].lo && y < task->clear[i].hi)
            return false;
    return true;
}

bool layout_centre_clear(const struct layout_task *task, whole p, whole width)
{
    struct span ban[2];
    const size_t n = centre_bans(task, width, ban);

    for (size_t i = 0; i < n; i++)
        if (p >= ban[i].lo && p <= ban[i].hi)
            return false;
    return true;
}

/* Take x in lo .. hi into the nearest to want, if it is one. */
static void nearer(whole lo, whole hi, whole want, bool *found, whole *out)
{
    const whole x = want < lo ? lo : want > hi ? hi : want;
    const whole away = x > want ? x - want : want - x;

    if (lo > hi)
        return;
    if (!*found || away < (*out > want ? *out - want : want - *out))
        *out = x;
    *found = true;
}

bool layout_close(struct layout_task *task, size_t a, size_t b, size_t inner, whole sum,
                  size_t nspan, const struct span s[], whole *first, whole *off)
{
    const whole full_a = task->board[a].width + task->jointing;
    const whole full_b = task->board[b].width + task->jointing;
    const whole rest = task->width - sum;
    const whole equal = (rest + task->mean_first - task->mean_last) / 2;
    whole lo = most(task->least_first, rest - full_b);
    whole hi = least(full_a, rest - task->least_last);
    whole ban_lo, ban_hi, away;
    bool found = false;

    if (full_a + full_b - rest < task->spare[inner + 2])
        return false;
    switch (task->request->trim) {
    case BT_TRIM_ANY:
        break;
    case BT_TRIM_EQUAL:
        lo = most(lo, equal);
        hi = least(hi, equal);
        break;
    case BT_TRIM_BACK:
        hi = least(hi, rest - full_b);
        break;
    case BT_TRIM_FRONT:
        lo = most(lo, full_a);
        break;
    }
    if (lo > hi)
        return false;
    /* the last strip, seen from the front, turned into first ones */
    outer_centre(task, task->width - task->centre, &ban_lo, &ban_hi);
    for (size_t i = 0; i < nspan; i++) {
        const whole from = most(lo, s[i].lo), to = least(hi, s[i].hi);

        if (ban_lo > ban_hi) {
            nearer(from, to, equal, &found, first);
            continue;
        }
        nearer(from, least(to, rest - ban_hi - 1), equal, &found, first);
        nearer(most(from, rest - ban_lo + 1), to, equal, &found, first);
    }
    if (!found)
        return false;
    away = *first > equal ? *first - equal : equal - *first;
    *off = 2 * away;
    return true;
}

bool layout_better(const struct layout_best *best, whole area, whole off, size_t turned)
{
    if (!best->found)
        return true;
    if (area != best->area)
        return area < best->area;
    if (off != best->off)
        return off < best->off;
    return turned < best->turned;
}

bool layout_avoided(const struct layout_task *task, uint64_t set)
{
    unsigned long long listed = 0;

    if (!task->navoid)
        return false;
    for (size_t i = 0; i < task->n; i++)
        if (set >> i & 1)
            listed |= 1ull << task->board[i].index;
    for (size_t i = 0; i < task->navoid; i++)
        if (task->avoid[i] == listed)
            return true;
    return false;
}

static void take_single(struct layout_task *task, struct layout_best *best, size_t a)
{
    const struct layout_board *b = &task->board[a];
    int turned = layout_turn(task, a, 0, 0);

    if (layout_starts(task) == 2) {
        const int other = layout_turn(task, a, 0, 1);

        turned = turned < 0 || (other >= 0 && other < turned) ? other : turned;
    }
    if (b->width + 2 * task->jointing - task->width < task->spare[1] || turned < 0 ||
        layout_avoided(task, 1ull << a) ||
        !layout_better(best, b->area, 0, (size_t)turned))
        return;
    *best = (struct layout_best){.found = true,
                                 .area = b->area,
                                 .turned = (size_t)turned,
                                 .n = 1,
                                 .board = {a},
                                 .turn = {turned == 1},
                                 .first = task->width};
}

void layout_single(struct layout_task *task, struct layout_best *best)
{
    /* both edges of the piece lie on the one strip */
    if (task->request->centre == BT_CENTRE_JOINT ||
        task->least_first + task->least_last - task->least_strip > task->width)
        return;
    for (size_t a = 0; a < task->n; a++)
        take_single(task, best, a);
}
