/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where the adjustment starts: a rectangle of the mean sizes, or the lines that the
 * template shows. */
#include <math.h>

#include "fit/quad_model.h"

/* Of a size of which nothing was measured, mm: it is not seen whatever it is. */
#define NOT_MEASURED 1000.0

/* Mean of what tells a size: the two sides, and readings across; NaN where none does.
 */
static double mean_size(const struct bt_quad_model *m, enum bt_wall one,
                        enum bt_wall other, enum bt_opening_kind across)
{
    double sum = 0, count = 0;

    for (size_t i = 0; i < m->n; i++) {
        const struct bt_opening_reading *r = &m->reading[i];

        if ((r->kind == BT_OPENING_SIDE &&
             (r->where == (int)one || r->where == (int)other)) ||
            r->kind == across) {
            sum += r->value;
            count++;
        }
    }
    return count > 0 ? sum / count : NAN;
}

/* Two points of a wall far apart, in the template's frame. */
struct trace {
    size_t n;
    struct bt_point first, last, middle;
};

static struct trace trace_of(const struct bt_quad_model *m, enum bt_wall wall)
{
    struct trace t = {0};
    double most = -1;

    for (size_t i = 0; i < m->n; i++) {
        const struct bt_opening_reading *a = &m->reading[i];

        if (a->kind != BT_OPENING_POINT || a->where != (int)wall)
            continue;
        t.n++;
        t.middle.x += a->x;
        t.middle.y += a->y;
        for (size_t k = i + 1; k < m->n; k++) {
            const struct bt_opening_reading *b = &m->reading[k];

            if (b->kind != BT_OPENING_POINT || b->where != (int)wall ||
                !(hypot(b->x - a->x, b->y - a->y) > most))
                continue;
            most = hypot(b->x - a->x, b->y - a->y);
            t.first = (struct bt_point){a->x, a->y};
            t.last = (struct bt_point){b->x, b->y};
        }
    }
    if (t.n) {
        t.middle.x /= (double)t.n;
        t.middle.y /= (double)t.n;
    }
    return t;
}

/* Turn a point of the template into the frame of the opening. */
static struct bt_point turned(const struct bt_quad_model *m, const double x[],
                              const struct bt_point *p)
{
    const double turn = x[5] / m->scale, cs = cos(turn), sn = sin(turn);
    const double y = m->mirror * p->y;

    return (struct bt_point){cs * p->x - sn * y + x[6], sn * p->x + cs * y + x[7]};
}

/* Where the lines of two walls cross; false where they are as good as parallel. */
static bool crossing(const struct bt_point *a, const struct bt_point *b,
                     const struct bt_point *c, const struct bt_point *d,
                     struct bt_point *out)
{
    const double ux = b->x - a->x, uy = b->y - a->y, vx = d->x - c->x, vy = d->y - c->y;
    const double det = ux * vy - uy * vx;
    double t;

    if (!(fabs(det) > 0.01 * hypot(ux, uy) * hypot(vx, vy)))
        return false;
    t = ((c->x - a->x) * vy - (c->y - a->y) * vx) / det;
    *out = (struct bt_point){a->x + t * ux, a->y + t * uy};
    return true;
}

/* Direction, side and place of the template's frame: its back wall is laid on y = 0
 * with the other walls in front of it. */
static void lay_template(struct bt_quad_model *m, double x[],
                         const struct trace t[BT_WALLS])
{
    const struct trace *back = &t[BT_WALL_BACK];
    const double ux = back->last.x - back->first.x, uy = back->last.y - back->first.y;
    const double length = hypot(ux, uy);
    double front = 0, right = 0, sign = 1;

    for (int wall = 0; wall < BT_WALLS; wall++) {
        const double dx = t[wall].middle.x - back->middle.x;
        const double dy = t[wall].middle.y - back->middle.y;

        if (wall == BT_WALL_BACK || !t[wall].n)
            continue;
        front += (ux * dy - uy * dx) / length;
        if (wall != BT_WALL_FRONT)
            right += (wall == BT_WALL_RIGHT ? 1 : -1) * (ux * dx + uy * dy) / length;
    }
    if (right < 0)
        sign = -1;
    m->mirror = sign * front < 0 ? -1 : 1;
    x[5] = -atan2(sign * m->mirror * uy, sign * ux) * m->scale;
    x[6] = x[7] = 0;
    for (int k = 0; k < 2; k++) {
        const struct bt_point p = turned(m, x, &back->first);

        x[7] -= p.y;
        x[6] -= k ? 0 : p.x;
    }
}

/* Corners where traced walls cross. */
static void corners_of_template(struct bt_quad_model *m, double x[],
                                const struct trace t[BT_WALLS])
{
    static const enum bt_wall meet[4][2] = {{BT_WALL_LEFT, BT_WALL_BACK},
                                            {BT_WALL_BACK, BT_WALL_RIGHT},
                                            {BT_WALL_RIGHT, BT_WALL_FRONT},
                                            {BT_WALL_FRONT, BT_WALL_LEFT}};
    struct bt_point line[BT_WALLS][2], corner[4];
    bool there[4];
    double left = 0;

    for (int wall = 0; wall < BT_WALLS; wall++) {
        line[wall][0] = turned(m, x, &t[wall].first);
        line[wall][1] = turned(m, x, &t[wall].last);
    }
    for (int k = 0; k < 4; k++) {
        const enum bt_wall p = meet[k][0], q = meet[k][1];

        there[k] =
            t[p].n > 1 && t[q].n > 1 &&
            crossing(&line[p][0], &line[p][1], &line[q][0], &line[q][1], &corner[k]);
    }
    if (there[0])
        left = corner[0].x;
    x[6] -= left;
    if (there[1])
        x[0] = corner[1].x - left;
    if (there[2]) {
        x[1] = corner[2].x - left;
        x[2] = corner[2].y;
    }
    if (there[3]) {
        x[3] = corner[3].x - left;
        x[4] = corner[3].y;
    }
}

enum bt_status bt_quad_start(struct bt_quad_model *m, double x[], struct bt_error *err)
{
    double wide = mean_size(m, BT_WALL_BACK, BT_WALL_FRONT, BT_OPENING_WIDTH);
    double deep = mean_size(m, BT_WALL_LEFT, BT_WALL_RIGHT, BT_OPENING_DEPTH);
    struct trace t[BT_WALLS];

    if (isnan(wide))
        wide = isnan(deep) ? NOT_MEASURED : deep;
    if (isnan(deep))
        deep = wide;
    m->scale = hypot(wide, deep);
    m->mirror = 1;
    x[0] = x[1] = wide;
    x[2] = x[4] = deep;
    x[3] = 0;
    if (m->nu == BT_QUAD_CORNERS)
        return BT_OK;
    for (int wall = 0; wall < BT_WALLS; wall++)
        t[wall] = trace_of(m, (enum bt_wall)wall);
    if (t[BT_WALL_BACK].n < 2 ||
        !(hypot(t[BT_WALL_BACK].last.x - t[BT_WALL_BACK].first.x,
                t[BT_WALL_BACK].last.y - t[BT_WALL_BACK].first.y) > 0))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "the template shows no two places of the back wall: trace "
                            "two or more, far apart");
    lay_template(m, x, t);
    corners_of_template(m, x, t);
    return BT_OK;
}
