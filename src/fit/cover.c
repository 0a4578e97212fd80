/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/fit/cover.h"

#include <math.h>

#include "benchtrue/base/alloc.h"

static const double half_turn = 3.14159265358979323846;

struct bt_point bt_cover_turned(struct bt_point p, double turn)
{
    return (struct bt_point){p.x * cos(turn) - p.y * sin(turn),
                             p.x * sin(turn) + p.y * cos(turn)};
}

void bt_cover_extent(const struct bt_outline *outline, double turn,
                     struct bt_point *low, struct bt_point *high)
{
    *low = *high = (struct bt_point){0, 0};
    for (size_t i = 0; i < outline->n; i++) {
        const struct bt_point p = bt_cover_turned(outline->p[i], turn);

        if (i == 0)
            *low = *high = p;
        *low = (struct bt_point){fmin(low->x, p.x), fmin(low->y, p.y)};
        *high = (struct bt_point){fmax(high->x, p.x), fmax(high->y, p.y)};
    }
}

/* ---- convex hull ---- */

static double side(struct bt_point a, struct bt_point b, struct bt_point c)
{
    return (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
}

static bool less(struct bt_point a, struct bt_point b)
{
    return a.x < b.x || (a.x == b.x && a.y < b.y);
}

/* By insertion: outlines have some tens of points. */
static void sort(size_t n, struct bt_point p[])
{
    for (size_t i = 1; i < n; i++) {
        const struct bt_point moved = p[i];
        size_t k = i;

        for (; k > 0 && less(moved, p[k - 1]); k--)
            p[k] = p[k - 1];
        p[k] = moved;
    }
}

static void push(struct bt_point hull[], size_t *n, size_t least, struct bt_point p)
{
    while (*n >= least && side(hull[*n - 2], hull[*n - 1], p) <= 0)
        (*n)--;
    hull[(*n)++] = p;
}

/* Monotone chain (Andrew, 1979): sorted[n] into hull[2 n]; returns how many. */
static size_t find_hull(size_t n, const struct bt_point sorted[],
                        struct bt_point hull[])
{
    size_t count = 0, lower;

    for (size_t i = 0; i < n; i++)
        push(hull, &count, 2, sorted[i]);
    lower = count + 1;
    for (size_t i = n - 1; i-- > 0;)
        push(hull, &count, lower, sorted[i]);
    return count > 1 ? count - 1 : count;
}

/* ---- the search ---- */

struct search {
    const struct bt_cover_request *request;
    size_t n, nturn;
    struct bt_point *hull;
    double *turn; /* [2 n + 2] at which a hull edge lies along or across, ascending */
    double best, at;
};

static void extent(const struct search *s, double turn, size_t low[2], size_t high[2])
{
    double least[2] = {INFINITY, INFINITY}, most[2] = {-INFINITY, -INFINITY};

    for (size_t i = 0; i < s->n; i++) {
        const struct bt_point p = bt_cover_turned(s->hull[i], turn);
        const double at[2] = {p.x, p.y};

        for (int k = 0; k < 2; k++) {
            if (at[k] < least[k]) {
                least[k] = at[k];
                low[k] = i;
            }
            if (at[k] > most[k]) {
                most[k] = at[k];
                high[k] = i;
            }
        }
    }
}

/* Least margin of a turn; ends of an endless blank do not count. */
static double margin(const struct search *s, double turn)
{
    size_t low[2] = {0, 0}, high[2] = {0, 0};
    struct bt_point a, b;
    double along, across;

    extent(s, turn, low, high);
    a = bt_cover_turned(s->hull[low[0]], turn);
    b = bt_cover_turned(s->hull[high[0]], turn);
    along = (s->request->length - (b.x - a.x)) / 2;
    a = bt_cover_turned(s->hull[low[1]], turn);
    b = bt_cover_turned(s->hull[high[1]], turn);
    across = (s->request->width - (b.y - a.y)) / 2;
    return fmin(along, across);
}

/* Turns of equal margin differ by rounding alone. */
#define SAME 1e-9

static void look(struct search *s, double turn)
{
    const double found = margin(s, turn);

    if (found > s->best + SAME ||
        (found > s->best - SAME && fabs(turn) < fabs(s->at))) {
        s->best = fmax(found, s->best);
        s->at = turn;
    }
}

static void add_turns(struct search *s, double edge)
{
    const double most = s->request->turn_most;

    for (int quarter = -4; quarter <= 4; quarter++) {
        const double turn = quarter * half_turn / 2 - edge;
        size_t k;

        if (!(fabs(turn) < most) || s->nturn >= 2 * s->n + 2)
            continue;
        for (k = s->nturn++; k > 0 && s->turn[k - 1] > turn; k--)
            s->turn[k] = s->turn[k - 1];
        s->turn[k] = turn;
    }
}

/* Where the two margins are equal between two turns with the same outermost points:
 * a sin t + b cos t = c. */
static void look_between(struct search *s, double from, double to)
{
    size_t low[2] = {0, 0}, high[2] = {0, 0};
    double dx[2], dy[2], a, b, c, lead, swing;

    extent(s, (from + to) / 2, low, high);
    for (int k = 0; k < 2; k++) {
        dx[k] = s->hull[high[k]].x - s->hull[low[k]].x;
        dy[k] = s->hull[high[k]].y - s->hull[low[k]].y;
    }
    a = dx[1] + dy[0];
    b = dy[1] - dx[0];
    c = s->request->width - s->request->length;
    if (!isfinite(c) || !(fabs(c) <= hypot(a, b)))
        return;
    lead = atan2(a, b);
    swing = acos(c / hypot(a, b));
    for (int sign = -1; sign <= 1; sign += 2)
        for (int round = -1; round <= 1; round++) {
            const double turn = lead + sign * swing + round * 2 * half_turn;

            if (turn > from && turn < to)
                look(s, turn);
        }
}

static void search(struct search *s)
{
    const double most = s->request->turn_most;
    double from = -most;

    s->at = 0;
    s->best = margin(s, 0);
    if (!(most > 0))
        return;
    for (size_t i = 0; i < s->n; i++) {
        const struct bt_point a = s->hull[i], b = s->hull[(i + 1) % s->n];

        add_turns(s, atan2(b.y - a.y, b.x - a.x));
    }
    look(s, -most);
    look(s, most);
    for (size_t k = 0; k <= s->nturn; k++) {
        const double to = k < s->nturn ? s->turn[k] : most;

        look(s, to);
        look_between(s, from, to);
        from = to;
    }
}

static enum bt_status check(const struct bt_cover_request *r, struct bt_error *err)
{
    if (r->outline->n < 3)
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "an outline has three points or more");
    for (size_t i = 0; i < r->outline->n; i++)
        if (!isfinite(r->outline->p[i].x) || !isfinite(r->outline->p[i].y))
            return bt_error_set(err, BT_EINPUT, i, 0,
                                "a point of the outline is not finite");
    if (!(r->length > 0) || !(r->width > 0) || (isinf(r->length) && isinf(r->width)))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "a size of the blank is not over 0, or both are endless");
    if (!(r->turn_most >= 0) || !(r->turn_most <= BT_COVER_TURN_MOST))
        return bt_error_set(err, BT_EINPUT, 0, 0, "the turn is not 0 to 45 degrees");
    return BT_OK;
}

static void write(const struct bt_cover_request *r, double turn, struct bt_cover *out)
{
    struct bt_point low, high, a = bt_cover_turned(r->outline->p[0], turn);

    bt_cover_extent(r->outline, turn, &low, &high);
    out->turn = turn;
    out->length = high.x - low.x;
    out->width = high.y - low.y;
    out->along = (r->length - out->length) / 2;
    out->across = (r->width - out->width) / 2;
    out->at = (struct bt_point){a.x - low.x + (isinf(r->length) ? 0 : out->along),
                                a.y - low.y + (isinf(r->width) ? 0 : out->across)};
    out->fits = out->along >= 0 && out->across >= 0;
}

enum bt_status bt_cover_find(const struct bt_cover_request *request,
                             struct bt_cover *out, struct bt_error *err)
{
    const size_t n = request->outline->n;
    struct search s = {.request = request};
    struct bt_point *sorted;
    enum bt_status status = check(request, err);

    if (status != BT_OK)
        return status;
    sorted = bt_alloc(n, sizeof *sorted);
    s.hull = bt_alloc(2 * n, sizeof *s.hull);
    s.turn = bt_alloc(4 * n + 2, sizeof *s.turn);
    if (sorted && s.hull && s.turn) {
        for (size_t i = 0; i < n; i++)
            sorted[i] = request->outline->p[i];
        sort(n, sorted);
        s.n = find_hull(n, sorted, s.hull);
        search(&s);
        write(request, s.at, out);
    } else {
        status = bt_error_set(err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
    }
    bt_free(sorted);
    bt_free(s.hull);
    bt_free(s.turn);
    return status;
}
