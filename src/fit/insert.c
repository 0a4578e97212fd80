/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/fit/insert.h"

#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "fit/motion.h"

#define PI 3.14159265358979323846

/* Touching is no obstacle: so much smaller is the piece taken, a tenth of a millimetre
 * on a metre; nothing is scribed truer. */
#define SMALLER 1e-4

/* Turning: where it stops, how far it goes, how often directions are asked for, rad. */
#define TURN_STEP_LEAST 1e-5
#define TURN_MOST (PI / 2)
#define TURN_ASK (PI / 360)
enum { TURN_STEPS = 2000 };

/* The piece and what its motion is reckoned in. */
struct motion {
    const struct bt_outline *outline;
    const struct bt_walls *walls;
    struct bt_point *home; /* [n] a little smaller */
    struct bt_point *pose; /* [n] */
    struct bt_blocked blocked;
};

static void make_home(struct motion *m)
{
    struct bt_point middle = {0, 0};
    const size_t n = m->outline->n;

    for (size_t i = 0; i < n; i++) {
        middle.x += m->outline->p[i].x / (double)n;
        middle.y += m->outline->p[i].y / (double)n;
    }
    for (size_t i = 0; i < n; i++) {
        const struct bt_point *p = &m->outline->p[i];

        m->home[i].x = p->x - SMALLER * (p->x - middle.x);
        m->home[i].y = p->y - SMALLER * (p->y - middle.y);
    }
}

/* ---- straight ---- */

static enum bt_status take_free(const struct motion *m, struct bt_insert *out)
{
    double at = -PI;

    out->free = bt_alloc(m->blocked.n + 1, sizeof *out->free);
    if (!out->free)
        return BT_ENOMEM;
    for (size_t i = 0; i <= m->blocked.n; i++) {
        const double to = i < m->blocked.n ? m->blocked.item[i].from : PI;

        if (to > at)
            out->free[out->nfree++] = (struct bt_directions){at, to};
        if (i < m->blocked.n)
            at = m->blocked.item[i].to;
    }
    out->nearest = bt_motion_nearest(&m->blocked);
    out->straight = out->nearest == 0;
    return BT_OK;
}

/* x where a line from a to b has that y; NaN where it does not reach it. */
static double x_at(const struct bt_point *a, const struct bt_point *b, double y)
{
    if (!((a->y <= y && y <= b->y) || (b->y <= y && y <= a->y)))
        return NAN;
    return a->y == b->y ? NAN : a->x + (y - a->y) * (b->x - a->x) / (b->y - a->y);
}

/* How far the left wall (sign 1) or the right one (-1) reaches, in front of y, into the
 * way of what stands at y, times sign; -INFINITY where nothing does. */
static double reach(const struct motion *m, double y, double sign)
{
    const size_t from = sign > 0 ? 0 : m->walls->back[1];
    const size_t to = sign > 0 ? m->walls->back[0] : m->walls->n - 1;
    double most = -INFINITY;

    for (size_t k = from; k < to; k++) {
        const struct bt_point *a = &m->walls->p[k], *b = &m->walls->p[k + 1];
        const double x = x_at(a, b, y);

        if (a->y >= y)
            most = fmax(most, sign * a->x);
        if (b->y >= y)
            most = fmax(most, sign * b->x);
        if (!isnan(x))
            most = fmax(most, sign * x);
    }
    return most;
}

/* What an end has to give at y. */
static double give_at(const struct motion *m, double y, double sign)
{
    const size_t n = m->outline->n;
    double edge = INFINITY;

    for (size_t i = 0; i < n; i++) {
        const struct bt_point *a = &m->outline->p[i], *b = &m->outline->p[(i + 1) % n];
        const double x = x_at(a, b, y);

        if (!isnan(x))
            edge = fmin(edge, sign * x);
    }
    return isfinite(edge) ? reach(m, y, sign) - edge : 0;
}

/* The difference is convex between the corners of piece and walls: the most is at one
 * of them. */
static double give(const struct motion *m, double sign)
{
    double most = 0;

    for (size_t i = 0; i < m->outline->n; i++)
        most = fmax(most, give_at(m, m->outline->p[i].y, sign));
    for (size_t k = 0; k < m->walls->n; k++)
        most = fmax(most, give_at(m, m->walls->p[k].y, sign));
    return most;
}

/* ---- turning ---- */

/* Turn clockwise as seen from above, x to the right and y towards the viewer. */
static void turn_about(struct motion *m, size_t pivot, double angle)
{
    const struct bt_point c = m->home[pivot];
    const double cs = cos(angle), sn = sin(angle);

    for (size_t i = 0; i < m->outline->n; i++) {
        const double dx = m->home[i].x - c.x, dy = m->home[i].y - c.y;

        m->pose[i] =
            (struct bt_point){c.x + cs * dx - sn * dy, c.y + sn * dx + cs * dy};
    }
}

static double radius_about(const struct motion *m, size_t pivot)
{
    double most = 0;

    for (size_t i = 0; i < m->outline->n; i++)
        most = fmax(most, hypot(m->home[i].x - m->home[pivot].x,
                                m->home[i].y - m->home[pivot].y));
    return most;
}

/* The free direction nearest to straight out in the pose; NaN none. */
static double way_out(struct motion *m)
{
    const struct bt_piece_at at = {m->outline->n, m->pose};

    bt_motion_blocked(&at, m->walls, &m->blocked);
    return bt_motion_nearest(&m->blocked);
}

static bool try_turning(struct motion *m, int corner, double sign,
                        struct bt_insert *out)
{
    const size_t pivot = m->outline->corner[corner];
    const struct bt_piece_at at = {m->outline->n, m->pose};
    const double radius = radius_about(m, pivot);
    double angle = 0, asked = 0;

    for (int n = 0; n < TURN_STEPS && angle < TURN_MOST; n++) {
        double step;
        bool last;

        turn_about(m, pivot, sign * angle);
        step = bt_motion_distance(&at, m->walls) / radius;
        last = !(step > TURN_STEP_LEAST) || n == TURN_STEPS - 1;
        if (angle > 0 && (last || angle - asked >= TURN_ASK)) {
            const double then = way_out(m);

            asked = angle;
            if (!isnan(then)) {
                out->turning = BT_TURN_FOUND;
                out->pivot = corner;
                out->turn = sign * angle;
                out->then = then;
                return true;
            }
        }
        if (last)
            break;
        angle += fmin(step, TURN_ASK);
    }
    out->turned_most = fmax(out->turned_most, angle);
    return false;
}

/* The narrowest strip that holds the convex hull has one of its edges on a line through
 * two corners; trying all pairs is enough. */
static double least_width(const struct bt_outline *o)
{
    double least = INFINITY;

    for (size_t i = 0; i < o->n; i++)
        for (size_t k = i + 1; k < o->n; k++) {
            const double dx = o->p[k].x - o->p[i].x, dy = o->p[k].y - o->p[i].y;
            const double length = hypot(dx, dy);
            double low = 0, high = 0;

            if (!(length > 0))
                continue;
            for (size_t q = 0; q < o->n; q++) {
                const double off =
                    (dx * (o->p[q].y - o->p[i].y) - dy * (o->p[q].x - o->p[i].x)) /
                    length;

                low = fmin(low, off);
                high = fmax(high, off);
            }
            least = fmin(least, high - low);
        }
    return least;
}

static bool is_convex(const struct bt_outline *o)
{
    for (size_t i = 0; i < o->n; i++) {
        const struct bt_point *a = &o->p[i], *b = &o->p[(i + 1) % o->n],
                              *c = &o->p[(i + 2) % o->n];

        if ((b->x - a->x) * (c->y - b->y) - (b->y - a->y) * (c->x - b->x) < 0)
            return false;
    }
    return true;
}

static void find_turning(struct motion *m, struct bt_insert *out)
{
    if (!isnan(out->nearest)) {
        out->turning = BT_TURN_NOT_NEEDED;
        return;
    }
    out->turning = BT_TURN_NOT_FOUND;
    if (m->walls->closed || (is_convex(m->outline) && out->least_width > out->gap)) {
        out->turning = BT_TURN_IMPOSSIBLE;
        return;
    }
    for (int corner = 0; corner < 4; corner++)
        if (try_turning(m, corner, 1, out) || try_turning(m, corner, -1, out))
            return;
}

static enum bt_status find(struct motion *m, struct bt_insert *out,
                           struct bt_error *err)
{
    const struct bt_point *front = m->walls->p, *end = m->walls->p + m->walls->n - 1;
    const struct bt_piece_at at = {m->outline->n, m->home};

    make_home(m);
    if (!(bt_motion_distance(&at, m->walls) > 0))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "the piece does not fit between the walls");
    bt_motion_blocked(&at, m->walls, &m->blocked);
    if (take_free(m, out) != BT_OK)
        return bt_error_set(err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
    out->least_width = least_width(m->outline);
    if (!m->walls->closed) {
        out->gap = hypot(end->x - front->x, end->y - front->y);
        if (!out->straight) {
            out->give_left = give(m, 1);
            out->give_right = give(m, -1);
        }
    }
    find_turning(m, out);
    return BT_OK;
}

enum bt_status bt_insert_find(const struct bt_outline *outline,
                              const struct bt_walls *walls, struct bt_insert *out,
                              struct bt_error *err)
{
    const size_t pairs = outline->n * bt_walls_edges(walls);
    struct motion m = {.outline = outline, .walls = walls};
    enum bt_status status;

    memset(out, 0, sizeof *out);
    out->nearest = out->turn = out->then = out->gap = NAN;
    m.home = bt_alloc(outline->n, sizeof *m.home);
    m.pose = bt_alloc(outline->n, sizeof *m.pose);
    m.blocked.item = bt_alloc(2 * pairs, sizeof *m.blocked.item);
    if (m.home && m.pose && m.blocked.item)
        status = find(&m, out, err);
    else
        status = bt_error_set(err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
    bt_free(m.home);
    bt_free(m.pose);
    bt_free(m.blocked.item);
    return status;
}

void bt_insert_clear(struct bt_insert *insert)
{
    if (!insert)
        return;
    bt_free(insert->free);
    memset(insert, 0, sizeof *insert);
}

struct bt_tilt bt_tilt_find(double length, double thickness, double narrowest,
                            double seat)
{
    const double diagonal = hypot(length, thickness);
    const double lean = atan2(thickness, length);
    struct bt_tilt t = {
        .possible = true, .height = thickness, .least_length = diagonal};

    t.needed = !(length <= narrowest);
    t.turns_down = !t.needed || diagonal <= seat;
    if (!t.needed)
        return t;
    /* on end it still takes its thickness */
    if (!(thickness <= narrowest)) {
        t.possible = t.turns_down = false;
        t.angle = t.height = t.rise = NAN;
        return t;
    }
    t.angle = lean + acos(fmin(1, narrowest / diagonal));
    t.height = diagonal * sin(t.angle + lean);
    t.rise = length * sin(t.angle);
    t.possible = t.turns_down;
    return t;
}
